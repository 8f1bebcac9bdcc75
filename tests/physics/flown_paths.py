"""Take-offs and landings flown by scipy's integrator to 1e-11: what the compiled loops are held against.

The forces are those of the physics' own functions, one speed at a time; the equations of motion are written
out anew, with the angle of the path for a state and time or length for what runs.
"""

from dataclasses import dataclass, fields, is_dataclass, replace
from math import acos, asin, atan, cos, log, sin, sqrt, tan
from typing import Any, TypeVar

import numpy as np
from scipy.integrate import quad, solve_ivp
from scipy.optimize import brentq

from wringout.physics.aerodynamics import drag_coefficient, ground_effect_factor
from wringout.physics.constants import GRAVITY
from wringout.physics.field_arrays import Conditions, LandingRows, TakeOffRows
from wringout.physics.vehicle import Air, Vehicle, drag, full_power

TIGHT: dict[str, Any] = {"rtol": 1e-11, "atol": 1e-11, "method": "DOP853"}
Part = TypeVar("Part")


def one(part: Part, index: int) -> Part:
    """The numbers of one vehicle or condition from arrays of them."""
    if is_dataclass(part) and not isinstance(part, type):
        named = {field.name: one(getattr(part, field.name), index) for field in fields(part)}
        return replace(part, **named)
    if isinstance(part, np.ndarray) and part.ndim:
        taken = part[index]
        return taken if taken.ndim else taken.item()  # type: ignore[no-any-return]
    return part


@dataclass(frozen=True)
class Strip:
    """Head wind, its logarithmic growth up to the obstacle, and slope."""

    wind: float
    gain: float
    tilt: float
    wing_height: float
    obstacle: float

    def at(self, height: float) -> float:
        """Head wind with the wheels at a height."""
        return self.wind + self._scale() * log((self.wing_height + height) / self.wing_height)

    def growth(self, height: float) -> float:
        """Of the head wind per height."""
        return self._scale() / (self.wing_height + height)

    def _scale(self) -> float:
        return self.gain / log((self.wing_height + self.obstacle) / self.wing_height)


def _along_ground(
    vehicle: Vehicle,
    air: Air,
    tilt: float,
    speed: float,
    *,
    pull: float,
    friction: float,
    lift: float,
    area: float,
) -> float:
    """Acceleration with the wheels on the strip; `area` of drag besides the airplane's."""
    effect = ground_effect_factor(np.divide(vehicle.wing_height, vehicle.span))
    polar = vehicle.zero_lift_drag, vehicle.induced_factor, vehicle.lift_at_minimum_drag
    pressure = 0.5 * float(air.density) * speed * abs(speed)
    held = float(drag_coefficient(lift, *polar, effect)) * float(vehicle.wing_area) + area
    burden = float(vehicle.mass) * GRAVITY
    wheels = max(burden * cos(tilt) - lift * float(vehicle.wing_area) * abs(pressure), 0.0)
    return (pull - held * pressure - friction * wheels - burden * sin(tilt)) / float(vehicle.mass)


def take_off_flown(rows: TakeOffRows, conditions: Conditions) -> tuple[float, float]:
    """Ground roll and distance to the obstacle of one vehicle in one condition."""
    vehicle, air = rows.vehicle, conditions.air
    true = sqrt(Air.standard(0.0).density / float(air.density))
    lift_off, tilt = float(rows.lift_off_speed) * true, atan(float(conditions.slope))
    gain = float(conditions.wind_gain)
    strip = Strip(
        float(conditions.head_wind), gain, tilt, float(vehicle.wing_height), float(rows.obstacle_height)
    )
    obstacle = float(rows.obstacle_speed) * true + float(rows.gain_kept) * gain
    power = full_power(vehicle, air)

    def runs(_: float, state: np.ndarray) -> list[float]:
        speed = float(state[1]) + strip.wind
        pull = float(vehicle.propeller.thrust(speed, air.density, power))
        lift, friction = (
            float(rows.ground_lift_coefficient),
            float(rows.rolling_friction[int(conditions.surface)]),
        )
        return [
            float(state[1]),
            _along_ground(vehicle, air, tilt, speed, pull=pull, friction=friction, lift=lift, area=0.0),
        ]

    def lifts_off(_: float, state: np.ndarray) -> float:
        return float(state[1]) + strip.wind - lift_off

    lifts_off.terminal = True  # type: ignore[attr-defined]
    rolled = solve_ivp(runs, (0, 900), [0.0, 0.0], events=lifts_off, **TIGHT)
    roll = float(rolled.y_events[0][0][0])
    return roll, roll + _climbed(rows, air, strip, lift_off, obstacle)


def _climbed(rows: TakeOffRows, air: Air, strip: Strip, start: float, end: float) -> float:
    """Distance over the ground from lift-off: an arc, left where the climb ends at the speed asked."""
    vehicle, power, tilt = rows.vehicle, full_power(rows.vehicle, air), strip.tilt
    rise, burden = strip.obstacle * cos(tilt), float(rows.vehicle.mass) * GRAVITY

    def gradient(speed: float, height: float, load: float) -> float:
        effect = ground_effect_factor((strip.wing_height + height) / float(vehicle.span))
        pull = float(vehicle.propeller.thrust(speed, air.density, power))
        return (pull - float(drag(vehicle, air, speed, load, effect))) / burden

    def changes(angle: float, speed: float, height: float, load: float) -> tuple[float, float]:
        """Of half the square of the airspeed over g, and of the distance over the ground, per length."""
        fresh = speed / GRAVITY * strip.growth(height) * sin(angle)
        return gradient(speed, height, load) - sin(angle + tilt) + fresh, cos(angle) - strip.at(
            height
        ) / speed

    def arc(_: float, state: np.ndarray) -> list[float]:
        angle, kinetic, height, _ground = (float(value) for value in state)
        speed, height = sqrt(2 * GRAVITY * kinetic), max(height, 0.0)
        load = float(rows.load_factor) * max(speed / start, 1.0) ** 2
        return [
            (load - cos(angle + tilt)) / (2 * kinetic),
            (changed := changes(angle, speed, height, load))[0],
            sin(angle),
            changed[1],
        ]

    def passes(_: float, state: np.ndarray) -> float:
        return float(state[2]) - rise

    passes.terminal = True  # type: ignore[attr-defined]
    begins = [0.0, start**2 / (2 * GRAVITY), 0.0, 0.0]
    flown = solve_ivp(arc, (0, 2000), begins, events=passes, dense_output=True, **TIGHT)

    def left(at: float) -> tuple[float, float]:
        """Speed over that asked and distance at the obstacle, where the arc is left after a length."""
        angle, kinetic, height, ground = (float(value) for value in flown.sol(at))

        def straight(_: float, state: np.ndarray) -> list[float]:
            speed = sqrt(2 * GRAVITY * float(state[0]))
            return [
                *changes(angle, speed, float(state[2]), cos(angle + tilt)),
                sin(angle),
            ]

        length = (rise - height) / sin(angle)
        if length > 1e-9:
            path = solve_ivp(straight, (0, length), [kinetic, ground, height], **TIGHT)
            kinetic, ground = float(path.y[0, -1]), float(path.y[1, -1])
        return sqrt(2 * GRAVITY * kinetic) - end, ground

    last = float(flown.t[-1])
    if left(last)[0] >= 0:
        return left(last)[1]
    first = last
    while left(first)[0] < 0:
        first *= 0.7
    return left(brentq(lambda at: left(at)[0], first, last, xtol=1e-9, rtol=1e-12))[1]


def landing_flown(rows: LandingRows, conditions: Conditions) -> tuple[float, float]:
    """Ground roll and distance from the obstacle of one vehicle in one condition.

    Approach and flare are those of `landing_air_distance`'s notes, line and circle; float and rolls are
    integrated.
    """
    vehicle, air = rows.vehicle, conditions.air
    true = sqrt(Air.standard(0.0).density / float(air.density))
    gain, height = float(conditions.wind_gain), float(rows.obstacle_height)
    fast = float(rows.approach_speed) * true - float(rows.approach_lag) * gain
    tilt, wing = atan(float(conditions.slope)), float(vehicle.wing_height)
    strip = Strip(float(conditions.head_wind), gain, tilt, wing, height)
    slow = float(rows.touchdown_speed) * true - (strip.at(float(rows.flare_height)) - strip.wind)
    slow = max(slow, float(rows.slowest_touchdown) * true)
    aimed = float(rows.approach_angle)
    if rows.aims:
        aimed = min(max(aimed * (1 - min(max((strip.wind + gain) / fast, -0.5), 0.5)), 0.01), 0.5)
    angle = asin(sin(aimed) + (cos(aimed) - strip.wind / fast) * tan(tilt))
    radius = fast**2 / (GRAVITY * (float(rows.load_factor) - sin(angle) / angle))
    turned = min(angle, acos(max(1 - height / radius, 0.0)))
    flare = radius * (1 - cos(turned))

    def idle(speed: float, load: float, above: float) -> float:
        effect = ground_effect_factor((wing + above) / float(vehicle.span))
        extra = 0.5 * float(air.density) * speed**2 * float(rows.propeller_drag_area)
        return (float(drag(vehicle, air, speed, load, effect)) + extra) / (float(vehicle.mass) * GRAVITY)

    arc = radius * turned
    energy = fast**2 + 2 * GRAVITY * (flare - arc * idle(fast, float(rows.load_factor), flare / 3))
    left = max(sqrt(max(energy, slow**2)) - gain, slow)
    lost = quad(lambda y: strip.at(y) / (fast * sin(angle)), flare, height, epsabs=1e-12)[0]
    lost += quad(strip.at, 0.0, flare, epsabs=1e-12)[0] / flare * 2 * arc / (fast + left)
    air_distance = (height - flare) / tan(angle) + radius * sin(turned) - lost
    if left > slow:
        air_distance += quad(
            lambda v: (v - strip.wind) / (GRAVITY * (idle(v, 1.0, 0.0) + sin(tilt))), slow, left, epsabs=1e-11
        )[0]
    roll = _stopped(rows, conditions, tilt, slow)
    return roll, roll + air_distance


def _stopped(rows: LandingRows, conditions: Conditions, tilt: float, touchdown: float) -> float:
    """Distance from touchdown: free for its time, then braked to a stop."""
    wind, surface = float(conditions.head_wind), int(conditions.surface)

    def slows(friction: float) -> Any:
        def motion(_: float, state: np.ndarray) -> list[float]:
            lift, area = float(rows.ground_lift_coefficient), float(rows.propeller_drag_area)
            speed = float(state[1]) + wind
            force = _along_ground(
                rows.vehicle, conditions.air, tilt, speed, pull=0.0, friction=friction, lift=lift, area=area
            )
            return [float(state[1]), force]

        return motion

    def stops(_: float, state: np.ndarray) -> float:
        return float(state[1])

    stops.terminal = True  # type: ignore[attr-defined]
    start, free = [0.0, touchdown - wind], float(rows.free_roll_time)
    if start[1] <= 0:
        return 0.0
    rolled = solve_ivp(slows(float(rows.rolling_friction[surface])), (0, free), start, events=stops, **TIGHT)
    if rolled.t_events[0].size:
        return float(rolled.y_events[0][0][0])
    braked = solve_ivp(slows(float(rows.braking[surface])), (0, 900), rolled.y[:, -1], events=stops, **TIGHT)
    return float(braked.y_events[0][0][0])
