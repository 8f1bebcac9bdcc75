"""The worked examples of the method pages are run as they are printed."""

import doctest
from pathlib import Path

import pytest

METHODS = Path(__file__).parents[2] / "docs" / "methods"


@pytest.mark.parametrize("page", ["loading", "stowage", "payload-range", "undercarriage", "electrical"])
def test_examples_print_what_they_say(page: str) -> None:
    """Every example of the page gives the output printed under it, and there is at least one."""
    results = doctest.testfile(str(METHODS / f"{page}.md"), module_relative=False)
    assert results.attempted > 0
    assert results.failed == 0
