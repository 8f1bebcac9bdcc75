"""The method pages of reduction say what the code does."""

import doctest
from pathlib import Path

import pytest

METHODS = Path(__file__).parents[2] / "docs" / "methods"
PAGES = (
    "gps-legs",
    "position-error",
    "stall-speed",
    "speed-power",
    "climb",
    "takeoff-reduction",
    "landing-reduction",
    "camera-strip",
)


@pytest.mark.parametrize("page", PAGES)
def test_worked_examples_give_what_they_print(page: str) -> None:
    """Every example of the page runs and prints what it says."""
    result = doctest.testfile(str(METHODS / f"{page}.md"), module_relative=False, encoding="utf-8")
    assert result.attempted > 0
    assert result.failed == 0
