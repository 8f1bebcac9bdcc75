"""The method pages of the physics are executed."""

import doctest
from pathlib import Path

import pytest

METHODS = Path(__file__).parents[2] / "docs" / "methods"


@pytest.mark.parametrize("page", ["atmosphere", "airspeed", "performance"])
def test_the_page_s_examples_give_what_it_prints(page: str) -> None:
    """Each example is run and compared, as printed."""
    result = doctest.testfile(str(METHODS / f"{page}.md"), module_relative=False, encoding="utf-8")
    assert result.attempted > 0
    assert result.failed == 0
