"""Steady flight of the true airplane: level speed, climb and glide, solved from its forces without noise."""

from collections.abc import Callable
from dataclasses import dataclass
from math import asin, cos, sin, sqrt

from wringout.demo import machine
from wringout.demo.air import STANDARD_DENSITY, STANDARD_GRAVITY, STANDARD_PRESSURE, AirMass
from wringout.demo.machine import Gear


@dataclass(frozen=True, slots=True)
class Power:
    """What the pilot sets: manifold pressure [Pa] (None: open), engine speed [1/s], mixture as `machine`."""

    manifold: float | None
    engine_speed: float
    mixture: float


FULL = Power(None, machine.RATED_SPEED, machine.RICH)
FULL_LEANED = Power(None, machine.RATED_SPEED, 1.0)
IDLE = Power(machine.IDLE_MANIFOLD, machine.RATED_SPEED, 1.0)


@dataclass(frozen=True, slots=True)
class Condition:
    """Airplane and air of one steady state; `flap` in degrees, `height` above sea level [m]."""

    gear: Gear
    mass: float
    flap: float
    cg: float
    air: AirMass
    height: float


def shaft_power(condition: Condition, power: Power, airspeed: float) -> tuple[float, float]:
    """Shaft power [W] and the manifold pressure [Pa] that gives it."""
    pressure, temperature, density = condition.air.at(condition.height)
    full = machine.full_manifold_pressure(pressure, power.engine_speed, 0.5 * density * airspeed**2)
    manifold = full if power.manifold is None else min(power.manifold, full)
    return (
        machine.engine_power(manifold, power.engine_speed, pressure, temperature, mixture=power.mixture),
        manifold,
    )


def excess(condition: Condition, power: Power, airspeed: float, path: float = 0.0) -> float:
    """(Thrust along the path − drag)/mass [m/s²] in steady flight at a path angle [rad]."""
    density = condition.air.at(condition.height)[2]
    shaft, manifold = shaft_power(condition, power, airspeed)
    thrust = machine.thrust(shaft, airspeed, density, power.engine_speed, manifold)
    area_pressure = 0.5 * density * airspeed**2 * machine.WING_AREA
    lift = condition.mass * STANDARD_GRAVITY * cos(path)
    for _ in range(3):
        angle = machine.incidence(lift / area_pressure, condition.flap)
        lift = condition.mass * STANDARD_GRAVITY * cos(path) - thrust * sin(angle)
    coefficient = lift / area_pressure
    greatest = machine.maximum_lift(condition.flap, condition.cg, 0.0, thrust / area_pressure)
    drag = (
        machine.drag_coefficient(condition.gear, condition.flap, coefficient, greatest, 1000.0)
        * area_pressure
    )
    return (thrust * cos(angle) - drag) / condition.mass


def level_speed(condition: Condition, power: Power) -> float:
    """The fast true airspeed [m/s] of steady level flight with this power setting."""
    return _root(lambda speed: excess(condition, power, speed), 28.0, 90.0)


def chart_manifold(condition: Condition, fraction: float, engine_speed: float) -> float:
    """Manifold pressure [Pa] of the maker's chart for a fraction of rated power; the truth is less."""
    pressure, temperature, _ = condition.air.at(condition.height)
    return _root(
        lambda manifold: (
            fraction * machine.RATED_POWER
            - machine.engine_power(manifold, engine_speed, pressure, temperature, mixture=1.0, health=1.0)
        ),
        machine.IDLE_MANIFOLD,
        STANDARD_PRESSURE * 1.2,
    )


def climb_rate(condition: Condition, power: Power, equivalent_airspeed: float) -> float:
    """Geometric rate of climb [m/s] at a steady equivalent airspeed [m/s]; negative in a glide.

    At constant equivalent airspeed the true airspeed grows with height, which takes its share of the excess.
    """
    density = condition.air.at(condition.height)[2]
    airspeed = equivalent_airspeed * sqrt(STANDARD_DENSITY / density)
    higher = condition.air.at(condition.height + 100.0)[2]
    growth = (equivalent_airspeed * sqrt(STANDARD_DENSITY / higher) - airspeed) / 100.0
    path = 0.0
    for _ in range(6):
        path = asin(
            excess(condition, power, airspeed, path)
            / STANDARD_GRAVITY
            / (1.0 + airspeed * growth / STANDARD_GRAVITY)
        )
    return airspeed * sin(path)


def power_rate(condition: Condition, power: Power, airspeed: float) -> float:
    """Rate of climb [m/s] at a constant true airspeed [m/s] in uniform wind; negative in a glide."""
    path = 0.0
    for _ in range(8):
        path = asin(excess(condition, power, airspeed, path) / STANDARD_GRAVITY)
    return airspeed * sin(path)


def best_climb(condition: Condition, power: Power) -> tuple[float, float]:
    """Equivalent airspeed and rate [m/s] of the best rate of climb."""
    return _greatest(lambda speed: climb_rate(condition, power, speed), 24.0, 50.0)


def best_glide(condition: Condition) -> tuple[float, float]:
    """Equivalent airspeed [m/s] and ratio of the best glide at idle in still air."""
    density = condition.air.at(condition.height)[2]

    def ratio(speed: float) -> float:
        airspeed = speed * sqrt(STANDARD_DENSITY / density)
        sink = -climb_rate(condition, IDLE, speed)
        return sqrt(airspeed**2 - sink**2) / sink

    return _greatest(ratio, 24.0, 55.0)


def _root(function: Callable[[float], float], low: float, high: float) -> float:
    """The zero of a function that falls from positive at `low` to negative at `high`."""
    if function(high) > 0.0 or function(low) < 0.0:
        raise ValueError(f"no steady state between {low:g} and {high:g}")
    for _ in range(60):
        middle = 0.5 * (low + high)
        if function(middle) > 0.0:
            low = middle
        else:
            high = middle
    return 0.5 * (low + high)


def _greatest(function: Callable[[float], float], low: float, high: float) -> tuple[float, float]:
    """Golden-section search for the place and value of the single greatest value."""
    golden = 0.6180339887498949
    left, right = high - golden * (high - low), low + golden * (high - low)
    at_left, at_right = function(left), function(right)
    while high - low > 1e-4:
        if at_left > at_right:
            high, right, at_right = right, left, at_left
            left = high - golden * (high - low)
            at_left = function(left)
        else:
            low, left, at_left = left, right, at_right
            right = low + golden * (high - low)
            at_right = function(right)
    place = 0.5 * (low + high)
    return place, function(place)
