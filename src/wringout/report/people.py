"""The report on the missions that readers care about."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from wringout.quantity.showing import show
from wringout.report.blocks import (
    Block,
    Cell,
    Column,
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
    """Payload against range, then each mission: its answer first, then fuel, places and field."""
    units = evaluation.dossier.units
    answers = evaluation.missions
    blocks: list[Block] = []
    if answers:
        words = [f"{mission.mission.name}: {mission.outcome}" for mission in answers]
        blocks.append(lead(f"{capital(listed(words))}."))
    for block in numbered(figures, "payload and range"):
        said = ["thin line: what mass alone would allow"]
        said += [line for result in evaluation.payload_range.values() for line in result.assumptions]
        block["note"] = list(dict.fromkeys(said))
        blocks.append(block)
    blocks += [text(result.sentence) for result in list(evaluation.payload_range.values())[1:]]
    for mission in answers:
        blocks += _mission(mission, units)
    return blocks


def _mission(found: MissionAnswer, units: Units) -> list[Block]:
    mission = found.mission
    note = [capital(reason) for reason in found.reasons]
    note += [f"{row.name}: {show(row.volume, units.fuel, digits=0)}" for row in found.fuel_rows]
    parts: list[Block] = [text(f"{mission.question} {found.sentence}")]
    if found.placement is not None:
        parts.append(_places(found.placement, units))
    if found.fields:
        parts.append(_fields(found.fields, units))
    said = dict.fromkeys((*found.notes, *(note for field in found.fields for note in field.notes)))
    if said:
        parts.append(text(" ".join(said)))
    return [heading(capital(mission.name)), stack(*parts, note=note)]


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
