"""The report on the missions that readers care about."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from wringout.quantity.showing import show
from wringout.report.blocks import (
    Block,
    Cell,
    Column,
    caution,
    fail,
    heading,
    lead,
    number,
    numbered,
    stack,
    table,
    text,
)
from wringout.report.words import capital, listed

if TYPE_CHECKING:
    from wringout.dossier.dossier import Load, Units
    from wringout.evaluation.evaluation import Evaluation
    from wringout.loading import Stowage
    from wringout.missions import FieldFinding, MissionAnswer


def mission_blocks(evaluation: Evaluation, figures: dict[str, Block]) -> list[Block]:
    """Each mission: its answer, what goes where, the trip, the strips; then payload against range."""
    units = evaluation.dossier.units
    answers = evaluation.missions
    blocks: list[Block] = []
    if answers:
        words = [f"{mission.mission.name}: {mission.outcome}" for mission in answers]
        blocks.append(lead(f"{capital(listed(words))}."))
        blocks.append(caution(answers[0].caution))
    helps = evaluation.mission_changes or tuple(() for _ in answers)
    for mission, changes in zip(answers, helps, strict=True):
        blocks += _mission(mission, changes, numbered(figures, trip_key(mission)), units)
    for block in numbered(figures, "payload and range"):
        said = ["thin line: what mass alone would allow"]
        said += [line for result in evaluation.payload_range.values() for line in result.assumptions]
        block["note"] = list(dict.fromkeys(said))
        blocks.append(block)
    blocks += [text(result.sentence) for result in list(evaluation.payload_range.values())[1:]]
    return blocks


def trip_key(found: MissionAnswer) -> str:
    """What the report calls the figure of a mission's trip."""
    return f"trip {found.mission.name}"


def _mission(
    found: MissionAnswer, changes: Sequence[str], trip: Sequence[Block], units: Units
) -> list[Block]:
    mission = found.mission
    note = [f"{row.name}: {show(row.volume, units.fuel, digits=0)}" for row in found.fuel_rows]
    if found.time is not None:
        note.append(f"in the air: {found.time.value / 60.0:.0f} min")
    if found.furthest is not None:
        note.append(f"with what goes it reaches {show(found.furthest.value, units.range, digits=0)} at most")
    parts: list[Block] = [text(found.sentence)]
    if changes:
        parts.append(text(f"What would let it go: {' '.join(changes)}"))
    if found.placement is not None:
        parts.append(_places(found.placement, units))
    blocks = [heading(capital(mission.name)), text(mission.question), stack(*parts, note=note)]
    blocks += trip
    below: list[Block] = [_fields(found.fields, units)] if found.fields else []
    said = dict.fromkeys((*found.notes, *(note for field in found.fields for note in field.notes)))
    if said:
        below.append(text(" ".join(said)))
    if below:
        blocks.append(stack(*below, note=[capital(reason) for reason in found.reasons[:2]]))
    return blocks


def _places(stowage: Stowage, units: Units) -> Block:
    rows: list[list[Cell]] = [
        [_pieces(item.load, item.count), number(item.mass, units.mass, 0), item.station]
        for item in stowage.placed
    ]
    rows += [
        [
            _pieces(left.load, left.count),
            number(left.count * left.load.mass, units.mass, 0),
            fail(f"stays: {left.stop.words(units.mass)}"),
        ]
        for left in stowage.left
    ]
    columns = (Column("load", stretch=1), Column("mass", units.mass, "number"), Column("goes in", stretch=2))
    return table(columns, rows, wide=False)


def _pieces(load: Load, count: int) -> str:
    return load.name if load.count == 1 else f"{count} of {load.count} {load.name}"


def _fields(fields: Sequence[FieldFinding], units: Units) -> Block:
    rows: list[list[Cell]] = []
    for field in fields:
        there = number(field.available, units.distance, 0)
        between = f"{number(field.low, units.distance, 0)} to {number(field.high, units.distance, 0)}"
        rows.append(
            [
                field.movement,
                field.strip,
                number(field.mass, units.mass, 0),
                between,
                f"{field.factor:g}",
                number(field.required, units.distance, 0),
                there if field.enough else fail(there),
            ]
        )
    columns = (
        Column("movement"),
        Column("strip", stretch=1),
        Column("mass", units.mass, "number"),
        Column("over 15 m, 90 %", units.distance, "number"),
        Column("factor", kind="number"),
        Column("required", units.distance, "number"),
        Column("there is", units.distance, "number"),
    )
    return table(columns, rows, wide=False)
