"""The method page's worked example is run."""

import doctest
from pathlib import Path

PAGE = Path(__file__).parents[2] / "docs" / "methods" / "recordings.md"


def test_the_worked_example_gives_what_is_printed() -> None:
    """The path of half a minute, as the page prints it."""
    result = doctest.testfile(str(PAGE), module_relative=False, encoding="utf-8")
    assert result.attempted > 0
    assert result.failed == 0
