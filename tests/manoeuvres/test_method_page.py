"""The method page's worked example is run."""

import doctest
from pathlib import Path

PAGE = Path(__file__).parents[2] / "docs" / "methods" / "manoeuvres.md"


def test_the_worked_example_gives_what_is_printed() -> None:
    """The mean of a gusty leg, as the page prints it."""
    result = doctest.testfile(str(PAGE), module_relative=False, encoding="utf-8")
    assert result.attempted > 0
    assert result.failed == 0
