"""Range, endurance and trip fuel."""

import math

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from wringout.missions import DAY_RESERVE, Allowances, endurance_with, range_with, trip_fuel

GALLON, MILE, HOUR = 3.785411784e-3, 1609.344, 3600.0

ALLOWANCES = st.builds(
    Allowances, st.floats(0.0, 0.005), st.floats(0.0, 0.01), st.floats(0.0, 900.0), st.floats(0.0, 40e3)
)


def test_range_of_common_practice() -> None:
    """46 US gal at 9 US gal/h, 120 mph, 30 min kept: about 550 statute miles [common practice, no source]."""
    found = range_with(46 * GALLON, 9 * GALLON / HOUR, 120 * MILE / HOUR, DAY_RESERVE)
    assert float(found) / MILE == pytest.approx((46 / 9 - 0.5) * 120, rel=1e-12)
    assert round(float(found) / MILE, -1) == 550


@given(st.floats(1e3, 2e6), st.floats(3e-6, 3e-5), st.floats(0.0, 3600.0), st.floats(-20.0, 20.0), ALLOWANCES)
def test_trip_fuel_is_the_inverse(
    distance: float, flow: float, reserve: float, wind: float, allowances: Allowances
) -> None:
    """The fuel that a trip takes goes as far as the trip, where the trip is longer than its climb."""
    assume(allowances.climb_distance - wind * allowances.climb_time < distance)
    fuel = trip_fuel(distance, flow, 50.0, reserve, head_wind=wind, allowances=allowances)
    reached = range_with(fuel.total, flow, 50.0, reserve, head_wind=wind, allowances=allowances)
    assert float(reached) == pytest.approx(distance, rel=1e-6, abs=1.0)


@given(st.floats(0.03, 0.3), st.floats(3e-6, 3e-5), st.floats(30.0, 90.0), st.floats(0.1, 25.0))
def test_wind_against_costs_and_wind_behind_gives_the_same_time(
    fuel: float, flow: float, speed: float, wind: float
) -> None:
    """In the time that the fuel lasts a head wind takes as much distance as a tail wind gives."""
    still, against, behind = (range_with(fuel, flow, speed, 0.0, head_wind=w) for w in (0.0, wind, -wind))
    assert float(still - against) == pytest.approx(float(behind - still), rel=1e-9)
    assert float(against) < float(still)


def test_endurance_counts_the_climb() -> None:
    """100 L, 4 of taxi and 6 of a climb of 8 min, 36 L/h with 30 min kept: 8 min + 90/36 h − 30 min."""
    allowances = Allowances(0.004, 0.006, 480.0, 20e3)
    found = endurance_with(0.1, 0.036 / HOUR, 1800.0, allowances=allowances)
    assert float(found) == pytest.approx(480.0 + 2.5 * HOUR - 1800.0)
    assert float(endurance_with(0.02, 0.036 / HOUR, 1800.0, allowances=allowances)) == 0.0


def test_fuel_below_climb_and_reserve_goes_nowhere() -> None:
    """Without fuel beyond climb and reserve the range is zero, not negative; NaN stays NaN."""
    found = range_with([0.005, 0.1, math.nan], 1e-5, 50.0, 1800.0, allowances=Allowances(climb_fuel=0.006))
    assert float(found[0]) == 0.0
    assert float(found[1]) > 0.0
    assert np.isnan(found[2])


def test_refusals() -> None:
    """No flow, negative fuel, or a wind that stops the airplane are refused."""
    with pytest.raises(ValueError, match="must be positive"):
        range_with(0.1, 0.0, 50.0, 0.0)
    with pytest.raises(ValueError, match="must not be negative"):
        range_with(-0.1, 1e-5, 50.0, 0.0)
    with pytest.raises(ValueError, match="it never arrives"):
        trip_fuel(1e5, 1e-5, 30.0, 0.0, head_wind=31.0)
