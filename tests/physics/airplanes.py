"""Airplanes and parts that the physics tests share, and the reader of wide published tables."""

import csv
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

import numpy as np
from numpy.random import Generator

from wringout.physics.aerodynamics import induced_drag_factor
from wringout.physics.arrays import Array, Real
from wringout.physics.constants import FOOT, GRAVITY, HORSEPOWER, POUND
from wringout.physics.propulsion import (
    ConstantSpeedPropeller,
    FixedPitchPropeller,
    NaturallyAspiratedEngine,
)
from wringout.physics.vehicle import Vehicle

PUBLISHED = Path(__file__).parents[1] / "published"


def table(file: str) -> list[dict[str, str]]:
    """Rows of a published table as printed."""
    with (PUBLISHED / file).open(encoding="utf-8", newline="") as rows:
        return list(csv.DictReader(rows))


@dataclass(frozen=True)
class ConstantEfficiency:
    """The textbook's propeller: thrust times speed is a fixed share of the power; a part like any other."""

    efficiency: float

    def thrust(
        self,
        true_airspeed: Real,
        density: Real,  # noqa: ARG002 (the protocol's)
        power: Real,
        propeller_speed: Real | None = None,  # noqa: ARG002 (the protocol's)
    ) -> Array:
        """η P/V."""
        return np.asarray(self.efficiency * np.divide(power, true_airspeed))

    def power(
        self,
        true_airspeed: Real,
        density: Real,  # noqa: ARG002 (the protocol's)
        thrust: Real,
        full_power: Real,  # noqa: ARG002 (the protocol's)
        propeller_speed: Real | None = None,  # noqa: ARG002 (the protocol's)
    ) -> Array:
        """T V/η."""
        return np.asarray(np.multiply(true_airspeed, thrust) / self.efficiency)

    def part_power_speed(self, power: Real, full_power: Real) -> None:
        """No matter."""


@dataclass(frozen=True)
class ConstantThrust:
    """A pull that does not know speed or power, for cases that integrate by hand."""

    pull: float

    def thrust(
        self,
        true_airspeed: Real,
        density: Real,  # noqa: ARG002 (the protocol's)
        power: Real,  # noqa: ARG002 (the protocol's)
        propeller_speed: Real | None = None,  # noqa: ARG002 (the protocol's)
    ) -> Array:
        """The pull, of the speed's shape."""
        return self.pull + 0.0 * np.asarray(true_airspeed)

    def power(
        self,
        true_airspeed: Real,
        density: Real,  # noqa: ARG002 (the protocol's)
        thrust: Real,
        full_power: Real,  # noqa: ARG002 (the protocol's)
        propeller_speed: Real | None = None,  # noqa: ARG002 (the protocol's)
    ) -> Array:
        """T V."""
        return np.asarray(np.multiply(true_airspeed, thrust))

    def part_power_speed(self, power: Real, full_power: Real) -> None:
        """No matter."""


def utility(**changes: Any) -> Vehicle:
    """An invented two-seat bush airplane, take-off flap."""
    return replace(
        Vehicle(
            mass=1090.0,
            wing_area=17.6,
            span=10.9,
            wing_height=2.1,
            zero_lift_drag=0.045,
            induced_factor=0.055,
            lift_at_minimum_drag=0.1,
            maximum_lift_coefficient=1.9,
            propeller=ConstantSpeedPropeller(2.03, 0.75, 0.88),
            engine=NaturallyAspiratedEngine(149e3),
        ),
        **changes,
    )


def utility_draws(generator: Generator, draws: int) -> Vehicle:
    """The same airplane with every uncertain field an array of draws."""

    def scattered(value: float, share: float) -> Array:
        return value * (1 + share * generator.normal(size=draws))

    return utility(
        mass=scattered(1090.0, 0.01),
        zero_lift_drag=scattered(0.045, 0.05),
        induced_factor=scattered(0.055, 0.05),
        lift_at_minimum_drag=scattered(0.1, 0.2),
        maximum_lift_coefficient=scattered(1.9, 0.03),
        propeller=ConstantSpeedPropeller(2.03, scattered(0.75, 0.03), scattered(0.88, 0.02)),
        engine=NaturallyAspiratedEngine(scattered(149e3, 0.02)),
    )


def cp1(drop: float = 0.0) -> Vehicle:
    """Airplane CP-1 of Anderson's Introduction to Flight, ch. 6 (inputs from memory)."""
    span, area = 35.8 * FOOT, 174 * FOOT**2
    return Vehicle(
        mass=2950 * POUND,
        wing_area=area,
        span=span,
        wing_height=100.0,
        zero_lift_drag=0.025,
        induced_factor=float(induced_drag_factor(span, area, 0.8)),
        lift_at_minimum_drag=0.0,
        maximum_lift_coefficient=1.6,
        propeller=ConstantEfficiency(0.8),
        engine=NaturallyAspiratedEngine(230 * HORSEPOWER, drop),
    )


LOWRY_DENSITY = 0.002377 * POUND * GRAVITY / FOOT / FOOT**3  # slug/ft³ as that book rounds it [kg/m³]


def lowry(mass: float = 2400 * POUND) -> Vehicle:
    """The 'bootstrap' example of Lowry's Performance of Light Aircraft (data plate from memory)."""
    torque = 311.2 * FOOT * POUND * GRAVITY
    area, aspect = 174 * FOOT**2, 7.38
    return Vehicle(
        mass=mass,
        wing_area=area,
        span=float(np.sqrt(aspect * area)),
        wing_height=100.0,
        zero_lift_drag=0.037,
        induced_factor=1 / (np.pi * 0.72 * aspect),
        lift_at_minimum_drag=0.0,
        maximum_lift_coefficient=1.6,
        propeller=FixedPitchPropeller(6.25 * FOOT, 1.70, -0.0564, 45.0),
        engine=NaturallyAspiratedEngine(2 * np.pi * torque * 45.0, 0.12),
    )
