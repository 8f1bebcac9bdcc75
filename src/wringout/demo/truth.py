"""The truth of each demo as a file beside its data: what every part of the pipeline can be held against.

`python -m wringout.demo.truth` writes every `truth.toml` anew; a test holds the first against the generator.
"""

import tomllib
from collections.abc import Iterator
from dataclasses import dataclass, fields
from pathlib import Path
from typing import Any

from wringout.demo.air import KNOT
from wringout.demo.claims_truth import claim_truths
from wringout.demo.flights import fly
from wringout.demo.flown_truth import flight_truth
from wringout.demo.nominal import calibrated, nominal_stall, true_answer
from wringout.demo.setup import AIRPLANES, Setup, setup
from wringout.demo.setup import text as data
from wringout.demo.write import SEED
from wringout.model.question import PredictedQuantity, Question
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
FIELD_QUANTITIES: tuple[PredictedQuantity, ...] = (
    "take-off ground roll",
    "take-off distance",
    "landing ground roll",
    "landing distance",
)


@dataclass(frozen=True, slots=True)
class TrueAnswer:
    """One question and the simulated airplane's own answer [SI]."""

    question: Question
    value: float
    dimension: Dimension


def questions(airplane: str = AIRPLANES[0]) -> tuple[Question, ...]:
    """The questions of an airplane's truth file."""
    return tuple(_questions(setup(airplane)))


def _questions(made: Setup) -> Iterator[Question]:
    most, asked = made.machine.maximum_mass, made.asked
    gears = tuple(dict.fromkeys(plan.configuration for plan in made.plans))
    first, last_flap = gears[0], made.machine.flap_names[-1]
    for flap in made.machine.flap_names:
        yield Question("stall speed", first, most, flap)
    yield Question("stall speed", first, asked.light, last_flap)
    cruises: list[dict[str, Any]] = [
        {"pressure_altitude": height, "power_fraction": share} for height, share in asked.cruise
    ]
    for gear in gears:
        for cruise in cruises:
            yield Question("cruise speed", gear, most, **cruise)
        yield Question("full-throttle speed", gear, most, pressure_altitude=asked.full_throttle)
        yield Question("rate of climb", gear, most)
        yield Question("glide ratio", gear, most)
    for cruise in cruises:
        yield Question("fuel flow", first, most, **cruise)
    yield Question("full-throttle speed", first, most)
    yield Question("rate of climb", first, most, pressure_altitude=asked.climb)
    yield Question("best climb speed", first, most)
    yield Question("best glide speed", first, most)
    yield Question("service ceiling", first, most)
    for quantity in FIELD_QUANTITIES:
        cg = made.machine.middle_cg if quantity.startswith("landing") else None
        for gear in gears:
            for technique in ("short field", "normal"):
                # As at Corran Mill on the days of the flights, without wind and level.
                yield Question(
                    quantity, gear, asked.field, pressure_altitude=300.0, temperature=285.0,
                    technique=technique, cg=cg,
                )  # fmt: skip
            yield Question(quantity, gear, most, technique="short field", cg=cg)
        yield Question(
            quantity, first, most, pressure_altitude=asked.high_field, temperature=293.15, slope=0.02,
            surface="gravel", technique="short field", cg=cg,
        )  # fmt: skip


def text(airplane: str = AIRPLANES[0]) -> str:
    """The truth file of an airplane, computed anew."""
    made = setup(airplane)
    flights = [fly(made, plan, SEED) for plan in made.plans]
    head = (
        f"# What the simulated {airplane.title()} truly does; written by `python -m wringout.demo.truth`.\n"
        "# Still, smooth air; no sensors; a pilot who never varies; stalls at the break, 1 kt/s;\n"
        f"# CG at {made.machine.middle_cg:g} m. Flights, take-offs and so on: as flown, same simulator.\n"
        f"\nseed = {SEED}\n"
    )
    parts = [head]
    parts += [_answer(made, question) for question in _questions(made)]
    parts += [_claim(*claim) for claim in claim_truths(made)]
    parts += [_empty(configuration, *empty) for configuration, empty in made.empty.items()]
    parts += list(_position_errors(made))
    parts += [_stall_rates(made)]
    parts += [part for flown in flights for part in flight_truth(flown)]
    return "\n".join(parts)


def _answer(made: Setup, question: Question) -> str:
    dimension, unit, digits = DIMENSIONS[question.quantity]
    value = true_answer(made, question)
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
    if question.cg is not None:
        lines.append(f'cg = "{question.cg:g} m"')
    return "\n".join([*lines, f'value = "{shown}"']) + "\n"


def _claim(identifier: str, status: str, arithmetic: str) -> str:
    return f'[[claim]]\nid = "{identifier}"\ntruth = "{status}"\narithmetic = "{arithmetic}"\n'


def _empty(configuration: str, mass: float, arm: float) -> str:
    return f'[[empty]]\nconfiguration = "{configuration}"\nmass = "{mass:g} kg"\narm = "{arm:g} m"\n'


def _position_errors(made: Setup) -> Iterator[str]:
    """Calibrated less indicated in level flight at nine tenths of the maximum mass, sea level."""
    machine = made.machine
    mass = 0.9 * machine.maximum_mass
    for flap, degrees, most in zip(
        machine.flap_names, machine.flap_degrees, machine.maximum_lift, strict=True
    ):
        stall = (2.0 * mass * 9.80665 / (1.225 * machine.wing_area * most)) ** 0.5
        rows = []
        for ratio in (1.2, 1.4, 1.7, 2.1, 2.5) if degrees == 0.0 else (1.2, 1.5, 1.8):
            speed = ratio * stall
            lift = mass * 9.80665 / (0.5 * 1.225 * speed**2 * machine.wing_area)
            shown = speed * (1.0 + machine.static_error(lift, degrees)) ** 0.5
            rows.append(f'["{shown / KNOT:.2f} kt", "{(speed - shown) / KNOT:.2f} kt"]')
        yield (
            "[[position_error]]          # [indicated, calibrated − indicated]\n"
            f'flap = "{flap}"\nmass = "{mass:g} kg"\nrows = [{", ".join(rows)}]\n'
        )


def _stall_rates(made: Setup) -> str:
    """How the break depends on the entry rate, flaps right down, maximum mass."""
    machine = made.machine
    flap, gear = machine.flap_names[-1], made.plans[0].configuration
    rows = []
    for rate in (0.5, 1.0, 2.0, 3.0):
        flown = nominal_stall(made, Question("stall speed", gear, machine.maximum_mass, flap), rate)
        rows.append(
            f'["{flown.entry_rate:.2f} kt/s", "{calibrated(flown.break_speed, 0.0) / KNOT:.2f} kt",'
            f' "{calibrated(flown.least_speed, 0.0) / KNOT:.2f} kt"]'
        )
    return (
        "[stall_entry]               # [entry rate, calibrated speed at the break, least calibrated speed]\n"
        f'flap = "{flap}"\nmass = "{machine.maximum_mass:g} kg"\nrows = [{", ".join(rows)}]\n'
    )


def stored(airplane: str = AIRPLANES[0]) -> dict[str, Any]:
    """The stored truth file of an airplane as plain data."""
    return tomllib.loads(data(airplane, FILE))


def stored_answers(airplane: str = AIRPLANES[0]) -> tuple[TrueAnswer, ...]:
    """The questions of the stored truth file with their answers in SI."""
    return tuple(_stored_answer(row) for row in stored(airplane)["answer"])


_READ: dict[str, Dimension] = {
    "mass": Dimension.MASS,
    "pressure_altitude": Dimension.LENGTH,
    "temperature": Dimension.TEMPERATURE,
    "head_wind": Dimension.SPEED,
    "slope": Dimension.SLOPE,
    "power_fraction": Dimension.RATIO,
    "cg": Dimension.LENGTH,
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
    """Write each airplane's truth file beside its data."""
    for airplane in AIRPLANES:
        place = Path(__file__).parent / "airplanes" / airplane / FILE
        place.write_text(text(airplane), encoding="utf-8")


if __name__ == "__main__":
    main()
