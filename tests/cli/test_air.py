"""`wringout air` answers as the handbook's charts do."""

import json
from collections.abc import Callable

from tests.conftest import Ran


def test_pressure_and_density_altitude_of_the_handbook_problem(wringout: Callable[..., Ran]) -> None:
    """FAA-H-8083-25, performance chapter, sample problem 1: 5 718 ft, and about 7 700 ft read off."""
    ran = wringout("air", "--elevation", "5883 ft", "--qnh", "30.10 inHg", "--temperature", "70 °F", "--json")
    assert ran.code == 0
    answer = json.loads(ran.out)
    assert abs(answer["pressure_altitude"]["value"] / 0.3048 - 5718.0) < 1.0
    assert round(answer["density_altitude"]["value"] / 0.3048, -2) == 7700.0


def test_figures_stand_in_both_habits(wringout: Callable[..., Ran]) -> None:
    """People read metric and customary units side by side."""
    ran = wringout("air", "--calibrated", "100 kt")
    assert ran.code == 0
    assert "1 013 hPa" in ran.out.replace("\u202f", " ")
    assert "29.92 inHg" in ran.out


def test_a_figure_without_its_unit_is_refused(wringout: Callable[..., Ran]) -> None:
    """A bare number is never guessed at."""
    ran = wringout("air", "--elevation", "5883")
    assert ran.code == 1
    assert ran.out == ""
    assert ran.err == "--elevation: a length needs a unit, found '5883'. Write it like '10.9 m'.\n"
