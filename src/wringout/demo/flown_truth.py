"""What truly happened on each simulated flight: masses, winds, distances, speeds, for the truth file."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import timedelta
from math import atan2, degrees, hypot

import numpy as np

from wringout.demo import steady
from wringout.demo.air import KNOT
from wringout.demo.engine import PistonEngine
from wringout.demo.flights import Flown
from wringout.demo.ground import LandingFlown, TakeOffFlown
from wringout.demo.nominal import stall_speed_at
from wringout.demo.procedures import Noted, StallFlown
from wringout.demo.sensors import FloatArray, calibrated_airspeed, column, position_error_factor

STRAIGHT = 0.05  # rad of bank; more is a turn


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
    for height in (air.base_height + 10.0, 600.0, float(np.percentile(column(samples, "height"), 75))):
        east, north = air.mean_wind(height, middle)
        winds.append(
            f'["{height:.0f} m", "{_blows_from(east, north):.1f} °", "{hypot(east, north):.2f} m/s"]'
        )
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
    """As flown, and what this stall would have shown at 1 kt/s in smooth air."""
    flap = flown.setup.machine.flap_name(broken.flap)
    standard = stall_speed_at(flown.setup, flap, broken.mass, flown.cg_at_start)
    return (
        f"{_head('stall', flown, point)}break = {_exact(flown, broken.time)}\n"
        f"break_speed = {_knots(broken.break_speed)}\nleast_speed = {_knots(broken.least_speed)}\n"
        f'entry_rate = "{broken.entry_rate:.2f} kt/s"\nstall_speed = {_knots(standard)}\n'
        f'mass = "{broken.mass:.1f} kg"\n'
    )


@dataclass(frozen=True, slots=True)
class SteadyTruth:
    """Means over the straight flight of some spans [SI].

    `rate_of_climb` is the height gained over the time, `power_rate` what the same power gives at constant
    true airspeed in air that neither rises nor changes its wind with height, by the forces.
    """

    true_airspeed: float
    calibrated_airspeed: float
    position_error: float
    rate_of_climb: float
    power_rate: float
    power: float
    mass: float
    wind: tuple[float, float]  # east and north at the mean height and time, without gusts


def steady_truth(flown: Flown, power: str, spans: Iterable[tuple[float, float]]) -> SteadyTruth:
    """What truly happened in steady flight over spans [s after the weather's reference], turns left out.

    `power` is that of the card: 'full', 'part' or 'idle'; at part power `power_rate` is NaN.
    """
    time = column(flown.samples, "time")
    inside = np.zeros(len(time), dtype=bool)
    for start, end in spans:
        inside |= (time >= start) & (time <= end)
    part = flown.samples[inside & (np.abs(column(flown.samples, "bank")) < STRAIGHT)]
    true = column(part, "airspeed")
    slow = calibrated_airspeed(true, column(part, "pressure"), column(part, "temperature"))
    height, seconds = column(part, "height"), column(part, "time")
    machine = flown.setup.machine
    setting = {"full": steady.full(machine), "idle": steady.idle(machine)}.get(power)
    condition = steady.Condition(
        machine,
        flown.outing.craft.gear,
        float(column(part, "mass").mean()),
        float(column(part, "flap").mean()),
        flown.cg_at_start,
        flown.outing.craft.air,
        float(height.mean()),
    )
    return SteadyTruth(
        float(true.mean()),
        float(slow.mean()),
        float((slow * (1.0 - np.sqrt(position_error_factor(machine, part)))).mean()),
        float((height[-1] - height[0]) / (seconds[-1] - seconds[0])),
        float("nan") if setting is None else steady.power_rate(condition, setting, float(true.mean())),
        _power(machine.engine, part, machine.engine.rich if power == "full" else 1.0),
        condition.mass,
        condition.air.mean_wind(condition.height, float(seconds.mean())),
    )


def _steady(flown: Flown, noted: Noted) -> str:
    found = steady_truth(flown, noted.power, [(noted.start, noted.end)])
    by_power = "" if noted.kind == "level" else f'power_rate = "{found.power_rate:.3f} m/s"\n'
    return (
        f"{_head(noted.kind, flown, noted.id)}true_airspeed = {_knots(found.true_airspeed)}\n"
        f"calibrated_airspeed = {_knots(found.calibrated_airspeed)}\n"
        f"position_error = {_knots(found.position_error)}\n"
        f'rate_of_climb = "{found.rate_of_climb:.3f} m/s"\n{by_power}power = "{found.power / 1e3:.2f} kW"\n'
        f'mass = "{found.mass:.1f} kg"\nwind_from = "{_blows_from(*found.wind):.1f} °"\n'
        f"wind_speed = {_knots(hypot(*found.wind))}\n"
    )


def _blows_from(east: float, north: float) -> float:
    """Direction [degrees true] from which a wind blows."""
    return degrees(atan2(-east, -north)) % 360.0


def _power(engine: PistonEngine, part: FloatArray, mixture: float) -> float:
    """Mean shaft power [W]."""
    settings = (
        column(part, name).tolist() for name in ("manifold", "engine_speed", "pressure", "temperature")
    )
    return float(np.mean([engine.power(*row, mixture=mixture) for row in zip(*settings, strict=True)]))


def _head(kind: str, flown: Flown, point: str) -> str:
    return f'[[{kind}]]\ncard = "{flown.plan.name}"\npoint = "{point}"\n'


def _knots(speed: float) -> str:
    return f'"{speed / KNOT:.2f} kt"'


def _exact(flown: Flown, seconds: float) -> str:
    moment = flown.plan.weather.reference + timedelta(seconds=round(seconds, 2))
    return f"{moment:%Y-%m-%dT%H:%M:%S}.{moment.microsecond // 10000:02d}Z"
