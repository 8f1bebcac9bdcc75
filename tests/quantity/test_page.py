"""The page on quantities is run."""

import doctest
from pathlib import Path


def test_the_examples_of_the_page_give_what_it_says() -> None:
    """Each example of docs/methods/quantities.md is executed and compared."""
    page = Path(__file__).parents[2] / "docs" / "methods" / "quantities.md"
    result = doctest.testfile(str(page), module_relative=False)
    assert result.attempted >= 6
    assert result.failed == 0
