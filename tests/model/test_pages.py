"""The method pages' examples are executed."""

import doctest
from pathlib import Path

import pytest

PAGES = Path(__file__).parents[2] / "docs" / "methods"


@pytest.mark.parametrize("page", ["model.md", "uncertainty.md", "claims.md"])
def test_examples_of_the_page(page: str) -> None:
    """Every example of the page gives what the page prints, and there is at least one."""
    result = doctest.testfile(str(PAGES / page), module_relative=False, encoding="utf-8")
    assert result.attempted > 0
    assert result.failed == 0
