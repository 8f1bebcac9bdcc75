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
from wringout.physics.constants import SEA_LEVEL_DENSITY

NEWTON_STEPS = 5  # from the documented start: the disk's speed to 1e-12 over all speeds and powers (tests)
LEVEL_ADVANCE = 0.9  # advance ratio from which on a governed propeller's blades are as good as they get
SPEED_STEPS = 4  # power and the propeller speed that goes with it agree to 1e-4
SQUARE_ROOT = 0.5  # exponent of temperature at one manifold pressure (common practice)
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

    def power(
        self,
        true_airspeed: Real,
        density: Real,
        thrust: Real,
        full_power: Real,
        propeller_speed: Real | None = None,
    ) -> Array:
        """Shaft power [W] for a thrust [N]; `full_power` [W] is the engine's at full throttle in this air.

        The propeller speed [1/s] where it was measured; None stands for that of `part_power_speed`.
        """
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
    """An actuator disk whose blades pass on a share of the power that grows with advance ratio.

    Parameters
    ----------
    diameter : float or array
        [m]
    static_efficiency, cruise_efficiency : float or array
        Share η_b of the shaft power that reaches the air, at rest and at the advance ratio LEVEL_ADVANCE and
        beyond. The propulsive efficiency is η_b V/w, below η_b by the disk's own loss.
    rated_speed : float or array
        Propeller speed at full throttle. [1/s]
    cruise_speed : float or array, optional
        That which the governor holds at part power as long as the throttle gives the power there; the rated
        speed where None. [1/s]

    Notes
    -----
    [derived: `disk_speed`]. At rest it gives less than the ideal (2 ρ A P²)^⅓ by η_b^⅔. With J = V/(n d)
    η_b = η_c − (η_c − η_s)(1 − J/J₁)², level from J₁ on: blades that work hard at low advance ratio lose
    more, and the charts of variable-pitch propellers flatten near J₁ [NACA propeller tests, from memory].

    Examples
    --------
    >>> propeller = ConstantSpeedPropeller(2.03, 0.65, 0.88)
    >>> print(f"{propeller.thrust(0.0, 1.225, 149e3):.0f} N, {propeller.thrust(60.0, 1.225, 149e3):.0f} N")
    4205 N, 2011 N
    """

    diameter: Real
    static_efficiency: Real
    cruise_efficiency: Real
    rated_speed: Real = 45.0
    cruise_speed: Real | None = None

    def thrust(
        self, true_airspeed: Real, density: Real, power: Real, propeller_speed: Real | None = None
    ) -> Array:
        """Thrust [N]; the rated speed where no propeller speed is given."""
        useful = self.blade_efficiency(true_airspeed, propeller_speed) * power
        return useful / disk_speed(true_airspeed, useful / (2 * density * self._area()))

    def power(
        self,
        true_airspeed: Real,
        density: Real,
        thrust: Real,
        full_power: Real = np.inf,
        propeller_speed: Real | None = None,
    ) -> Array:
        """Shaft power [W] for a thrust [N], 0 where that is not positive.

        w from the quadratic T = 2 ρ A w (w − V), then T w/η_b; without a propeller speed that of
        `part_power_speed`, found in turn with the power.
        """
        pull = np.maximum(thrust, 0.0)
        half = np.asarray(true_airspeed, dtype=np.float64) / 2
        useful = pull * (half + np.sqrt(half**2 + pull / (2 * density * self._area())))
        if propeller_speed is not None:
            return np.asarray(useful / self.blade_efficiency(true_airspeed, propeller_speed))
        power = np.asarray(useful / self.blade_efficiency(true_airspeed))
        if self.cruise_speed is None:
            return power
        for _ in range(SPEED_STEPS):
            turns = self.part_power_speed(power, full_power)
            power = np.asarray(useful / self.blade_efficiency(true_airspeed, turns))
        return power

    def part_power_speed(self, power: Real, full_power: Real) -> Array:
        """Propeller speed [1/s] at part power: the governor's, or the least that gives the power.

        An open throttle gives power in proportion to the speed (common practice).
        """
        least = self.rated_speed if self.cruise_speed is None else self.cruise_speed
        return np.clip(self.rated_speed * np.divide(power, full_power), least, self.rated_speed)

    def blade_efficiency(self, true_airspeed: Real, propeller_speed: Real | None = None) -> Array:
        """Share of the shaft power that reaches the air at a true airspeed [m/s] and its speed [1/s]."""
        turns = self.rated_speed if propeller_speed is None else propeller_speed
        advance = np.divide(true_airspeed, np.multiply(turns, self.diameter))
        short = 1 - np.minimum(advance / LEVEL_ADVANCE, 1.0)
        return np.asarray(
            self.cruise_efficiency - np.subtract(self.cruise_efficiency, self.static_efficiency) * short**2
        )

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
    level_speed : float or array, optional
        That which it reaches at full throttle in level flight; the rated speed where None. [1/s]

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
    level_speed: Real | None = None

    def thrust(
        self, true_airspeed: Real, density: Real, power: Real, propeller_speed: Real | None = None
    ) -> Array:
        """Thrust [N]; the rated speed where no propeller speed is given."""
        turns = self.rated_speed if propeller_speed is None else propeller_speed
        return self.polar_slope * np.divide(power, turns) / self.diameter + self._windmilling(
            true_airspeed, density
        )

    def power(
        self,
        true_airspeed: Real,
        density: Real,
        thrust: Real,
        full_power: Real,
        propeller_speed: Real | None = None,
    ) -> Array:
        """Shaft power [W] for a thrust [N], at the speed of `part_power_speed` where none is given.

        0 where torque is negative.
        """
        torque_pull = np.maximum(thrust - self._windmilling(true_airspeed, density), 0.0)
        if propeller_speed is not None:
            return np.asarray(torque_pull * self.diameter * propeller_speed / self.polar_slope)
        at_rated_speed = torque_pull * self.diameter * self.rated_speed / self.polar_slope
        return at_rated_speed * np.sqrt(at_rated_speed / full_power) * self._overspeed()

    def part_power_speed(self, power: Real, full_power: Real) -> Array:
        """Propeller speed [1/s] at part power: the level speed times the cube root of power.

        One advance ratio (common practice); at full throttle power goes with speed: n³ = n_l² n_r P/P_full.
        """
        share = np.square(self._overspeed()) * np.divide(power, full_power)
        return np.asarray(self.rated_speed * np.cbrt(share))

    def _overspeed(self) -> Array:
        """Propeller speed at full throttle in level flight over that of rated power."""
        return np.asarray(1.0 if self.level_speed is None else np.divide(self.level_speed, self.rated_speed))

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
    heat : float or array
        Exponent of T_std/T for air that is not as warm as standard at its pressure.

    Notes
    -----
    P = P₀ (σ − C)/(1 − C) (T_std/T)^heat with σ of the standard atmosphere at this pressure [GaggFerrar1934,
    second-hand]; C is printed as 0.117, 0.12 and 0.132/1.132. Never negative.

    Examples
    --------
    180 hp at 8,000 ft:

    >>> engine = NaturallyAspiratedEngine(180.0)
    >>> print(f"{engine.full_power(75_262.4, 272.30):.1f} hp")
    136.4 hp
    """

    rated_power: Real
    drop: Real = GAGG_FERRAR
    heat: Real = SQUARE_ROOT

    def full_power(self, pressure: Real, temperature: Real) -> Array:
        """Full-throttle shaft power [W]."""
        standard = standard_density(altitude_of_pressure(pressure)) / SEA_LEVEL_DENSITY
        return np.asarray(
            self.rated_power
            * gagg_ferrar(standard, self.drop)
            * temperature_correction(pressure, temperature, self.heat)
        )


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
    heat : float or array
        As `NaturallyAspiratedEngine`.

    Notes
    -----
    No intercooler is modelled. The corner at the critical altitude is continuous.
    """

    rated_power: Real
    critical_altitude: Real
    drop: Real = GAGG_FERRAR
    heat: Real = SQUARE_ROOT

    def full_power(self, pressure: Real, temperature: Real) -> Array:
        """Full-throttle shaft power [W]."""
        density = standard_density(altitude_of_pressure(pressure))
        above = gagg_ferrar(density / standard_density(self.critical_altitude), self.drop)
        return np.asarray(
            self.rated_power
            * np.minimum(above, 1.0)
            * temperature_correction(pressure, temperature, self.heat)
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


def temperature_correction(pressure: Real, temperature: Real, exponent: Real = SQUARE_ROOT) -> Array:
    """Power in air of a temperature over that in standard air of the same pressure, (T_std/T)^exponent.

    From static pressure [Pa] and temperature [K] of the outside air; the square root is common practice.
    """
    return np.asarray((standard_temperature(altitude_of_pressure(pressure)) / temperature) ** exponent)


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
