"""The figure of a trip: fuel along its way, what is filled and kept, in words too; payload against range."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest

from tests.loading.airplanes import hauler
from tests.missions.questions import CRUISE, MISSION, PERFORMANCE
from tests.missions.test_routes import OUT_AND_BACK, STRIPS
from wringout.charts.trip import payload_range_drawing, trip_drawing, trip_title
from wringout.dossier.dossier import Units
from wringout.missions import MissionAnswer, answer, payload_range

UNITS = Units()
AIRPLANE = hauler()


def _flown(fuel_at: tuple[str, ...] = ()) -> MissionAnswer:
    return answer(replace(OUT_AND_BACK, fuel_at=fuel_at), AIRPLANE, PERFORMANCE, strips=STRIPS)


def test_the_title_adds_up_the_legs() -> None:
    """Fuel filled, distance, time and what is left are those of the answer."""
    found = _flown(("north",))
    title = trip_title(found, UNITS)
    filled = sum(leg.filled for leg in found.legs)
    assert f"{1000 * filled:.0f} L filled for 80 nm" in re.sub("\u00a0", " ", title)
    minutes = round(sum(leg.time.value for leg in found.legs) / 60.0)
    assert f"in {minutes} min" in title
    assert "30 min of it to be kept" in title


def test_every_strip_stands_at_its_place() -> None:
    """Each strip with the fuel aboard when it is left, the last with what is left; one filling or two."""
    for stops, fillings in (((), 1), (("north",), 2)):
        found = _flown(stops)
        drawing = re.sub("\u00a0", " ", trip_drawing(found, UNITS))
        assert len([leg for leg in found.legs if leg.filled > 0.0]) == fillings
        for leg in found.legs:
            assert f"{leg.leg.start}, {1000 * leg.fuel_at_start:.0f} L" in drawing
        assert f"home, {1000 * found.legs[-1].fuel_at_end.value:.0f} L" in drawing
        assert "nan" not in drawing.lower()


def test_a_mission_that_cannot_be_flown_has_no_figure() -> None:
    """It has no legs to draw."""
    far = answer(replace(MISSION, strip=None, distance=2e6), AIRPLANE, PERFORMANCE)
    with pytest.raises(ValueError, match="cannot be flown"):
        trip_drawing(far, UNITS)


def test_the_mission_on_the_curve() -> None:
    """Payload against range carries the mission's words where it stands."""
    result = payload_range(
        AIRPLANE, "tail wheel", fuel_flow=CRUISE.fuel_flow, true_airspeed=CRUISE.true_airspeed, points=9
    )
    drawing = payload_range_drawing(result, (150e3, 236.0), "this mission, 236 kg", UNITS)
    assert "this mission, 236 kg" in drawing
    assert "payload, pilot counted, kg" in drawing
    assert result.range_high[0] - result.range[0] < 0.1 * (result.range_high[-1] - result.range[-1]) + 2e3
