"""Level flight against root finders and textbook range and endurance."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import brentq

from tests.model.published import printed
from tests.physics.airplanes import cp1, lowry, utility
from wringout.physics.aerodynamics import (
    best_glide_lift_coefficient,
    drag_coefficient,
    least_power_lift_coefficient,
)
from wringout.physics.constants import FOOT, GRAVITY, POUND
from wringout.physics.cruise import (
    breguet_endurance,
    breguet_range,
    fuel_flow,
    level_speed,
    power_required,
    specific_range,
)
from wringout.physics.propulsion import NaturallyAspiratedEngine
from wringout.physics.vehicle import Air, Vehicle, drag, full_power, thrust

FILE = "airplane_performance.csv"
SEA_LEVEL = Air.standard(0.0)
CONSUMPTION = (
    2.27e-7 / FOOT / GRAVITY
)  # the book's 2.27e-7 of weight per work, 1/ft, as mass per energy [kg/J]


def test_the_textbook_airplane_s_top_speed() -> None:
    """CP-1 at sea level: 265 ft/s read off a graph (from memory), to 2 %."""
    assert float(level_speed(cp1(), SEA_LEVEL)) / FOOT == pytest.approx(265, rel=0.02)


def test_the_textbook_airplane_s_range_and_endurance() -> None:
    """Breguet's forms with CP-1's best ratios, 367 lb of fuel."""
    airplane = cp1()
    lift = best_glide_lift_coefficient(0.025, airplane.induced_factor)
    ratio = lift / drag_coefficient(lift, 0.025, airplane.induced_factor)
    value, unit = printed(FILE, "TX-10")["range"]
    distance = breguet_range(
        propulsive_efficiency=0.8,
        specific_consumption=CONSUMPTION,
        lift_over_drag=ratio,
        start_mass=2950 * POUND,
        end_mass=2583 * POUND,
    )
    assert float(distance) / FOOT == pytest.approx(value, abs=unit)
    lift = least_power_lift_coefficient(0.025, airplane.induced_factor)
    value, unit = printed(FILE, "TX-11")["endurance"]
    time = breguet_endurance(
        propulsive_efficiency=0.8,
        specific_consumption=CONSUMPTION,
        lift_coefficient=lift,
        drag_coefficient=drag_coefficient(lift, 0.025, airplane.induced_factor),
        density=float(SEA_LEVEL.density),
        wing_area=airplane.wing_area,
        start_mass=2950 * POUND,
        end_mass=2583 * POUND,
    )
    assert float(time) == pytest.approx(value, abs=unit)


@settings(max_examples=60)
@given(st.floats(0.35, 1.0), st.floats(0.0, 4000.0), st.floats(800.0, 1200.0))
def test_the_level_speed_is_the_fast_root(fraction: float, altitude: float, mass: float) -> None:
    """Against a bracketing root finder above the speed of greatest spare power; NaN where none."""
    airplane, air = utility(mass=mass), Air.standard(altitude)
    power = fraction * float(full_power(airplane, air))
    answer = float(level_speed(airplane, air, power))
    speeds = np.linspace(15.0, 100.0, 2000)

    def spare(speed: float) -> float:
        return float(thrust(airplane, air, speed, power) - drag(airplane, air, speed)) * speed

    excess = (thrust(airplane, air, speeds, power) - drag(airplane, air, speeds)) * speeds
    peak = int(np.argmax(excess))
    if excess[peak] <= 0:
        assert np.isnan(answer) or answer == pytest.approx(speeds[peak], rel=0.02)
    else:
        assert answer == pytest.approx(brentq(spare, speeds[peak], 120.0, xtol=1e-12), rel=1e-7)


@settings(max_examples=40)
@given(st.floats(32.0, 60.0), st.floats(0.0, 4000.0), st.sampled_from([utility(), lowry(2000 * POUND)]))
def test_power_required_and_level_speed_undo_each_other(
    speed: float, altitude: float, airplane: Vehicle
) -> None:
    """On the fast side, for a constant-speed and for a fixed-pitch propeller at part power."""
    air = Air.standard(altitude)
    power = power_required(airplane, air, speed)
    faster = power_required(airplane, air, speed * 1.001)
    if float(faster) < float(power):  # the slow side of the least power: not its business
        return
    assert float(level_speed(airplane, air, power)) == pytest.approx(speed, rel=1e-6)


def test_close_to_the_least_power_the_speed_is_still_found() -> None:
    """Where both roots nearly meet, and NaN just below."""
    airplane = utility()
    speeds = np.linspace(20.0, 50.0, 30_001)
    least = float(np.min(power_required(airplane, SEA_LEVEL, speeds)))
    slowest = float(speeds[np.argmin(power_required(airplane, SEA_LEVEL, speeds))])
    assert float(level_speed(airplane, SEA_LEVEL, 1.001 * least)) == pytest.approx(slowest, rel=0.05)
    assert np.isnan(level_speed(airplane, SEA_LEVEL, 0.98 * least))
    assert np.isnan(level_speed(airplane, SEA_LEVEL, 0.0))


def test_speeds_that_exist_do_not_mind_those_that_do_not() -> None:
    """Finite, none and missing side by side."""
    answer = level_speed(utility(), SEA_LEVEL, np.array([100e3, 10e3, np.nan]))
    assert np.isfinite(answer).tolist() == [True, False, False]
    alone = level_speed(utility(), SEA_LEVEL, 100e3)
    assert float(answer[0]) == pytest.approx(float(alone), rel=1e-14)


def test_more_power_is_faster_and_more_mass_slower() -> None:
    """Smoothly, over the whole range of power."""
    power = np.linspace(60e3, 149e3, 400)
    speed = level_speed(utility(), SEA_LEVEL, power)
    assert np.all(np.diff(speed) > 0)
    assert np.max(np.abs(np.diff(speed, 3))) < 1e-5
    assert float(level_speed(utility(mass=1200.0), SEA_LEVEL)) < float(level_speed(utility(), SEA_LEVEL))


def test_full_throttle_is_the_default_power() -> None:
    """The fastest level speed is that at the engine's full power in this air."""
    air = Air.standard(2000.0)
    full = full_power(utility(), air)
    assert float(level_speed(utility(), air)) == pytest.approx(float(level_speed(utility(), air, full)))
    fast = utility(engine=NaturallyAspiratedEngine(200e3))
    assert float(level_speed(fast, air)) > float(level_speed(utility(), air))


def test_fuel_flow_and_specific_range() -> None:
    """Power by consumption is mass by time; a head wind takes its share of the ground covered."""
    flow = float(fuel_flow(100e3, 7.6e-8, 720.0))
    assert flow * 720.0 == pytest.approx(100e3 * 7.6e-8)
    assert float(specific_range(50.0, flow, 10.0)) == pytest.approx(40.0 / flow)
    with pytest.raises(ValueError, match="fuel flow"):
        specific_range(50.0, 0.0)
    with pytest.raises(ValueError, match="airspeed"):
        power_required(utility(), SEA_LEVEL, 0.0)
