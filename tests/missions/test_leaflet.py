"""Published factors as printed."""

import csv
from pathlib import Path

import pytest

from wringout.missions.leaflet import CLASS_B, LEAFLET_7C, PUBLISHED, condition_factor
from wringout.problems import InputError

with (Path(__file__).parent.parent / "published/strip_factors.csv").open(
    encoding="utf-8", newline=""
) as file:
    ROWS = list(csv.DictReader(file))


@pytest.mark.parametrize("row", ROWS, ids=[f"{row['publication']}: {row['case']}" for row in ROWS])
def test_factors_multiply_as_printed(row: dict[str, str]) -> None:
    """Surface, slope and tail wind, and the margin where the case has it: one unit of the last digit."""
    published = PUBLISHED[row["publication"]]
    off = row["movement"] == "take-off"
    found = float(
        condition_factor(
            published,
            "take-off" if off else "landing",
            row["surface"],
            float(row["slope_percent"]) / 100.0,
            float(row["tail_wind_percent"]) / 100.0,
        )
    )
    if row["margin"] == "yes":
        found *= published.margin[0 if off else 1]
    digits = len(row["factor"].partition(".")[2])
    assert found == pytest.approx(float(row["factor"]), abs=10.0**-digits)


def test_a_landing_of_500_m_becomes_1061_8_m() -> None:
    """The leaflet's wet grass, 2 % downhill and margin (factors from memory)."""
    factor = float(condition_factor(LEAFLET_7C, "landing", "wet grass", -0.02)) * LEAFLET_7C.margin[1]
    assert 500.0 * factor == pytest.approx(1061.8, abs=0.1)


def test_a_surface_without_a_factor_is_refused_and_not_guessed() -> None:
    """The leaflet says nothing of gravel, class B nothing of snow."""
    for published, surface in ((LEAFLET_7C, "gravel"), (CLASS_B, "snow")):
        with pytest.raises(InputError, match=surface):
            condition_factor(published, "take-off", surface)


def test_head_wind_earns_nothing() -> None:
    """No published factor takes a distance below that of still air."""
    assert float(condition_factor(LEAFLET_7C, "landing", "dry concrete", 0.0, -0.3)) == 1.0
