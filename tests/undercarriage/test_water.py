"""Floats and the run on the water."""

import math

import numpy as np
import pytest

from tests.undercarriage.printed import example
from wringout.physics.constants import GRAVITY
from wringout.undercarriage import WaterResistance, float_rule, reserve_buoyancy, run_speeds, water_run

FLAT = WaterResistance(hump=0.0, getaway=0.0)


def test_no_resistance_and_even_thrust_by_hand() -> None:
    """Derived: x = V²/2a and t = V/a with a = g T/W = 3 m/s², to 25 m/s."""
    speeds = run_speeds(25.0)
    run = water_run(np.full_like(speeds, 3000.0), 1000.0, 25.0, FLAT)
    assert float(run.distance) == pytest.approx(25.0**2 / 6.0, rel=1e-5)
    assert float(run.time) == pytest.approx(25.0 / 3.0)


def test_the_hump_by_hand() -> None:
    """Closed form of the two lines: with T/W = c, ∫ V dV/(g (c − r V/V_h)) up to the hump, and on from it."""
    c, hump, getaway, top = 0.35, 0.20, 0.10, 26.0

    def leg(low: float, high: float, first: float, last: float) -> float:
        # a = p + q V: ∫ V dV/(p + q V) = V/q − p/q² ln(p + q V)
        q = (last - first) / (high - low)
        p = first - q * low
        return (high - low) / q - p / q**2 * math.log((p + q * high) / (p + q * low))

    middle = 0.5 * top
    by_hand = leg(0.0, middle, GRAVITY * c, GRAVITY * (c - hump))
    by_hand += leg(middle, top, GRAVITY * (c - hump), GRAVITY * (c - getaway))
    speeds = run_speeds(top)
    run = water_run(np.full_like(speeds, c * 1000.0 * GRAVITY), 1000.0, top)
    assert float(run.distance) == pytest.approx(by_hand, rel=1e-4)
    assert float(run.hump_margin) == pytest.approx(c / hump)
    drawn = water_run(
        np.full((2, speeds.size), c * 1000.0 * GRAVITY), np.full(2, 1000.0), np.full(2, top), hump=[0.2, 0.25]
    )
    assert float(drawn.distance[0]) == pytest.approx(by_hand, rel=1e-4)
    assert drawn.distance[1] > drawn.distance[0]


def test_distance_goes_with_thrust_over_weight_squared() -> None:
    """A published note: a flying boat's distance goes inversely as the square of thrust over weight.

    [Aeronautical Journal, prediction of flying-boat take-off, abstract read.] Between 0.30 and 0.40 of the
    weight, thrust even.
    """
    speeds = run_speeds(26.0)
    short, long = (
        float(water_run(np.full_like(speeds, share * 1000.0 * GRAVITY), 1000.0, 26.0).distance)
        for share in (0.40, 0.30)
    )
    power = np.log(long / short) / np.log(0.40 / 0.30)
    assert 1.7 < power < 2.3


def test_too_little_thrust_never_leaves_the_water() -> None:
    """With less than the hump's fifth of the weight the run has no end."""
    speeds = run_speeds(26.0)
    run = water_run(np.full_like(speeds, 0.19 * 1000.0 * GRAVITY), 1000.0, 26.0)
    assert np.isinf(run.distance)
    assert np.isinf(run.time)
    assert float(run.hump_margin) == pytest.approx(0.95)
    with pytest.raises(ValueError, match="must be positive"):
        water_run(speeds, 0.0, 26.0)


def test_floats_carry_four_fifths_more() -> None:
    """1.8 m³ carry 1 000 kg with 80 % to spare, the least of the regulation; a litre less does not."""
    _, printed, _ = example("FL-01")
    assert 100.0 * reserve_buoyancy(1.8, 1000.0) == pytest.approx(printed)
    assert float_rule("floats", 1.801, 1000.0).holds
    assert not float_rule("floats", 1.799, 1000.0).holds
    with pytest.raises(ValueError, match="must be positive"):
        reserve_buoyancy(0.0, 1000.0)
