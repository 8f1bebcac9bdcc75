"""The report on what the airplane costs: the hour, what it hangs on, where configurations break even."""

from __future__ import annotations

from typing import TYPE_CHECKING

from wringout.evaluation.cost_words import (
    HOUR,
    PARTS,
    by_hour_sentences,
    carrying_sentence,
    hangs_on,
    hour_sentence,
    meeting_sentences,
    shown_assumption,
    year_sentence,
)
from wringout.quantity.showing import show
from wringout.report.blocks import Block, Cell, Column, caution, lead, number, numbered, table, text

if TYPE_CHECKING:
    from wringout.dossier.dossier import Units
    from wringout.evaluation.costs import ConfigurationCost, Costing
    from wringout.evaluation.evaluation import Evaluation
    from wringout.ownership import CostFigure


def cost_blocks(evaluation: Evaluation, figures: dict[str, Block]) -> list[Block]:
    """The hour first, then its parts, what it hangs on, the break-even, missions and every assumption."""
    costing, units = evaluation.costing, evaluation.dossier.units
    if costing is None:
        return [lead("The dossier says nothing of what the airplane costs; costs.toml would say it.")]
    first = costing.configurations[0]
    notes = dict.fromkeys(note for item in costing.configurations for note in item.notes)
    blocks: list[Block] = [
        lead(hour_sentence(first), *notes),
        text(" ".join(part for part in (year_sentence(first), carrying_sentence(first, units)) if part)),
        hour_table(costing),
        *numbered(figures, "cost"),
        *numbered(figures, "break-even"),
    ]
    rest = [*by_hour_sentences(costing)[:1], *meeting_sentences(costing, units)[1:]]
    if rest:
        blocks.append(text(" ".join(rest)))
    blocks.append(mission_table(costing, units))
    blocks += [assumption_table(item, title=_title(item, costing)) for item in costing.configurations[:1]]
    return [*blocks, caution(costing.caution)]


def hour_table(costing: Costing) -> Block:
    """The parts of an hour, a column a configuration."""
    unit = f"{costing.currency}/h"
    columns = [Column("part of the hour", stretch=1)]
    columns += [Column(item.configuration, unit, "estimate") for item in costing.configurations]
    columns.append(Column(f"nine in ten, {costing.configurations[0].configuration}", unit, "number"))
    parts = [dict(item.reckoned.parts) | {"all": item.reckoned.hour} for item in costing.configurations]
    rows: list[list[Cell]] = []
    for name in (*PARTS, "all"):
        if all(each[name].value == 0.0 for each in parts):
            continue
        cells: list[Cell] = [_cell(each[name]) for each in parts]
        between = f"{_hour(parts[0][name].low)} to {_hour(parts[0][name].high)}"
        rows.append([PARTS.get(name, "the whole hour"), *cells, between])
    note = "± to first order; nine in ten from draws of all assumptions together"
    return table(columns, rows, note, wide=False)


def mission_table(costing: Costing, units: Units) -> Block:
    """Each mission with the configuration that it was asked of."""
    columns = (
        Column("mission", stretch=1),
        Column("with"),
        Column("time", "min", "number"),
        Column("fuel", units.fuel, "number"),
        Column("cost", costing.currency, "number"),
        Column("nine in ten", costing.currency, "number"),
        Column("one more", costing.currency, "number"),
    )
    rows: list[list[Cell]] = [
        [
            trip.name,
            item.configuration,
            number(trip.time.median, "min", 0),
            number(trip.fuel.median, units.fuel, 0),
            show(trip.cost.median, "", digits=0),
            f"{show(trip.cost.low, '', digits=0)} to {show(trip.cost.high, '', digits=0)}",
            show(trip.one_more.median, "", digits=0),
        ]
        for item in costing.configurations
        for trip in item.missions
    ]
    note = "one more: what such a trip beyond those of the year takes, reserves and fuel"
    return table(columns, rows, note, wide=False)


def assumption_table(cost: ConfigurationCost, *, title: str = "") -> Block:
    """Every assumption with its source, and between which costs it moves the hour."""
    unit = f"{cost.reckoned.costs.currency}/h"
    swings = {swing.assumption.key: swing for swing in cost.reckoned.swings}
    columns = (
        Column("assumption", stretch=1),
        Column("stated", kind="number"),
        Column("the hour then", unit, "number"),
        Column("source", stretch=1),
    )
    rows: list[list[Cell]] = []
    for item in cost.reckoned.assumptions:
        swing = swings.get(item.key)
        then = f"{_hour(swing.cost_at_low)} to {_hour(swing.cost_at_high)}" if swing else "–"
        rows.append([item.name, shown_assumption(item), then, item.source])
    return table(columns, rows, f"{hangs_on(cost)}.", title=title, dense=True, wide=True)


def _title(item: ConfigurationCost, costing: Costing) -> str:
    return f"Assumptions, {item.configuration}" if len(costing.configurations) > 1 else "Assumptions"


def _cell(figure: CostFigure) -> Cell:
    return {"text": show(figure.value * HOUR, "", digits=1), "sd": f"± {figure.sd * HOUR:.1f}"}


def _hour(value: float) -> str:
    return show(value * HOUR, "", digits=0)
