"""The report on speeds, climb and cruise, and on take-off and landing."""

from __future__ import annotations

from dataclasses import replace
from itertools import zip_longest
from typing import TYPE_CHECKING

from wringout.quantity.dimensions import Dimension
from wringout.quantity.showing import show
from wringout.report.blocks import (
    Block,
    Cell,
    Column,
    digits_of,
    estimates,
    lead,
    number,
    numbered,
    origin_words,
    table,
)
from wringout.report.cameras import camera_blocks
from wringout.report.handbook import handbook_blocks
from wringout.report.point_figures import FIELD
from wringout.report.runs import runs_table
from wringout.report.words import listed

if TYPE_CHECKING:
    from wringout.dossier.dossier import Units
    from wringout.evaluation.evaluation import Evaluation
    from wringout.model.question import Prediction, Question

_ORDER = ("position error", "stall", "speed and power", "climb and speed", "climb and altitude", "glide")


def performance_blocks(evaluation: Evaluation, figures: dict[str, Block]) -> list[Block]:
    """Figures of speeds and climb with their measured points, then the table of answers."""
    units = evaluation.dossier.units
    air = [item for item in evaluation.predictions if item.question.quantity not in FIELD]
    blocks: list[Block] = [
        lead(
            _climb_sentence(evaluation),
            "dots: measured, with 90 % bars",
            "lines: fitted, with 90 % bands",
            "flags: the maker's claims",
        )
    ]
    for name in _ORDER:
        for block in numbered(figures, name):
            block["note"] = _note(name, evaluation)
            blocks.append(block)
    if air:
        blocks.append(_answers(air, units, "What the fitted airplane does in the air"))
    return blocks


def _climb_sentence(evaluation: Evaluation) -> str:
    """Stall, climb and cruise in one sentence, from the table of answers."""
    units = evaluation.dossier.units
    parts = []
    for quantity, words in (
        ("stall speed", "stalls at {} with full flap"),
        ("rate of climb", "climbs at {} from sea level"),
        ("cruise speed", "cruises at {}"),
    ):
        found = [item for item in evaluation.predictions if item.question.quantity == quantity]
        if quantity == "stall speed":
            last = evaluation.dossier.airplane.flaps[-1].name
            found = [item for item in found if item.question.flap == last]
        if found:
            answer = words.format(show(found[0].estimate.value, unit_for(found[0].question, units), digits=0))
            fraction = found[0].question.power_fraction
            parts.append(f"{answer} on {100 * fraction:.0f} % power" if fraction else answer)
    return f"It {listed(parts)}." if parts else "Nothing in the air was predicted."


_POWER_NOTE = (
    "a dot's distance across from its line: logged power against what the fit needs in the test conditions"
)


def _note(name: str, evaluation: Evaluation) -> list[str]:
    made = evaluation.points
    if name == "stall":
        return [f"{origin_words(point.origin)}, flaps {point.conditions.flap}" for point in made.stalls]
    if name == "speed and power":
        condition = next(
            line.condition for line in evaluation.curves if line.name == "cruise speed against power"
        )
        return [
            f"lines: {condition}",
            _POWER_NOTE,
            *(origin_words(point.origin) for point in made.levels),
        ]
    if name.startswith("climb"):
        curve = f"rate of climb against {name.removeprefix('climb and ')}"
        condition = next(line.condition for line in evaluation.curves if line.name == curve)
        return [
            f"lines: {condition}",
            *(origin_words(point.origin) for point in made.climbs if point.power == "full"),
        ]
    if name == "glide":
        condition = next(
            line.condition for line in evaluation.curves if line.name == "glide ratio against speed"
        )
        return [
            f"lines: {condition}",
            *(origin_words(point.origin) for point in made.climbs if point.power == "idle"),
        ]
    if name == "position error":
        return [
            "GPS legs: true airspeed from ground velocities, wind solved with it",
            "band: 90 %, where it was measured",
        ]
    return []


def field_blocks(evaluation: Evaluation, figures: dict[str, Block]) -> list[Block]:
    """Take-off and landing in each configuration: four figures, the points as flown, the table of answers."""
    units = evaluation.dossier.units
    blocks: list[Block] = [lead(evaluation.answer[1])]
    condition = next((line.condition for line in evaluation.curves if "against elevation" in line.name), "")
    note = (
        f"Lines: {condition}. Dots: as flown, brought to the lines' conditions by the fit, side by side "
        "where their heights are equal; bars: 90 %."
    )
    for names in (FIELD[:2], FIELD[2:]):
        found = [numbered(figures, name) for name in names]
        for pair in zip_longest(*found):
            both = [block for block in pair if block is not None]
            blocks.append({"type": "pair", "figures": both, "note": [note]})
    blocks += _flown(evaluation, units)
    if evaluation.runs:
        blocks.append(runs_table(evaluation.runs, units))
    for block in numbered(figures, "touchdowns"):
        block["note"] = ["dots: where each landing touched, with 90 % bars; tint: nine in ten of its pilot's"]
        blocks.append(block)
    blocks += camera_blocks(evaluation, units)
    ground = [item for item in evaluation.predictions if item.question.quantity in FIELD]
    if ground:
        blocks.append(_answers(ground, units, "What the fitted airplane needs of a field"))
    return blocks + handbook_blocks(evaluation)


_UNDER = {
    True: ("± one standard uncertainty; still-air roll: classical reduction to standard mass and density",),
    False: ("± one standard uncertainty; braking: mean deceleration over g, slope and wind taken out",),
}


def _flown(evaluation: Evaluation, units: Units) -> list[Block]:
    made = evaluation.points
    blocks = []
    for words, points in (("Take-offs as flown", made.takeoffs), ("Landings as flown", made.landings)):
        if not points:
            continue
        take_off = words.startswith("Take")
        columns = (
            Column("point"),
            Column("configuration"),
            Column("technique, surface", stretch=1),
            Column("mass", units.mass, "number"),
            Column("head wind", units.speed, "estimate"),
            Column("slope", "%", "number"),
            Column("ground roll", units.distance, "estimate"),
            Column("air distance", units.distance, "estimate"),
            Column("lift-off" if take_off else "touchdown", units.speed, "estimate"),
            Column(
                "braking" if not take_off else "still-air roll",
                "g" if not take_off else units.distance,
                "estimate",
            ),
        )
        speeds = (
            [point.lift_off_speed for point in made.takeoffs]
            if take_off
            else [point.touchdown_speed for point in made.landings]
        )
        last = (
            estimates([point.standard_ground_roll for point in made.takeoffs], units.distance)
            if take_off
            else estimates([point.mean_braking for point in made.landings], "")
        )
        rows: list[list[Cell]] = [
            [
                point.origin.point,
                point.conditions.configuration,
                f"{point.technique}, {point.surface}",
                number(point.conditions.mass.value, units.mass, 0),
                wind,
                number(point.slope.value, "%", 1, Dimension.SLOPE),
                roll,
                air,
                speed,
                rest,
            ]
            for point, wind, roll, air, speed, rest in zip(
                points,
                estimates([point.head_wind for point in points], units.speed, 0),
                estimates([point.ground_roll for point in points], units.distance, 0),
                estimates([point.air_distance for point in points], units.distance, 0),
                estimates(speeds, units.speed),
                last,
                strict=True,
            )
        ]
        blocks.append(
            table(
                columns,
                rows,
                *_UNDER[take_off],
                title=words,
            )
        )
    return blocks


def _answers(predictions: list[Prediction], units: Units, title: str) -> Block:
    """A row a question, a column a configuration."""
    configurations = list(dict.fromkeys(item.question.configuration for item in predictions))
    by_question: dict[Question, dict[str, Prediction]] = {}
    for item in predictions:
        asked = replace(item.question, configuration="")
        by_question.setdefault(asked, {})[item.question.configuration] = item
    rows: list[list[Cell]] = []
    for asked, answers in by_question.items():
        unit = unit_for(asked, units)
        row: list[Cell] = [asked.quantity, _condition(asked, units), unit or "–"]
        for configuration in configurations:
            row += _answer_cells(answers.get(configuration), unit)
        rows.append(row)
    columns = [Column("what"), Column("conditions", stretch=1), Column("unit")]
    for configuration in configurations:
        columns += [Column(configuration, kind="number"), Column("nine in ten")]
    return table(columns, rows, title=title)


def _answer_cells(item: Prediction | None, unit: str) -> list[Cell]:
    if item is None:
        return ["–", ""]
    dimension = item.estimate.dimension
    digits = digits_of(item.low, item.high, unit, dimension)
    low, value, high = (
        number(x, unit, digits, dimension) for x in (item.low, item.estimate.value, item.high)
    )
    return [value, f"{low} to {high}"]


def unit_for(asked: Question, units: Units) -> str:
    """The unit in which an answer is shown."""
    quantity = asked.quantity
    if quantity in ("rate of climb", "least sink"):
        return units.vertical_speed
    if quantity == "service ceiling":
        return units.height
    if quantity == "glide ratio":
        return ""
    if quantity == "turn bank":
        return "°"
    if quantity == "fuel flow":
        return units.fuel_flow
    return units.speed if "speed" in quantity else units.distance


def _condition(question: Question, units: Units) -> str:
    parts = [show(question.mass, units.mass, digits=0)]
    if question.flap is not None:
        parts.append(f"flaps {question.flap}")
    if question.power_fraction is not None:
        parts.append(f"{100 * question.power_fraction:.0f} % power")
    place = (
        "sea level"
        if question.pressure_altitude == 0
        else show(question.pressure_altitude, units.height, digits=0)
    )
    parts.append(place)
    parts.append(
        "standard day"
        if question.temperature is None
        else show(question.temperature, units.temperature, digits=0)
    )
    if "take-off" in question.quantity or "landing" in question.quantity:
        parts.append(question.surface)
    if question.technique:
        parts.append(question.technique)
    return ", ".join(parts)
