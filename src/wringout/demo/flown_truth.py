"""What truly happened on each simulated flight: masses, winds, distances, speeds, for the truth file."""

from collections.abc import Iterator
from datetime import timedelta
from math import atan2, degrees, hypot

import numpy as np

from wringout.demo import machine
from wringout.demo.air import KNOT
from wringout.demo.flights import STRIP, Flown
from wringout.demo.ground import LandingFlown, TakeOffFlown
from wringout.demo.procedures import Noted, StallFlown
from wringout.demo.sensors import FloatArray, calibrated_airspeed, column, position_error_factor


def flight_truth(flown: Flown) -> Iterator[str]:
    """TOML tables of one flight: itself, its take-offs, landings, stalls, level legs, climbs and glides."""
    yield _flight(flown)
    for point, off in flown.outing.take_offs:
        yield _take_off(flown, point, off)
    for point, down in flown.outing.landings:
        yield _landing(flown, point, down)
    for point, broken in flown.outing.stalls:
        yield _stall(flown, point, broken)
    for noted in flown.outing.noted:
        if noted.kind in ("level", "climb", "glide"):
            yield _steady(flown, noted)


def _flight(flown: Flown) -> str:
    samples, air = flown.samples, flown.outing.craft.air
    time = column(samples, "time")
    middle = float(time[len(time) // 2])
    winds = []
    for height in (STRIP.elevation + 10.0, 600.0, float(np.percentile(column(samples, "height"), 75))):
        east, north = air.mean_wind(height, middle)
        direction = degrees(atan2(-east, -north)) % 360.0
        winds.append(f'["{height:.0f} m", "{direction:.1f} °", "{hypot(east, north):.2f} m/s"]')
    return (
        f'[[flight]]\ncard = "{flown.plan.name}"\nmass_at_start = "{flown.mass_at_start:.1f} kg"\n'
        f'cg_at_start = "{flown.cg_at_start:.4f} m"\nfuel_left = "{flown.fuel_left:.1f} L"\n'
        "# Height, direction from which, speed; in the middle of the flight, without gusts.\n"
        f"winds = [{', '.join(winds)}]\n"
    )


def _take_off(flown: Flown, point: str, off: TakeOffFlown) -> str:
    return (
        f"{_head('take_off', flown, point)}start = {_exact(flown, off.start)}\n"
        f"lift_off = {_exact(flown, off.lift_off)}\nobstacle = {_exact(flown, off.obstacle)}\n"
        f'ground_roll = "{off.ground_roll:.1f} m"\nair_distance = "{off.air_distance:.1f} m"\n'
        f"lift_off_speed = {_knots(off.lift_off_speed)}\nobstacle_speed = {_knots(off.obstacle_speed)}\n"
        f'head_wind = {_knots(off.head_wind)}\nmass = "{off.mass:.1f} kg"\n'
    )


def _landing(flown: Flown, point: str, down: LandingFlown) -> str:
    return (
        f"{_head('landing', flown, point)}obstacle = {_exact(flown, down.obstacle)}\n"
        f"touchdown = {_exact(flown, down.touchdown)}\nstop = {_exact(flown, down.stop)}\n"
        f'air_distance = "{down.air_distance:.1f} m"\nground_roll = "{down.ground_roll:.1f} m"\n'
        f"obstacle_speed = {_knots(down.obstacle_speed)}\ntouchdown_speed = {_knots(down.touchdown_speed)}\n"
        f'head_wind = {_knots(down.head_wind)}\nmass = "{down.mass:.1f} kg"\n'
    )


def _stall(flown: Flown, point: str, broken: StallFlown) -> str:
    return (
        f"{_head('stall', flown, point)}break = {_exact(flown, broken.time)}\n"
        f"break_speed = {_knots(broken.break_speed)}\nleast_speed = {_knots(broken.least_speed)}\n"
        f'entry_rate = "{broken.entry_rate:.2f} kt/s"\nmass = "{broken.mass:.1f} kg"\n'
    )


def _steady(flown: Flown, noted: Noted) -> str:
    """Means over the point without its turns; climb as the height gained over the time."""
    time = column(flown.samples, "time")
    straight = np.abs(column(flown.samples, "bank")) < 0.05
    part = flown.samples[(time >= noted.start) & (time <= noted.end) & straight]
    true = column(part, "airspeed")
    slow = calibrated_airspeed(true, column(part, "pressure"), column(part, "temperature"))
    error = slow * (1.0 - np.sqrt(position_error_factor(part)))
    height, seconds = column(part, "height"), column(part, "time")
    rate = (height[-1] - height[0]) / (seconds[-1] - seconds[0])
    power = _power(part, machine.RICH if noted.power == "full" else 1.0)
    return (
        f"{_head(noted.kind, flown, noted.id)}true_airspeed = {_knots(true.mean())}\n"
        f"calibrated_airspeed = {_knots(slow.mean())}\nposition_error = {_knots(error.mean())}\n"
        f'rate_of_climb = "{rate:.3f} m/s"\npower = "{power / 1e3:.2f} kW"\n'
        f'mass = "{column(part, "mass").mean():.1f} kg"\n'
    )


def _power(part: FloatArray, mixture: float) -> float:
    """Mean shaft power [W]."""
    settings = (
        column(part, name).tolist() for name in ("manifold", "engine_speed", "pressure", "temperature")
    )
    return float(
        np.mean([machine.engine_power(*row, mixture=mixture) for row in zip(*settings, strict=True)])
    )


def _head(kind: str, flown: Flown, point: str) -> str:
    return f'[[{kind}]]\ncard = "{flown.plan.name}"\npoint = "{point}"\n'


def _knots(speed: float) -> str:
    return f'"{speed / KNOT:.2f} kt"'


def _exact(flown: Flown, seconds: float) -> str:
    moment = flown.plan.weather.reference + timedelta(seconds=round(seconds, 2))
    return f"{moment:%Y-%m-%dT%H:%M:%S}.{moment.microsecond // 10000:02d}Z"
