"""Take-off and landing rolls to standard conditions.

Figures are derived from the published formulas (their exponents from memory), not published.
"""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from wringout.physics.constants import FOOT, GRAVITY, KNOT
from wringout.reduction.landing import (
    level_landing_roll,
    mean_braking,
    standard_landing_air_distance,
    standard_landing_roll,
)
from wringout.reduction.takeoff import (
    RollRatios,
    level_roll,
    propeller_thrust_ratio,
    standard_air_distance,
    standard_roll,
    still_air_roll,
)


@pytest.mark.parametrize(
    ("head_wind", "factor"), [(5.0, "1.1747"), (10.0, "1.4012"), (15.0, "1.7027"), (-5.0, "0.8624")]
)
def test_wind(head_wind: float, factor: str) -> None:
    """Lift-off at 60 kt through the air in four winds: the ratio holds the speed over the ground."""
    assert f"{float(still_air_roll(1.0, 60.0 - head_wind, head_wind)):.4f}" == factor


def test_wind_over_airspeed_is_the_trap() -> None:
    """1,000 ft in 10 kt of wind is 1,401 ft in still air, not the 1,332 ft that the airspeed would give."""
    assert float(still_air_roll(1000.0, 50.0, 10.0)) == pytest.approx(1401.15, abs=0.05)
    assert pytest.approx(1330.0, abs=1.0) == 1000.0 * (1.0 + 10.0 / 60.0) ** 1.85


@pytest.mark.parametrize(("slope", "level"), [(0.02, "1042.97"), (-0.02, "1412.70")])
def test_slope(slope: float, level: str) -> None:
    """1,200 ft to 60 kt, up and down a rise of 2 in 100."""
    assert f"{float(level_roll(1200.0 * FOOT, slope, 60.0 * KNOT)) / FOOT:.2f}" == level


@given(st.floats(1.0, 5.0), st.floats(15.0, 40.0), st.floats(-0.08, 0.08))
def test_slope_undoes_a_constant_force(acceleration: float, speed: float, slope: float) -> None:
    """A roll simulated with a constant force on a slope is the level one again, for take-off and landing."""
    along = GRAVITY * slope / math.sqrt(1.0 + slope**2)
    level = speed**2 / (2.0 * acceleration)
    assert float(level_roll(speed**2 / (2.0 * (acceleration - along)), slope, speed)) == pytest.approx(level)
    rolled = speed**2 / (2.0 * (acceleration + along))
    assert float(level_landing_roll(rolled, slope, speed)) == pytest.approx(level)
    assert float(mean_braking(rolled, speed, slope)) == pytest.approx(acceleration / GRAVITY)


def test_slope_too_steep_to_correct_is_refused() -> None:
    """Where weight alone would give or take the speed the correction has no meaning."""
    with pytest.raises(ValueError, match="no meaning"):
        level_roll(500.0, -0.08, 20.0)
    with pytest.raises(ValueError, match="no meaning"):
        level_landing_roll(500.0, 0.08, 20.0)


def test_standard_mass_and_density() -> None:
    """From 2,200 lb at σ = 0.9 to 2,400 lb at sea level, same thrust."""
    ratios = RollRatios(2400.0 / 2200.0, 0.9, 1.0)
    assert f"{float(standard_roll(1.0, ratios)):.4f}" == "1.0994"
    assert f"{float(standard_air_distance(1.0, ratios)):.4f}" == "1.1347"
    assert f"{float(standard_landing_roll(1.0, 2400.0 / 2200.0, 0.9)):.4f}" == "1.0711"
    air = standard_landing_air_distance(1.0, 2400.0 / 2200.0, 0.9, 70.0 * KNOT, 55.0 * KNOT)
    assert f"{float(air):.4f}" == "1.1765"


@given(st.floats(0.5, 1.2), st.floats(0.3, 1.2))
def test_thrust_follows_momentum_theory(density: float, power: float) -> None:
    """T³ = 2 ρ A P² at rest: the ratio cubed is density times power squared."""
    assert propeller_thrust_ratio(density, power) ** 3 == pytest.approx(density * power**2)


@given(st.floats(50.0, 500.0), st.floats(10.0, 40.0))
def test_still_air_changes_nothing(roll: float, speed: float) -> None:
    """No wind and no slope leave the roll as it was; missing figures stay missing."""
    assert float(still_air_roll(roll, speed, 0.0)) == pytest.approx(roll)
    assert float(level_roll(roll, 0.0, speed)) == pytest.approx(roll)
    assert np.isnan(still_air_roll(np.nan, speed, 3.0))


@pytest.mark.parametrize(
    "call",
    [
        lambda: still_air_roll(100.0, 0.0, 5.0),
        lambda: still_air_roll(100.0, 10.0, -10.0),
        lambda: level_roll(100.0, 0.0, 0.0),
        lambda: standard_roll(100.0, RollRatios(0.0, 1.0, 1.0)),
        lambda: standard_air_distance(100.0, RollRatios(1.0, 0.0, 1.0)),
        lambda: propeller_thrust_ratio(0.0, 1.0),
        lambda: level_landing_roll(100.0, 0.0, 0.0),
        lambda: standard_landing_roll(100.0, 0.0, 1.0),
        lambda: standard_landing_air_distance(100.0, 1.0, 0.0, 30.0, 25.0),
        lambda: mean_braking(0.0, 20.0),
    ],
)
def test_impossible_figures_are_refused(call: object) -> None:
    """Speeds, rolls and ratios of nothing never give a number."""
    with pytest.raises(ValueError, match="must be positive"):
        call()  # type: ignore[operator]
