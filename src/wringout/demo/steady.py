"""Steady flight of the true airplane: level speed, climb and glide, solved from its forces without noise."""

from collections.abc import Callable
from dataclasses import dataclass
from math import asin, cos, sin, sqrt

from wringout.demo.air import STANDARD_DENSITY, STANDARD_GRAVITY, STANDARD_PRESSURE, AirMass
from wringout.demo.engine import IDLE_MANIFOLD
from wringout.demo.machine import Gear, Machine


@dataclass(frozen=True, slots=True)
class Power:
    """What the pilot sets: manifold pressure [Pa] (None: open), engine speed [1/s] of a governor, mixture.

    With a `shaft` power [W] it is the throttle that is moved until the engine gives that.
    """

    manifold: float | None
    engine_speed: float
    mixture: float
    shaft: float | None = None


@dataclass(frozen=True, slots=True)
class Running:
    """What engine and propeller do in steady flight: shaft power [W], turns [1/s], manifold pressure [Pa]."""

    shaft: float
    turns: float
    manifold: float


def full(machine: Machine, *, leaned: bool = False) -> Power:
    """Throttle open, full rich or leaned to best power."""
    return Power(None, machine.engine.rated_speed, 1.0 if leaned else machine.engine.rich)


def idle(machine: Machine) -> Power:
    """Throttle closed."""
    return Power(IDLE_MANIFOLD, machine.engine.rated_speed, 1.0)


@dataclass(frozen=True, slots=True)
class Condition:
    """Airplane and air of one steady state; `flap` in degrees, `height` above sea level [m]."""

    machine: Machine
    gear: Gear
    mass: float
    flap: float
    cg: float
    air: AirMass
    height: float


def running(condition: Condition, power: Power, airspeed: float) -> Running:
    """Engine and propeller at a true airspeed [m/s]; without a governor the turns that balance both."""
    pressure, temperature, density = condition.air.at(condition.height)
    engine, propeller = condition.machine.engine, condition.machine.propeller

    def at(turns: float) -> Running:
        most = engine.full_manifold(pressure, turns, 0.5 * density * airspeed**2)
        manifold = most if power.manifold is None else min(power.manifold, most)
        shaft = engine.power(manifold, turns, pressure, temperature, mixture=power.mixture)
        return Running(shaft if power.shaft is None else power.shaft, turns, manifold)

    if propeller.governed:
        return at(power.engine_speed)
    over = 2.0 * engine.rated_speed
    return at(_root(lambda turns: at(turns).shaft - propeller.absorbed(airspeed, density, turns), 5.0, over))


def excess(condition: Condition, power: Power, airspeed: float, path: float = 0.0) -> float:
    """(Thrust along the path − drag)/mass [m/s²] in steady flight at a path angle [rad]."""
    density = condition.air.at(condition.height)[2]
    machine, run = condition.machine, running(condition, power, airspeed)
    thrust = machine.propeller.thrust(run.shaft, airspeed, density, run.turns, run.manifold)
    area_pressure = 0.5 * density * airspeed**2 * machine.wing_area
    lift = condition.mass * STANDARD_GRAVITY * cos(path)
    for _ in range(3):
        angle = machine.incidence(lift / area_pressure, condition.flap)
        lift = condition.mass * STANDARD_GRAVITY * cos(path) - thrust * sin(angle)
    coefficient = lift / area_pressure
    greatest = machine.greatest_lift(condition.flap, condition.cg, 0.0, thrust / area_pressure)
    drag = (
        machine.drag_coefficient(condition.gear, condition.flap, coefficient, greatest, 1000.0)
        * area_pressure
    )
    return (thrust * cos(angle) - drag) / condition.mass


def level_speed(condition: Condition, power: Power) -> float:
    """The fast true airspeed [m/s] of steady level flight with this power setting."""
    return _root(lambda speed: excess(condition, power, speed), *_fast(condition, power))


def _fast(condition: Condition, power: Power) -> tuple[float, float]:
    """A speed at which there is power over, and one at which there is none."""
    slow = next(
        (each for each in range(60, 14, -2) if excess(condition, power, float(each)) > 0.0),
        15,
    )
    return float(slow), 110.0


def chart_manifold(condition: Condition, fraction: float, engine_speed: float) -> float:
    """Manifold pressure [Pa] of the maker's chart for a fraction of rated power; the truth is less."""
    pressure, temperature, _ = condition.air.at(condition.height)
    engine = condition.machine.engine
    return _root(
        lambda manifold: (
            fraction * engine.rated_power
            - engine.power(manifold, engine_speed, pressure, temperature, mixture=1.0, health=1.0)
        ),
        IDLE_MANIFOLD,
        max(STANDARD_PRESSURE, engine.boost_limit) * 1.2,
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
    return _greatest(lambda speed: climb_rate(condition, power, speed), *_slow(condition, 2.2))


def best_glide(condition: Condition) -> tuple[float, float]:
    """Equivalent airspeed [m/s] and ratio of the best glide at idle in still air."""
    density = condition.air.at(condition.height)[2]

    def ratio(speed: float) -> float:
        airspeed = speed * sqrt(STANDARD_DENSITY / density)
        sink = -climb_rate(condition, idle(condition.machine), speed)
        return sqrt(airspeed**2 - sink**2) / sink

    return _greatest(ratio, *_slow(condition, 2.4))


def _slow(condition: Condition, most: float) -> tuple[float, float]:
    """From just above the stall to `most` times that, equivalent airspeeds [m/s]."""
    machine = condition.machine
    greatest = machine.greatest_lift(condition.flap, condition.cg, 1.0, 0.0)
    stall = sqrt(2.0 * condition.mass * STANDARD_GRAVITY / (STANDARD_DENSITY * machine.wing_area * greatest))
    return 1.02 * stall, most * stall


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
