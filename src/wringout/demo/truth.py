"""The truth of the demo as a file beside its generator: what every part of the pipeline can be held against.

`python -m wringout.demo.truth` writes `truth.toml` anew; a test holds the stored file against the generator.
"""

import tomllib
from collections.abc import Iterator
from dataclasses import dataclass, fields
from importlib import resources
from math import atan2, degrees, hypot
from pathlib import Path
from typing import Any

import numpy as np

from wringout.demo import machine
from wringout.demo.air import KNOT
from wringout.demo.claims_truth import claim_truths
from wringout.demo.flights import EMPTY, PLANS, STRIP, Flown, fly
from wringout.demo.nominal import calibrated, nominal_stall, true_answer
from wringout.demo.sensors import calibrated_airspeed, column, iso, position_error_factor
from wringout.demo.write import SEED
from wringout.model.question import Question
from wringout.quantity import Dimension, convert, parse

FILE = "truth.toml"
DIMENSIONS: dict[str, tuple[Dimension, str, int]] = {
    "stall speed": (Dimension.SPEED, "kt", 2),
    "cruise speed": (Dimension.SPEED, "kt", 2),
    "full-throttle speed": (Dimension.SPEED, "kt", 2),
    "fuel flow": (Dimension.VOLUME_FLOW, "L/h", 2),
    "rate of climb": (Dimension.SPEED, "ft/min", 0),
    "best climb speed": (Dimension.SPEED, "kt", 1),
    "service ceiling": (Dimension.LENGTH, "m", 0),
    "take-off ground roll": (Dimension.LENGTH, "m", 1),
    "take-off distance": (Dimension.LENGTH, "m", 1),
    "landing ground roll": (Dimension.LENGTH, "m", 1),
    "landing distance": (Dimension.LENGTH, "m", 1),
    "glide ratio": (Dimension.RATIO, "", 3),
    "best glide speed": (Dimension.SPEED, "kt", 1),
}
FIELD_QUANTITIES = ("take-off ground roll", "take-off distance", "landing ground roll", "landing distance")
MOST = machine.MAXIMUM_MASS


@dataclass(frozen=True, slots=True)
class TrueAnswer:
    """One question and the simulated airplane's own answer [SI]."""

    question: Question
    value: float
    dimension: Dimension


def questions() -> tuple[Question, ...]:
    """The questions of the truth file."""
    return tuple(_questions())


def _questions() -> Iterator[Question]:
    for flap in machine.FLAP_NAMES:
        yield Question("stall speed", "tail wheel", MOST, flap)
    yield Question("stall speed", "tail wheel", 950.0, "45")
    for gear in ("tail wheel", "nose wheel"):
        yield Question("cruise speed", gear, MOST, pressure_altitude=1500.0, power_fraction=0.75)
        yield Question("cruise speed", gear, MOST, pressure_altitude=2000.0, power_fraction=0.65)
        yield Question("full-throttle speed", gear, MOST, pressure_altitude=2000.0)
        yield Question("rate of climb", gear, MOST)
        yield Question("glide ratio", gear, MOST)
    yield Question("fuel flow", "tail wheel", MOST, pressure_altitude=1500.0, power_fraction=0.75)
    yield Question("fuel flow", "tail wheel", MOST, pressure_altitude=2000.0, power_fraction=0.65)
    yield Question("full-throttle speed", "tail wheel", MOST)
    yield Question("rate of climb", "tail wheel", MOST, pressure_altitude=2000.0)
    yield Question("best climb speed", "tail wheel", MOST)
    yield Question("best glide speed", "tail wheel", MOST)
    yield Question("service ceiling", "tail wheel", MOST)
    for quantity in FIELD_QUANTITIES:
        for gear in ("tail wheel", "nose wheel"):
            for technique in ("short field", "normal"):
                # As at Corran Mill on the days of the flights, without wind and level.
                yield Question(
                    quantity, gear, 1020.0, pressure_altitude=300.0, temperature=285.0, technique=technique
                )  # fmt: skip
            yield Question(quantity, gear, MOST, technique="short field")
        yield Question(
            quantity, "tail wheel", MOST, pressure_altitude=1490.0, temperature=293.15, slope=0.02,
            surface="gravel", technique="short field",
        )  # fmt: skip


def text() -> str:
    """The truth file, computed anew."""
    flights = [fly(plan, np.random.default_rng([SEED, number, 0])) for number, plan in enumerate(PLANS)]
    parts = [
        "# What the simulated Shepherd truly does: written by `python -m wringout.demo.truth`, never by hand.\n"
        "# Still, smooth air; no sensors; a pilot who never varies; CG at "
        f"{machine.MIDDLE_CG:g} m; stalls at the break, 1 kt/s.\n"
        f"\nseed = {SEED}\n"
    ]
    parts += [_answer(question) for question in questions()]
    parts += [_claim(*claim) for claim in claim_truths()]
    parts += [_empty(configuration) for configuration in EMPTY]
    parts += list(_position_errors())
    parts += [_stall_rates()]
    parts += [part for flown in flights for part in _flight(flown)]
    return "\n".join(parts)


def _answer(question: Question) -> str:
    dimension, unit, digits = DIMENSIONS[question.quantity]
    value = true_answer(question)
    shown = f"{convert(value, unit):.{digits}f} {unit}" if unit else f"{value:.{digits}f}"
    assert dimension is not Dimension.TEMPERATURE
    lines = [
        "[[answer]]",
        f'quantity = "{question.quantity}"',
        f'configuration = "{question.configuration}"',
        f'mass = "{question.mass:g} kg"',
    ]
    if question.flap is not None:
        lines.append(f'flap = "{question.flap}"')
    lines.append(f'pressure_altitude = "{question.pressure_altitude:g} m"')
    if question.temperature is not None:
        lines.append(f'temperature = "{question.temperature:g} K"')
    lines.append(f'head_wind = "{question.head_wind:g} m/s"')
    lines.append(f'slope = "{question.slope:.2%}"')
    lines.append(f'surface = "{question.surface}"')
    if question.power_fraction is not None:
        lines.append(f'power_fraction = "{question.power_fraction:.0%}"')
    if question.technique is not None:
        lines.append(f'technique = "{question.technique}"')
    return "\n".join([*lines, f'value = "{shown}"']) + "\n"


def _claim(identifier: str, status: str, arithmetic: str) -> str:
    return f'[[claim]]\nid = "{identifier}"\ntruth = "{status}"\narithmetic = "{arithmetic}"\n'


def _empty(configuration: str) -> str:
    mass, arm = EMPTY[configuration]
    return f'[[empty]]\nconfiguration = "{configuration}"\nmass = "{mass:g} kg"\narm = "{arm:g} m"\n'


def _position_errors() -> Iterator[str]:
    """Calibrated less indicated, level at 980 kg near 1600 m."""
    for number, flap in enumerate(machine.FLAP_NAMES):
        rows = []
        for knots in ((55, 65, 80, 95, 110, 120), (50, 60, 75), (48, 60, 75), (46, 58, 70))[number]:
            speed = knots * KNOT
            lift = 980.0 * 9.80665 / (0.5 * 1.225 * speed**2 * machine.WING_AREA)
            shown = speed * (1.0 + machine.pressure_error(lift, 15.0 * number)) ** 0.5
            rows.append(f'["{shown / KNOT:.2f} kt", "{(speed - shown) / KNOT:.2f} kt"]')
        yield (
            "[[position_error]]          # [indicated, calibrated − indicated]\n"
            f'flap = "{flap}"\nmass = "980 kg"\nrows = [{", ".join(rows)}]\n'
        )


def _stall_rates() -> str:
    """How the break depends on the entry rate, flap 45, maximum mass."""
    rows = []
    for rate in (0.5, 1.0, 2.0, 3.0):
        flown = nominal_stall(Question("stall speed", "tail wheel", MOST, "45"), rate)
        rows.append(
            f'["{flown.entry_rate:.2f} kt/s", "{calibrated(flown.break_speed, 0.0) / KNOT:.2f} kt",'
            f' "{calibrated(flown.least_speed, 0.0) / KNOT:.2f} kt"]'
        )
    return (
        "[stall_entry]               # [entry rate, calibrated speed at the break, least calibrated speed]\n"
        f'flap = "45"\nmass = "{MOST:g} kg"\nrows = [{", ".join(rows)}]\n'
    )


def _flight(flown: Flown) -> Iterator[str]:
    plan, samples = flown.plan, flown.samples
    reference = plan.weather.reference
    time, air = column(samples, "time"), flown.outing.craft.air
    middle = float(time[len(time) // 2])
    heights = np.unique([STRIP.elevation + 10.0, 600.0, float(np.percentile(column(samples, "height"), 75))])
    winds = []
    for height in heights:
        east, north = air.mean_wind(float(height), middle)
        winds.append(
            f'["{height:.0f} m", "{degrees(atan2(-east, -north)) % 360:.1f} °", "{hypot(east, north):.2f} m/s"]'
        )
    yield (
        f'[[flight]]\ncard = "{plan.name}"\nmass_at_start = "{flown.mass_at_start:.1f} kg"\n'
        f'cg_at_start = "{flown.cg_at_start:.4f} m"\nfuel_left = "{flown.fuel_left:.1f} L"\n'
        f"winds = [{', '.join(winds)}]   # [height, from, speed] in the middle of the flight, without gusts\n"
    )
    for point, off in flown.outing.take_offs:
        yield (
            f'[[take_off]]\ncard = "{plan.name}"\npoint = "{point}"\nstart = {iso(reference, off.start)}\n'
            f'ground_roll = "{off.ground_roll:.1f} m"\nair_distance = "{off.air_distance:.1f} m"\n'
            f'lift_off_speed = "{off.lift_off_speed / KNOT:.1f} kt"\n'
            f'obstacle_speed = "{off.obstacle_speed / KNOT:.1f} kt"\n'
            f'head_wind = "{off.head_wind / KNOT:.1f} kt"\nmass = "{off.mass:.1f} kg"\n'
            f"lift_off = {_exact(flown, off.lift_off)}\nobstacle = {_exact(flown, off.obstacle)}\n"
        )
    for point, down in flown.outing.landings:
        yield (
            f'[[landing]]\ncard = "{plan.name}"\npoint = "{point}"\nobstacle = {_exact(flown, down.obstacle)}\n'
            f'air_distance = "{down.air_distance:.1f} m"\nground_roll = "{down.ground_roll:.1f} m"\n'
            f'obstacle_speed = "{down.obstacle_speed / KNOT:.1f} kt"\n'
            f'touchdown_speed = "{down.touchdown_speed / KNOT:.1f} kt"\n'
            f'head_wind = "{down.head_wind / KNOT:.1f} kt"\nmass = "{down.mass:.1f} kg"\n'
            f"touchdown = {_exact(flown, down.touchdown)}\nstop = {_exact(flown, down.stop)}\n"
        )
    for point, broken in flown.outing.stalls:
        yield (
            f'[[stall]]\ncard = "{plan.name}"\npoint = "{point}"\nbreak = {_exact(flown, broken.time)}\n'
            f'break_speed = "{broken.break_speed / KNOT:.2f} kt"\nleast_speed = "{broken.least_speed / KNOT:.2f} kt"\n'
            f'entry_rate = "{broken.entry_rate:.2f} kt/s"\nmass = "{broken.mass:.1f} kg"\n'
        )
    yield from _steady_points(flown)


def _steady_points(flown: Flown) -> Iterator[str]:
    """Mean true and calibrated airspeed, climb through the air and power of each level, climb and glide point."""
    samples = flown.samples
    time = column(samples, "time")
    for noted in flown.outing.noted:
        if noted.kind not in ("level", "climb", "glide"):
            continue
        span = (time >= noted.start) & (time <= noted.end) & (np.abs(column(samples, "bank")) < 0.05)
        part = samples[span]
        true = column(part, "airspeed")
        slow = calibrated_airspeed(true, column(part, "pressure"), column(part, "temperature"))
        error = slow * (1.0 - np.sqrt(position_error_factor(part)))
        height = column(part, "height")
        rate = (height[-1] - height[0]) / (column(part, "time")[-1] - column(part, "time")[0])
        mixture = machine.RICH if noted.power == "full" else 1.0
        power = [
            machine.engine_power(manifold, speed, pressure, temperature, mixture)
            for manifold, speed, pressure, temperature in zip(
                *(
                    column(part, name).tolist()
                    for name in ("manifold", "engine_speed", "pressure", "temperature")
                ),
                strict=True,
            )
        ]
        yield (
            f'[[{noted.kind}]]\ncard = "{flown.plan.name}"\npoint = "{noted.id}"\n'
            f'true_airspeed = "{true.mean() / KNOT:.2f} kt"\ncalibrated_airspeed = "{slow.mean() / KNOT:.2f} kt"\n'
            f'position_error = "{error.mean() / KNOT:.2f} kt"\nrate_of_climb = "{rate:.3f} m/s"\n'
            f'power = "{np.mean(power) / 1e3:.2f} kW"\nmass = "{column(part, "mass").mean():.1f} kg"\n'
        )


def _exact(flown: Flown, seconds: float) -> str:
    from datetime import timedelta

    moment = flown.plan.weather.reference + timedelta(seconds=round(seconds, 2))
    return f"{moment:%Y-%m-%dT%H:%M:%S}.{moment.microsecond // 10000:02d}Z"


def stored() -> dict[str, Any]:
    """The stored truth file as plain data."""
    return tomllib.loads((resources.files("wringout.demo") / FILE).read_text(encoding="utf-8"))


def stored_answers() -> tuple[TrueAnswer, ...]:
    """The questions of the stored truth file with their answers in SI."""
    return tuple(_stored_answer(row) for row in stored()["answer"])


_READ: dict[str, Dimension] = {
    "mass": Dimension.MASS,
    "pressure_altitude": Dimension.LENGTH,
    "temperature": Dimension.TEMPERATURE,
    "head_wind": Dimension.SPEED,
    "slope": Dimension.SLOPE,
    "power_fraction": Dimension.RATIO,
    "speed": Dimension.SPEED,
}


def _stored_answer(row: dict[str, str]) -> TrueAnswer:
    dimension = DIMENSIONS[row["quantity"]][0]
    names = {field.name for field in fields(Question)}
    given: dict[str, Any] = {
        key: parse(value, _READ[key]) if key in _READ else value for key, value in row.items() if key in names
    }
    return TrueAnswer(Question(**given), parse(row["value"], dimension), dimension)


def main() -> None:
    """Write the truth file beside this module."""
    Path(__file__).with_name(FILE).write_text(text(), encoding="utf-8")


if __name__ == "__main__":
    main()
