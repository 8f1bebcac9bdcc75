"""Propellers and engines behind two protocols, so that one is exchanged for another without a switch.

Powers are shaft powers [W], propeller speeds are revolutions a second [1/s], thrusts are newtons.
"""

from dataclasses import dataclass
from typing import Protocol

import numpy as np

from wringout.physics.arrays import Array, Real
from wringout.physics.atmosphere import (
    altitude_of_pressure,
    standard_density,
    standard_temperature,
)
from wringout.physics.constants import (
    SEA_LEVEL_PRESSURE,
    SEA_LEVEL_TEMPERATURE,
)

NEWTON_STEPS = 5  # from the documented start: the disk's speed to 1e-12 over all speeds and powers (tests)
GAGG_FERRAR = 0.117  # share of sea-level indicated power that friction takes [GaggFerrar1934, second-hand]


class Propeller(Protocol):
    """Shaft power to thrust and back."""

    def thrust(
        self, true_airspeed: Real, density: Real, power: Real, propeller_speed: Real | None = None
    ) -> Array:
        """Thrust [N] at a true airspeed [m/s], air density [kg/m³] and shaft power [W].

        The propeller speed [1/s] enters where it matters; None stands for the speed at full throttle.
        """
        ...

    def power(self, true_airspeed: Real, density: Real, thrust: Real, full_power: Real) -> Array:
        """Shaft power [W] for a thrust [N]; `full_power` [W] is the engine's at full throttle in this air."""
        ...

    def part_power_speed(self, power: Real, full_power: Real) -> Array | None:
        """Propeller speed [1/s] that goes with a shaft power; None where the thrust does not depend on it."""
        ...


class Engine(Protocol):
    """Air to shaft power."""

    def full_power(self, pressure: Real, temperature: Real) -> Array:
        """Full-throttle shaft power [W] in air of a static pressure [Pa] and temperature [K]."""
        ...


def disk_speed(true_airspeed: Real, cubed: Real) -> Array:
    """Speed w of the air through an actuator disk: the positive root of w² (w − V) = c.

    Parameters
    ----------
    true_airspeed : float or array
        V; slightly negative at the start of a roll with a tail wind. [m/s]
    cubed : float or array
        c = η_b P/(2 ρ A). [m³/s³]

    Returns
    -------
    array
        [m/s]

    Notes
    -----
    Power into the air T w with thrust T = 2 ρ A w (w − V) [derived: momentum theory, the wake gains 2 (w −
    V)]. f(w) = w³ − V w² − c is convex and rising beyond its root, and max(V, 0) + c^⅓ is not below the
    root, so Newton's method falls monotonically on it; a fixed count of steps keeps arrays whole and the
    result smooth in V and c.

    Examples
    --------
    At rest w = c^⅓:

    >>> print(f"{disk_speed(0.0, 8000.0):.6f}")
    20.000000
    """
    speed = np.asarray(true_airspeed, dtype=np.float64)
    constant = np.maximum(cubed, 1e-9)  # no power at no speed would be 0/0; 1e-9 moves w by 1e-3 m/s there
    through = np.maximum(speed, 0.0) + np.cbrt(constant)
    for _ in range(NEWTON_STEPS):
        through = (through * through * (2 * through - speed) + constant) / (
            through * (3 * through - 2 * speed)
        )
    return through


@dataclass(frozen=True, slots=True)
class ConstantSpeedPropeller:
    """An actuator disk whose blades pass on a share of the power that is linear in airspeed.

    Parameters
    ----------
    diameter : float or array
        [m]
    static_efficiency, cruise_efficiency : float or array
        Share η_b of the shaft power that reaches the air, at rest and at `reference_speed`. The propulsive
        efficiency is η_b V/w, below η_b by the disk's own loss.
    reference_speed : float or array
        True airspeed of `cruise_efficiency`; η_b stays at that value beyond it. Choose it above the speeds
        asked for, where the line is not broken. [m/s]

    Notes
    -----
    [derived: `disk_speed`]. At rest it gives less than the ideal (2 ρ A P²)^⅓ by η_b^⅔.

    Examples
    --------
    >>> propeller = ConstantSpeedPropeller(2.03, 0.75, 0.88, 70.0)
    >>> print(f"{propeller.thrust(0.0, 1.225, 149e3):.0f} N, {propeller.thrust(60.0, 1.225, 149e3):.0f} N")
    4626 N, 2007 N
    """

    diameter: Real
    static_efficiency: Real
    cruise_efficiency: Real
    reference_speed: Real = 70.0

    def thrust(
        self,
        true_airspeed: Real,
        density: Real,
        power: Real,
        propeller_speed: Real | None = None,  # noqa: ARG002 (the protocol's; a governor sees to it)
    ) -> Array:
        """Thrust [N]; the propeller speed does not enter, the governor sees to it."""
        useful = self.blade_efficiency(true_airspeed) * power
        return useful / disk_speed(true_airspeed, useful / (2 * density * self._area()))

    def power(
        self,
        true_airspeed: Real,
        density: Real,
        thrust: Real,
        full_power: Real = np.inf,  # noqa: ARG002 (the protocol's; a fixed-pitch propeller needs it)
    ) -> Array:
        """Shaft power [W] for a thrust [N], 0 where that is not positive.

        w from the quadratic T = 2 ρ A w (w − V), then T w/η_b.
        """
        pull = np.maximum(thrust, 0.0)
        half = np.asarray(true_airspeed, dtype=np.float64) / 2
        through = half + np.sqrt(half**2 + pull / (2 * density * self._area()))
        return np.asarray(pull * through / self.blade_efficiency(true_airspeed))

    def part_power_speed(self, power: Real, full_power: Real) -> None:
        """None: thrust does not depend on the governed speed."""

    def blade_efficiency(self, true_airspeed: Real) -> Array:
        """Share of the shaft power that reaches the air at a true airspeed [m/s]."""
        fraction = np.minimum(np.divide(true_airspeed, self.reference_speed), 1.0)
        return np.asarray(self.static_efficiency * (1 - fraction) + self.cruise_efficiency * fraction)

    def _area(self) -> Array:
        return np.pi / 4 * np.square(self.diameter)


@dataclass(frozen=True, slots=True)
class FixedPitchPropeller:
    """A linear propeller polar C_T/J² = m C_P/J² + b.

    Parameters
    ----------
    diameter : float or array
        [m]
    polar_slope, polar_intercept : float or array
        m and b of the polar; b is negative.
    rated_speed : float or array
        Propeller speed at which the engine's rated power is stated. [1/s]

    Notes
    -----
    With C_T = T/(ρ n² d⁴), C_P = P/(ρ n³ d⁵), J = V/(n d): T = m P/(n d) + b ρ d² V² [Lowry1999]. Only the
    torque P/(2πn) enters, which at full throttle does not depend on n: full power and rated speed together
    say it.

    Examples
    --------
    >>> propeller = FixedPitchPropeller(1.905, 1.70, -0.0564, 45.0)
    >>> print(f"{propeller.thrust(0.0, 1.225, 119.3e3, 45.0):.0f} N")
    2366 N
    """

    diameter: Real
    polar_slope: Real
    polar_intercept: Real
    rated_speed: Real

    def thrust(
        self, true_airspeed: Real, density: Real, power: Real, propeller_speed: Real | None = None
    ) -> Array:
        """Thrust [N]; the rated speed where no propeller speed is given."""
        turns = self.rated_speed if propeller_speed is None else propeller_speed
        return self.polar_slope * np.divide(power, turns) / self.diameter + self._windmilling(
            true_airspeed, density
        )

    def power(self, true_airspeed: Real, density: Real, thrust: Real, full_power: Real) -> Array:
        """Shaft power [W] for a thrust [N] at the speed of `part_power_speed`, 0 where torque is negative."""
        torque_pull = np.maximum(thrust - self._windmilling(true_airspeed, density), 0.0)
        at_rated_speed = torque_pull * self.diameter * self.rated_speed / self.polar_slope
        return at_rated_speed * np.sqrt(at_rated_speed / full_power)

    def part_power_speed(self, power: Real, full_power: Real) -> Array:
        """Propeller speed [1/s] at part power, n_rated (P/P_full)^⅓: one advance ratio (common practice)."""
        return self.rated_speed * np.cbrt(np.divide(power, full_power))

    def _windmilling(self, true_airspeed: Real, density: Real) -> Array:
        speed = np.asarray(true_airspeed, dtype=np.float64)
        return self.polar_intercept * density * np.square(self.diameter) * speed * np.abs(speed)


@dataclass(frozen=True, slots=True)
class NaturallyAspiratedEngine:
    """Full-throttle power falling with density by Gagg and Ferrar's line.

    Parameters
    ----------
    rated_power : float or array
        In standard sea-level air. [W]
    drop : float or array
        C of φ = (σ − C)/(1 − C): the density ratio at which friction takes all.

    Notes
    -----
    P = P₀ (σ − C)/(1 − C) [GaggFerrar1934, second-hand]; C is printed as 0.117, 0.12 and 0.132/1.132. Never
    negative.

    Examples
    --------
    180 hp at 8,000 ft:

    >>> engine = NaturallyAspiratedEngine(180.0)
    >>> print(f"{engine.full_power(75_262.4, 272.30):.1f} hp")
    136.4 hp
    """

    rated_power: Real
    drop: Real = GAGG_FERRAR

    def full_power(self, pressure: Real, temperature: Real) -> Array:
        """Full-throttle shaft power [W]."""
        ratio = np.divide(pressure, SEA_LEVEL_PRESSURE) * (SEA_LEVEL_TEMPERATURE / np.asarray(temperature))
        return np.asarray(self.rated_power * gagg_ferrar(ratio, self.drop))


@dataclass(frozen=True, slots=True)
class TurbochargedEngine:
    """Rated power held up to a critical pressure altitude, falling above it as without a charger.

    Parameters
    ----------
    rated_power : float or array
        At a manifold pressure that the charger holds, in standard air. [W]
    critical_altitude : float or array
        Highest pressure altitude at which the rated manifold pressure is held. [m]
    drop : float or array
        As `NaturallyAspiratedEngine`, on the density ratio to that of the critical altitude.

    Notes
    -----
    Times √(T_std/T) for air warmer than standard at the same manifold pressure (common practice); no
    intercooler is modelled. The corner at the critical altitude is continuous.
    """

    rated_power: Real
    critical_altitude: Real
    drop: Real = GAGG_FERRAR

    def full_power(self, pressure: Real, temperature: Real) -> Array:
        """Full-throttle shaft power [W]."""
        density = standard_density(altitude_of_pressure(pressure))
        above = gagg_ferrar(density / standard_density(self.critical_altitude), self.drop)
        return np.asarray(
            self.rated_power * np.minimum(above, 1.0) * temperature_correction(pressure, temperature)
        )


@dataclass(frozen=True, slots=True)
class ElectricMotor:
    """A motor whose power does not know the air, only the battery.

    Parameters
    ----------
    rated_power : float or array
        With a full battery. [W]
    state_of_charge : float or array
        0 … 1.
    sag : float or array
        Share of the rated power lost at an empty battery, linear in charge (common practice). 0 … 1.
    """

    rated_power: Real
    state_of_charge: Real = 1.0
    sag: Real = 0.0

    def full_power(self, pressure: Real, temperature: Real) -> Array:
        """Greatest shaft power [W]; the air's pressure and temperature only give it their shape."""
        left = 1 - self.sag * np.subtract(1.0, self.state_of_charge)
        return np.asarray(self.rated_power * left + 0.0 * (np.asarray(pressure) + np.asarray(temperature)))


def gagg_ferrar(density_ratio: Real, drop: Real = GAGG_FERRAR) -> Array:
    """Full-throttle power over sea-level power at a density ratio, φ = (σ − C)/(1 − C), not below zero.

    Examples
    --------
    >>> print(f"{gagg_ferrar(0.738477):.4f}")
    0.7038
    """
    return np.maximum(np.subtract(density_ratio, drop) / np.subtract(1.0, drop), 0.0)


def temperature_correction(pressure: Real, temperature: Real) -> Array:
    """Power at one manifold pressure over that in standard air, √(T_std/T) (common practice).

    From static pressure [Pa] and temperature [K] of the outside air.
    """
    return np.sqrt(standard_temperature(altitude_of_pressure(pressure)) / temperature)


def power_from_fuel_flow(fuel_flow: Real, fuel_density: Real, specific_consumption: Real) -> Array:
    """Shaft power [W] from the fuel flow.

    Fuel flow [m³/s], fuel density [kg/m³], specific consumption at that mixture [kg/J].

    Examples
    --------
    9 gal/h of 6 lb/gal fuel at 0.45 lb/(hp h) is 120 hp:

    >>> gallon, pound, horsepower = 3.785411784e-3, 0.45359237, 745.6998716
    >>> flow, density = 9 * gallon / 3600, 6 * pound / gallon
    >>> consumption = 0.45 * pound / (horsepower * 3600)
    >>> print(f"{power_from_fuel_flow(flow, density, consumption) / horsepower:.1f} hp")
    120.0 hp
    """
    return np.asarray(fuel_flow * np.asarray(fuel_density) / specific_consumption)
