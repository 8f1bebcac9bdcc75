"""Propellers and engines: root finder twins, momentum theory's limits, printed lines."""

from math import pi

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.random import default_rng
from scipy.optimize import brentq

from tests.model.published import printed
from tests.physics.airplanes import LOWRY_DENSITY, lowry
from wringout.physics.atmosphere import standard_density, standard_pressure, standard_temperature
from wringout.physics.constants import FOOT, GRAVITY, HORSEPOWER, POUND
from wringout.physics.propulsion import (
    ConstantSpeedPropeller,
    ElectricMotor,
    FixedPitchPropeller,
    NaturallyAspiratedEngine,
    TurbochargedEngine,
    disk_speed,
    gagg_ferrar,
    temperature_correction,
)

POUND_FORCE = POUND * GRAVITY


@given(st.floats(0.0, 120.0), st.floats(1.0, 1e5))
def test_the_disk_speed_is_the_cubic_s_root(speed: float, constant: float) -> None:
    """Against a bracketing root finder, over every speed and power of a light airplane."""
    root = brentq(lambda w: w * w * (w - speed) - constant, speed, speed + constant + 1, xtol=1e-13)
    assert float(disk_speed(speed, constant)) == pytest.approx(root, rel=1e-11)


@given(st.floats(-8.0, -0.01), st.floats(100.0, 1e5))
def test_a_tail_wind_at_rest_is_no_trouble(speed: float, constant: float) -> None:
    """The air first comes from behind; the root is still the cubic's."""
    through = float(disk_speed(speed, constant))
    assert through * through * (through - speed) == pytest.approx(constant, rel=1e-9)


def test_static_thrust_is_the_momentum_limit() -> None:
    """With lossless blades (2 ρ A P²)^⅓, which none beats: 1,041 lbf for 160 hp on 6.25 ft (derived)."""
    propeller = ConstantSpeedPropeller(6.25 * FOOT, 1.0, 1.0)
    density, power = float(standard_density(0.0)), 160 * HORSEPOWER
    ideal = (2 * density * pi / 4 * (6.25 * FOOT) ** 2 * power**2) ** (1 / 3)
    assert float(propeller.thrust(0.0, density, power)) == pytest.approx(ideal, rel=1e-12)
    assert ideal / POUND_FORCE == pytest.approx(1041, abs=1)


@given(st.floats(0.0, 70.0), st.floats(1e3, 3e5), st.floats(0.6, 1.3), st.floats(0.5, 0.95))
def test_thrust_never_beats_the_blades(speed: float, power: float, density: float, efficiency: float) -> None:
    """Useful power stays below what the blades pass on, and thrust grows with power."""
    propeller = ConstantSpeedPropeller(2.0, efficiency, efficiency)
    thrust = float(propeller.thrust(speed, density, power))
    assert thrust * speed < efficiency * power
    assert float(propeller.thrust(speed, density, 1.01 * power)) > thrust


@given(st.floats(0.0, 100.0), st.floats(10.0, 6000.0), st.floats(0.6, 1.3))
def test_power_for_a_thrust_undoes_thrust_for_a_power(speed: float, pull: float, density: float) -> None:
    """For the disk exactly, and for the fixed-pitch polar at the speed it turns at part power."""
    disk = ConstantSpeedPropeller(2.03, 0.75, 0.88)
    power = disk.power(speed, density, pull)
    assert float(disk.thrust(speed, density, power)) == pytest.approx(pull, rel=1e-9)
    fixed = FixedPitchPropeller(1.905, 1.70, -0.0564, 45.0)
    full = 119e3
    power = fixed.power(speed, density, pull, full)
    turns = fixed.part_power_speed(power, full)
    assert float(fixed.thrust(speed, density, power, turns)) == pytest.approx(pull, rel=1e-9, abs=1e-6)


def test_no_power_gives_no_thrust() -> None:
    """At rest and under way, without a division by zero."""
    propeller = ConstantSpeedPropeller(2.03, 0.75, 0.88)
    assert float(propeller.thrust(0.0, 1.225, 0.0)) == 0.0
    assert float(propeller.thrust(30.0, 1.225, 0.0)) == 0.0
    assert float(propeller.power(30.0, 1.225, -5.0)) == 0.0


def test_blade_efficiency_bends_with_advance_ratio_then_is_level() -> None:
    """Half-way to J = 0.9 it has gained three quarters, beyond it nothing; fewer turns are a higher J."""
    propeller = ConstantSpeedPropeller(2.0, 0.70, 0.90, 50.0)
    speeds = np.array([0.0, 45.0, 90.0, 120.0])  # J = V/100
    assert propeller.blade_efficiency(speeds) == pytest.approx([0.70, 0.85, 0.90, 0.90])
    assert float(propeller.blade_efficiency(36.0, 40.0)) == pytest.approx(0.85)


def test_a_governor_holds_its_speed_until_the_throttle_is_open() -> None:
    """And from there on the least that gives the power, in proportion to it, up to rated speed."""
    propeller = ConstantSpeedPropeller(2.0, 0.70, 0.90, 45.0, 36.0)
    powers = np.array([50e3, 120e3, 127.5e3, 150e3])
    assert propeller.part_power_speed(powers, 150e3) == pytest.approx([36.0, 36.0, 38.25, 45.0])
    for power in powers:
        pull = propeller.thrust(50.0, 1.1, power, propeller.part_power_speed(power, 150e3))
        assert float(propeller.power(50.0, 1.1, pull, 150e3)) == pytest.approx(power, rel=1e-4)


def test_fixed_blades_turn_at_one_advance_ratio() -> None:
    """Their speed at part power comes from that of full throttle by the cube root of power there, which a
    faster engine gives in proportion: half the power turns at 0.5^⅓ of it."""
    propeller = FixedPitchPropeller(1.905, 1.70, -0.0564, 45.0, 48.0)
    half = 0.5 * 119e3 * 48.0 / 45.0
    assert float(propeller.part_power_speed(half, 119e3)) == pytest.approx(48.0 * 0.5 ** (1 / 3))


def test_heat_costs_power_by_its_exponent() -> None:
    """A tenth hotter than standard at its pressure: 1.1^−0.7 of the standard day's power."""
    engine = NaturallyAspiratedEngine(149e3, heat=0.7)
    standard = standard_temperature(1000.0)
    cool, hot = (engine.full_power(standard_pressure(1000.0), standard * by) for by in (1.0, 1.1))
    assert float(hot / cool) == pytest.approx(1.1**-0.7)


def test_the_linear_propeller_polar_as_its_book_prints_it() -> None:
    """E and F of thrust = E + F V², in pounds and feet per second, at the book's rounded density."""
    airplane = lowry()
    speed = np.array([0.0, 200 * FOOT])
    power = airplane.engine.full_power(101_325.0, 288.15)
    thrust = airplane.propeller.thrust(speed, LOWRY_DENSITY, power) / POUND_FORCE
    answers = printed("airplane_performance.csv", "TX-20")
    assert thrust[0] == pytest.approx(answers["E"][0], abs=answers["E"][1])
    assert (thrust[1] - thrust[0]) / 200**2 == pytest.approx(answers["F"][0], abs=answers["F"][1])


@pytest.mark.parametrize("sigma", [1.0, 0.9428, 0.8617, 0.7860, 0.7385, 0.6292, 0.5328])
def test_the_printed_forms_of_gagg_and_ferrar_s_line_agree(sigma: float) -> None:
    """1.132 σ − 0.132, (σ − 0.117)/0.883, σ − (1 − σ)/7.55: one line but for rounding (read second-hand)."""
    ours = float(gagg_ferrar(sigma))
    assert ours == pytest.approx((sigma - 0.117) / 0.883, abs=1e-12)
    assert ours == pytest.approx(1.132 * sigma - 0.132, abs=5e-4)
    assert ours == pytest.approx(sigma - (1 - sigma) / 7.55, abs=5e-4)


def test_full_power_falls_with_altitude_to_nothing_and_not_below() -> None:
    """And gives the rated power on the standard sea-level day."""
    engine = NaturallyAspiratedEngine(149e3)
    altitudes = np.linspace(0.0, 20_000.0, 41)
    power = engine.full_power(standard_pressure(altitudes), standard_temperature(altitudes))
    assert power[0] == pytest.approx(149e3)
    assert np.all(np.diff(power) <= 0)
    assert power[-1] == 0.0


def test_a_turbocharger_holds_its_power_to_the_critical_altitude() -> None:
    """Flat below, continuous at it, falling above; hot air costs by the root of the temperature ratio."""
    engine = TurbochargedEngine(186e3, 4500.0)
    standard = np.array([0.0, 4000.0, 4499.9, 4500.1, 6000.0])
    power = engine.full_power(standard_pressure(standard), standard_temperature(standard))
    assert power[:3] == pytest.approx([186e3] * 3)
    assert power[3] == pytest.approx(186e3, rel=1e-4)
    assert power[4] < 0.85 * 186e3
    hot = engine.full_power(standard_pressure(1000.0), standard_temperature(1000.0) * 1.1)
    assert float(hot) == pytest.approx(186e3 / np.sqrt(1.1), rel=1e-12)
    assert float(temperature_correction(101_325.0, 288.15)) == pytest.approx(1.0)


def test_an_electric_motor_knows_its_battery_only() -> None:
    """Full power at any altitude, less by the sag as the battery empties."""
    motor = ElectricMotor(100e3, state_of_charge=np.array([1.0, 0.5, 0.0]), sag=0.2)
    assert motor.full_power(80_000.0, 270.0) == pytest.approx([100e3, 90e3, 80e3])
    assert motor.full_power(np.array([80_000.0, 90_000.0, 70_000.0]), 270.0).shape == (3,)


def test_parts_take_draws_by_conditions() -> None:
    """Every field an array: draws along one axis, conditions along the other, the same as one by one."""
    generator = default_rng(1)
    static = 0.7 + 0.05 * generator.random((5, 1))
    speed = np.array([0.0, 20.0, 60.0])
    whole = ConstantSpeedPropeller(2.0, static, 0.88).thrust(speed, 1.1, 120e3)
    assert whole.shape == (5, 3)
    one = ConstantSpeedPropeller(2.0, float(static[3, 0]), 0.88).thrust(20.0, 1.1, 120e3)
    assert float(one) == pytest.approx(float(whole[3, 1]), rel=1e-14)
