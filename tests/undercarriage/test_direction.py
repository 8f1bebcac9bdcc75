"""Which way a swing on the wheels goes."""

import math
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.loading.airplanes import NOSE, TAIL
from wringout.airplane.airplane import Geometry
from wringout.physics.constants import GRAVITY
from wringout.undercarriage import (
    skid_or_tip,
    static_loads,
    swing_growth,
    taxi_side_wind,
    wheel_margin,
    yaw_inertia,
)

GEOMETRY = Geometry(10.9, 17.6, 2.0, length=7.3, side_area=8.0, side_area_arm=4.0)


def test_the_sign_of_the_yaw_moment() -> None:
    """Main wheels behind the CG restore, ahead of it they swing it further [FAA handbook, second-hand]."""
    assert wheel_margin(NOSE, 2.05) == pytest.approx(0.30 / 1.80)
    assert wheel_margin(TAIL, 2.00) == pytest.approx(-0.40 / 5.40)


def test_a_third_wheel_held_straight_makes_it_indifferent() -> None:
    """Derived: with tyres alike N_m (x_m − x) + N_3 (x_3 − x) is nothing, whichever gear."""
    for gear, cg in ((NOSE, 2.05), (TAIL, 2.0)):
        loads = static_loads(gear, 1000.0, cg)
        moment = float(loads.main) * (gear.main_arm - cg) + float(loads.third) * (gear.third_arm - cg)
        assert moment == pytest.approx(0.0, abs=1e-9)


@given(st.floats(0.02, 1.0), st.floats(2.0, 40.0), st.floats(600.0, 3000.0))
def test_behind_the_wheels_grows_at_any_speed_and_ahead_never(
    offset: float, speed: float, inertia: float
) -> None:
    """The determinant's sign is that of the offset, whatever the speed."""
    assert swing_growth(1000.0, offset, inertia, speed) > 0.0
    assert swing_growth(1000.0, -offset, inertia, speed) < 0.0


@pytest.mark.parametrize("behind", [0.4, -0.3])
def test_growth_is_that_of_the_motion_itself(behind: float) -> None:
    """Brute force: stepped through time, a swing is after a while as much larger, or smaller, as told."""
    mass, inertia, speed, stiffness = 1000.0, 1500.0, 20.0, 6.0 * 1000.0 * GRAVITY
    step, steps = 1e-4, 60_000
    v, r = 0.0, 0.01
    sizes = np.empty(steps)
    for number in range(steps):
        side = -stiffness * (v + behind * r) / speed
        v, r = v + step * (side / mass - speed * r), r + step * behind * side / inertia
        sizes[number] = abs(r)
    if behind > 0.0:
        grown = math.log(sizes[-1] / sizes[steps // 2]) / (step * (steps // 2))
    else:  # it swings: from one greatest yaw rate to another
        peaks = [n for n in range(1, steps - 1) if sizes[n - 1] < sizes[n] > sizes[n + 1]]
        first, last = peaks[0], peaks[-1]
        grown = math.log(sizes[last] / sizes[first]) / (step * (last - first))
    assert swing_growth(mass, behind, inertia, speed) == pytest.approx(grown, rel=0.02)


def test_inertia_in_yaw_by_hand() -> None:
    """1 000 kg, b + l = 18.2 m: 1 000 (4.55 × 0.39)² = 3 148.8 kg·m²."""
    assert yaw_inertia(1000.0, GEOMETRY) == pytest.approx(1000.0 * (4.55 * 0.39) ** 2)
    with pytest.raises(ValueError, match="needs the airplane's length"):
        yaw_inertia(1000.0, Geometry(10.0, 15.0, 2.0))


def test_tyres_skid_before_it_tips_or_not() -> None:
    """At an overturn angle of 52° it tips at 0.78 g sideways: grass lets go first, tarmac at 0.8 does not."""
    assert skid_or_tip(math.radians(52.0), 0.4) == (0.4, True)
    sideways, skids = skid_or_tip(math.radians(52.0), 0.8)
    assert (round(sideways, 2), skids) == (0.78, False)


def test_side_wind_by_moments() -> None:
    """q S (x_S − x_m) meets μ N_3 L and one brake's μ (N_m/2)(t/2); a free castor holds nothing."""
    steered = replace(NOSE, castor_travel=math.radians(30.0))
    loads = static_loads(steered, 1000.0, 2.05)
    held = 0.4 * GRAVITY * (float(loads.third) * 1.80 + 0.25 * float(loads.main) * 2.3)
    wind = taxi_side_wind(steered, GEOMETRY, 1000.0, 2.05, friction=0.4)
    assert wind == pytest.approx(math.sqrt(2.0 * held / (1.225 * 8.0 * (4.0 - 2.35))))
    free = taxi_side_wind(NOSE, GEOMETRY, 1000.0, 2.05, friction=0.4)
    assert wind is not None
    assert free is not None
    assert free < wind
    assert taxi_side_wind(NOSE, GEOMETRY, 1000.0, 2.05, friction=0.4, braked=False) is None
    assert taxi_side_wind(NOSE, Geometry(10.0, 15.0, 2.0), 1000.0, 2.05, friction=0.4) is None
