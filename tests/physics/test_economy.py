"""Speeds that go far on little fuel: closed forms for a propeller of one efficiency, and a search."""

from dataclasses import dataclass, replace

import numpy as np
import pytest
from scipy.optimize import minimize_scalar

from wringout.physics.arrays import Array, Real
from wringout.physics.cruise import power_required
from wringout.physics.economy import best_range_speed, carson_speed
from wringout.physics.glide import best_glide
from wringout.physics.numerics import highest
from wringout.physics.propulsion import ConstantSpeedPropeller, NaturallyAspiratedEngine
from wringout.physics.vehicle import Air, Vehicle, drag, true_stall_speed


@dataclass(frozen=True)
class EvenPropeller:
    """Eight tenths of the shaft power at every speed."""

    def thrust(
        self,
        true_airspeed: Real,
        density: Real,  # noqa: ARG002 (the protocol's)
        power: Real,
        propeller_speed: Real | None = None,  # noqa: ARG002
    ) -> Array:
        """0.8 P/V."""
        return np.asarray(0.8 * np.asarray(power) / true_airspeed)

    def power(
        self,
        true_airspeed: Real,
        density: Real,  # noqa: ARG002
        thrust: Real,
        full_power: Real,  # noqa: ARG002
        propeller_speed: Real | None = None,  # noqa: ARG002
    ) -> Array:
        """T V/0.8."""
        return np.asarray(np.asarray(thrust) * true_airspeed / 0.8)

    def part_power_speed(self, power: Real, full_power: Real) -> None:
        """Of no account."""


AIR = Air.standard(1500.0)
AIRPLANE = Vehicle(
    mass=1090.0,
    wing_area=17.6,
    span=10.9,
    wing_height=2.1,
    zero_lift_drag=0.042,
    induced_factor=0.055,
    lift_at_minimum_drag=0.0,
    maximum_lift_coefficient=1.6,
    propeller=EvenPropeller(),
    engine=NaturallyAspiratedEngine(149e3),
)


def test_best_range_is_flown_at_least_drag() -> None:
    """V² = 2 W/(ρ S) √(K/C_D0) where drag is least, to 1e-3 of the speed."""
    by_hand = np.sqrt(2 * 1090 * 9.80665 / (AIR.density * 17.6) * np.sqrt(0.055 / 0.042))
    assert best_range_speed(AIRPLANE, AIR) == pytest.approx(by_hand, rel=1e-3)


def test_carson_speed_is_the_fourth_root_of_three_faster_at_155_hundredths_more_drag() -> None:
    """D = a V² + b/V²: D/V is least at V⁴ = 3 b/a, drag there is 2/√3 = 1.155 of the least [derived]."""
    slow, fast = best_range_speed(AIRPLANE, AIR), carson_speed(AIRPLANE, AIR)
    assert fast / slow == pytest.approx(3**0.25, rel=2e-3)
    assert drag(AIRPLANE, AIR, fast) / drag(AIRPLANE, AIR, slow) == pytest.approx(2 / 3**0.5, rel=2e-3)


@pytest.mark.parametrize(("speed", "exponent"), [(best_range_speed, 1), (carson_speed, 2)])
def test_a_real_propeller_against_a_search(speed: object, exponent: int) -> None:
    """Fuel per mile at the speed found is the least that a bounded search finds, to 1e-5, in any shape."""
    made = replace(
        AIRPLANE, propeller=ConstantSpeedPropeller(2.03, 0.72, 0.87), mass=np.array([[900.0], [1090.0]])
    )
    found = speed(made, AIR)  # type: ignore[operator]  # one of the two
    assert found.shape == (2, 1)
    for mass, value in zip((900.0, 1090.0), found[:, 0], strict=True):
        one = replace(made, mass=mass)

        def cost(v: float, one: Vehicle = one) -> float:
            return float(power_required(one, AIR, v)) / v**exponent

        least = minimize_scalar(cost, bounds=(20.0, 65.0), method="bounded", options={"xatol": 1e-6})
        assert cost(value) == pytest.approx(least.fun, rel=1e-5)


def test_an_airplane_that_cannot_fly_level_has_no_such_speed() -> None:
    """Ten kilowatts do not hold it up."""
    weak = replace(AIRPLANE, propeller=ConstantSpeedPropeller(2.03, 0.72, 0.87))
    weak = replace(weak, engine=NaturallyAspiratedEngine(10e3))
    assert np.isnan(best_range_speed(weak, AIR))


def test_a_heavy_airplane_keeps_off_the_stall() -> None:
    """Where least drag lies below 1.1 times the stall, that is flown."""
    clean = replace(AIRPLANE, zero_lift_drag=0.2)
    assert best_glide(clean, AIR).true_airspeed < 1.1 * true_stall_speed(clean, AIR)
    assert best_range_speed(clean, AIR) == pytest.approx(1.1 * true_stall_speed(clean, AIR), rel=1e-6)


def test_the_highest_place_of_a_parabola_is_exact() -> None:
    """Its top between two places, its end where it only rises, and the shape of the ends."""
    low, high = np.array([0.0, 0.0]), np.array([3.0, 1.0])
    place, value = highest(lambda x: -((x - 1.3) ** 2), low, high, 4)
    assert place == pytest.approx([1.3, 1.0])
    assert value == pytest.approx([0.0, -0.09])
