"""The truth of the demo as a file beside its generator: what every part of the pipeline can be held against.

`python -m wringout.demo.truth` writes `truth.toml` anew; a test holds the stored file against the generator.
"""

import tomllib
from collections.abc import Iterator
from dataclasses import dataclass, fields
from importlib import resources
from pathlib import Path
from typing import Any

from wringout.demo import machine
from wringout.demo.air import KNOT
from wringout.demo.claims_truth import claim_truths
from wringout.demo.flights import EMPTY, PLANS, fly
from wringout.demo.flown_truth import flight_truth
from wringout.demo.nominal import calibrated, nominal_stall, true_answer
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
    flights = [fly(plan, SEED) for plan in PLANS]
    head = (
        "# What the simulated Shepherd truly does; written by `python -m wringout.demo.truth`.\n"
        "# Still, smooth air; no sensors; a pilot who never varies; stalls at the break, 1 kt/s;\n"
        f"# CG at {machine.MIDDLE_CG:g} m. Flights, take-offs and so on: as flown, from the same simulator.\n"
        f"\nseed = {SEED}\n"
    )
    parts = [head]
    parts += [_answer(question) for question in questions()]
    parts += [_claim(*claim) for claim in claim_truths()]
    parts += [_empty(configuration) for configuration in EMPTY]
    parts += list(_position_errors())
    parts += [_stall_rates()]
    parts += [part for flown in flights for part in flight_truth(flown)]
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
