"""Turns against the handbook's chart, and the sustained turn against its own equilibrium."""

import numpy as np
import pytest

from tests.model.published import printed
from tests.physics.airplanes import ConstantThrust, utility
from wringout.physics.constants import GRAVITY, KNOT
from wringout.physics.cruise import level_speed
from wringout.physics.turn import (
    load_factor,
    stall_speed_factor,
    sustained_bank,
    sustained_load_factor,
    sustained_radius,
    turn_radius,
    turn_rate,
)
from wringout.physics.vehicle import Air, drag, thrust, true_stall_speed

FILE = "airplane_performance.csv"


@pytest.mark.parametrize("bank", [15, 20, 30, 40, 45, 50, 60, 70, 75])
def test_load_factor_and_stall_speed_in_a_bank(bank: int) -> None:
    """The handbook's chart as figures."""
    answers = printed(FILE, f"PH-19 {bank}")
    value, unit = answers["load factor"]
    assert float(load_factor(np.radians(bank))) == pytest.approx(value, abs=unit)
    value, unit = answers["stall speed factor"]
    assert float(stall_speed_factor(np.radians(bank))) == pytest.approx(value, abs=unit)


@pytest.mark.parametrize("knots", [120, 240])
def test_rate_of_turn_as_the_handbook_gives_it(knots: int) -> None:
    """At 30° of bank; the handbook's radius comes from a rounded constant and is 0.3 % large."""
    value, unit = printed(FILE, "PH-18")[f"rate of turn at {knots} kt"]
    assert float(np.degrees(turn_rate(knots * KNOT, np.radians(30)))) == pytest.approx(value, abs=unit)


def test_radius_times_rate_is_the_speed() -> None:
    """And wings level the radius has no end."""
    bank = np.radians([5.0, 30.0, 60.0])
    assert turn_radius(40.0, bank) * turn_rate(40.0, bank) == pytest.approx([40.0] * 3)
    assert np.isinf(turn_radius(40.0, 0.0))
    with pytest.raises(ValueError, match="bank"):
        load_factor(np.radians(90))


def test_in_the_sustained_turn_drag_is_the_thrust() -> None:
    """At full throttle, at speeds where the wing is not the limit."""
    airplane, air = utility(lift_at_minimum_drag=0.2), Air.standard(1000.0)
    speed = np.array([45.0, 50.0, 55.0])
    n = sustained_load_factor(airplane, air, speed)
    assert np.all(n > 1)
    assert drag(airplane, air, speed, n) == pytest.approx(thrust(airplane, air, speed))


def test_slow_the_wing_is_the_limit_and_without_thrust_there_is_no_turn() -> None:
    """n = (V/V_s)² at the greatest lift coefficient; 0 where thrust is below the least drag."""
    air = Air.standard(0.0)
    strong = utility(propeller=ConstantThrust(20_000.0))
    n = float(sustained_load_factor(strong, air, 30.0))
    assert n == pytest.approx(0.5 * float(air.density) * 900 * 17.6 * 1.9 / (1090 * 9.80665))
    weak = utility(propeller=ConstantThrust(1.0))
    assert float(sustained_load_factor(weak, air, 60.0)) == 0.0
    assert np.isnan(sustained_load_factor(utility(mass=np.nan), air, 60.0))


def test_the_best_sustained_turn_against_a_fine_search() -> None:
    """Steepest bank and least radius over ten thousand speeds; at one speed they are that speed's."""
    air, made = Air.standard(1000.0), utility()
    slow, fast = 1.02 * float(true_stall_speed(made, air)), float(level_speed(made, air))
    speeds = np.linspace(slow, fast, 10_001)
    load = sustained_load_factor(made, air, speeds)
    bank = np.arccos(1 / np.maximum(load, 1.0))
    assert sustained_bank(made, air) == pytest.approx(bank.max(), rel=1e-3)
    with np.errstate(divide="ignore"):
        radius = speeds**2 / (GRAVITY * np.tan(bank))
    assert sustained_radius(made, air) == pytest.approx(radius.min(), rel=1e-3)
    assert sustained_radius(made, air, 40.0) == pytest.approx(
        turn_radius(40.0, sustained_bank(made, air, 40.0))
    )
