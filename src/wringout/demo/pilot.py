"""The pilot of the simulator: techniques with their scatter, and how speed, height and heading are held."""

from dataclasses import dataclass, replace
from math import asin, atan2, cos, hypot, pi, radians, sin, sqrt

from wringout.demo.air import STANDARD_DENSITY, STANDARD_GRAVITY, STANDARD_PRESSURE
from wringout.demo.craft import FINE_STEP, Craft, Noise
from wringout.demo.engine import IDLE_MANIFOLD


@dataclass(frozen=True, slots=True)
class TakeOffTechnique:
    """How a take-off is flown; speeds as ratios to the stall speed with its flap at that mass."""

    name: str
    flap: float
    rotation: float
    climb_out: float
    rotation_rate: float  # lift coefficient per second
    against_brakes: bool
    steepest_start: float = 1.0  # scales the acceleration that the pilot lets go into speed first


@dataclass(frozen=True, slots=True)
class LandingTechnique:
    """How a landing is flown; speeds as ratios to the stall speed with its flap at that mass."""

    name: str
    flap: float
    approach: float
    touchdown: float  # the speed to which the pilot lets it float
    approach_angle: float  # degrees
    flare_height: float
    hold_off: bool
    free_roll: float  # s before the brakes bite
    effort: float  # share of the grip that is used


@dataclass(frozen=True, slots=True)
class Habits:
    """How the pilot flies between the points; speeds in kt on the indicator, engine in rev/min."""

    climb_out: float
    crosswind: float
    downwind: float
    base: float
    base_flap: float  # degrees
    arrival: float
    join: float
    between: float  # climbing from one run to the next
    recovery: float  # after a stall, …
    after_stall: float  # … and climbing back
    crosswind_manifold: float  # inHg
    descent_rpm: float
    join_rpm: float


def scattered_take_off(technique: TakeOffTechnique, noise: Noise) -> TakeOffTechnique:
    """The technique as it comes out this time."""
    return replace(
        technique,
        rotation=technique.rotation * (1.0 + 0.018 * noise()),
        climb_out=technique.climb_out * (1.0 + 0.025 * noise()),
        rotation_rate=technique.rotation_rate * (1.0 + 0.12 * noise()),
    )


def scattered_landing(technique: LandingTechnique, noise: Noise) -> LandingTechnique:
    """The technique as it comes out this time."""
    return replace(
        technique,
        approach=technique.approach * (1.0 + 0.020 * noise()),
        touchdown=technique.touchdown * (1.0 + 0.018 * noise()),
        approach_angle=technique.approach_angle * (1.0 + 0.06 * noise()),
        flare_height=technique.flare_height * (1.0 + 0.10 * noise()),
        free_roll=max(technique.free_roll + 0.25 * noise(), 0.2),
        effort=min(technique.effort * (1.0 + 0.06 * noise()), 1.0),
    )


def stall_speed(craft: Craft, flap: float) -> float:
    """Equivalent stall speed [m/s] at idle and 1 kt/s at the mass of the moment."""
    greatest = craft.machine.greatest_lift(flap, craft.cg, 1.0, 0.0)
    return sqrt(2.0 * craft.mass * STANDARD_GRAVITY / (STANDARD_DENSITY * craft.machine.wing_area * greatest))


def shown_speed(equivalent: float, craft: Craft, flap: float) -> float:
    """What the needle shows at a steady equivalent airspeed [m/s] in level flight."""
    area_pressure = 0.5 * STANDARD_DENSITY * equivalent**2 * craft.machine.wing_area
    coefficient = craft.mass * STANDARD_GRAVITY / area_pressure
    return equivalent * sqrt(1.0 + craft.machine.static_error(coefficient, flap))


def ask_path(craft: Craft, path: float, quickness: float, least: float = 0.75, most: float = 1.25) -> None:
    """Pull or push so that the path angle [rad] settles at the wanted one within `quickness` [s]."""
    turn = craft.airspeed / STANDARD_GRAVITY * (path - craft.path) / quickness
    factor = (cos(craft.path) + turn) / cos(craft.bank)
    craft.load_factor_command = min(max(factor, least), most)


def hold_height(craft: Craft, height: float) -> None:
    """Fly level at a height, correcting at no more than 3 m/s."""
    climb = min(max(0.10 * (height - craft.height), -3.0), 3.0)
    ask_path(craft, climb / craft.airspeed, 1.2)


def hold_speed(craft: Craft, shown: float, quickness: float = 1.5, steepest: float = 0.35) -> None:
    """Hold an airspeed on the needle with pitch, power as it is."""
    acceleration = min(max(0.16 * (shown - craft.indicated), -0.8), 0.8)
    sine = min(max((craft.excess - acceleration) / STANDARD_GRAVITY, -steepest), steepest)
    ask_path(craft, asin(sine), quickness)


def hold_speed_with_power(craft: Craft, shown: float, ticks: int) -> None:
    """Hold an airspeed on the needle with the throttle, path as it is."""
    needed = STANDARD_GRAVITY * sin(craft.path) + 0.14 * (shown - craft.indicated)
    change = 14000.0 * (needed - craft.excess) * ticks * FINE_STEP
    wanted = craft.manifold_command + min(max(change, -900.0 * ticks), 900.0 * ticks)
    most = max(STANDARD_PRESSURE, craft.machine.engine.boost_limit)
    craft.manifold_command = min(max(wanted, IDLE_MANIFOLD), most)


def hold_heading(craft: Craft, heading: float, steepest: float = radians(30.0)) -> None:
    """Turn to a heading [rad] and hold it."""
    error = angle_between(craft.heading, heading)
    craft.bank_command = min(max(1.3 * error, -steepest), steepest)


def follow_line(craft: Craft, east: float, north: float, course: float) -> float:
    """Follow the line through a point on a course [rad], drift allowed for; the distance still to go."""
    sine, cosine = sin(course), cos(course)
    de, dn = craft.east - east, craft.north - north
    across = de * cosine - dn * sine
    cross_wind = craft.wind_east * cosine - craft.wind_north * sine
    drift = asin(min(max(cross_wind / craft.airspeed, -0.6), 0.6))
    correction = min(max(-0.006 * across, -0.6), 0.6)
    hold_heading(craft, course + correction - drift)
    return -(de * sine + dn * cosine)


def head_for(craft: Craft, east: float, north: float) -> float:
    """Fly straight towards a point, drift allowed for; returns the distance to it [m]."""
    de, dn = east - craft.east, north - craft.north
    follow_line(craft, east, north, atan2(de, dn))
    return hypot(de, dn)


def angle_between(start: float, end: float) -> float:
    """The turn from one heading to another [rad], the short way."""
    return (end - start + pi) % (2.0 * pi) - pi
