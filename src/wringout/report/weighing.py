"""The report on weighing and loading."""

from __future__ import annotations

from typing import TYPE_CHECKING

from wringout.loading.loading_report import LoadingReport
from wringout.quantity.showing import arm_digits, show, show_estimate
from wringout.report.blocks import Block, Cell, Column, estimates, fail, lead, number, table, together

if TYPE_CHECKING:
    from wringout.dossier.dossier import Units
    from wringout.evaluation.evaluation import Evaluation


def weighing_blocks(evaluation: Evaluation, figures: dict[str, Block]) -> list[Block]:
    """Empty mass by configuration, the equipment rows, and each flight's loading with its figure."""
    units = evaluation.dossier.units
    blocks: list[Block] = []
    empty = list(evaluation.empty.values())
    if empty:
        first = empty[0]
        arm = show(first.arm.value, units.arm, first.arm.sd, digits=arm_digits(units.arm))
        blocks.append(
            lead(
                f"Empty it weighs {show_estimate(first.mass, units.mass)} with its centre of gravity "
                f"{arm} aft of the datum ({first.configuration}).",
                first.mass.source,
            )
        )
    if len(empty) > 1:
        blocks.append(
            table(
                (
                    Column("configuration", stretch=1),
                    Column("empty mass", units.mass, "estimate"),
                    Column("arm", units.arm, "estimate"),
                ),
                zip(
                    [item.configuration for item in empty],
                    estimates([item.mass for item in empty], units.mass, digits=1),
                    estimates([item.arm for item in empty], units.arm, digits=arm_digits(units.arm)),
                    strict=True,
                ),
                "one standard uncertainty",
                wide=False,
            )
        )
    for item in empty:
        rows: list[list[Cell]] = [
            [
                row.name,
                number(row.reading, units.mass, 1),
                number(row.tare, units.mass, 1),
                number(row.mass, units.mass, 1),
                number(row.arm, units.arm, arm_digits(units.arm)),
                number(row.moment, "kg·m", 1),
            ]
            for row in item.rows
        ]
        rows.append(
            [
                f"empty, {item.configuration}",
                "",
                "",
                number(item.mass.value, units.mass, 1),
                number(item.arm.value, units.arm, arm_digits(units.arm)),
                number(item.moment, "kg·m", 1),
            ]
        )
        blocks.append(
            table(_row_columns(units), rows, title=f"How the empty mass adds up: {item.configuration}")
        )
    for card, report in evaluation.loadings.items():
        blocks += _loading(card, report, units, figures)
    return blocks


def _row_columns(units: Units) -> tuple[Column, ...]:
    return (
        Column("row", stretch=1),
        Column("reading", units.mass, "number"),
        Column("tare", units.mass, "number"),
        Column("net mass", units.mass, "number"),
        Column("arm", units.arm, "number"),
        Column("moment", "kg·m", "number"),
    )


def _loading(card: str, report: LoadingReport, units: Units, figures: dict[str, Block]) -> list[Block]:
    blocks: list[Block] = []
    parts: list[Block] = []
    figure = figures.get(f"loading {card}")
    if figure is not None:
        rows = [
            f"{row.name}: {show(row.mass, units.mass, digits=1)} at "
            f"{show(row.arm, units.arm, digits=arm_digits(units.arm))}"
            for row in report.rows
        ]
        figure["note"] = [f"{card}, {report.configuration}", *rows, *report.notes]
        parts.append(figure)
    states: list[list[Cell]] = []
    for state in report.states:
        margin = min(state.forward, state.aft)
        words, room = (
            number(margin, units.arm, arm_digits(units.arm)),
            number(state.mass_margin, units.mass, 1),
        )
        states.append(
            [
                state.name,
                number(state.fuel, units.fuel, 0),
                *estimates([state.mass], units.mass, digits=1),
                *estimates([state.cg], units.arm, digits=arm_digits(units.arm)),
                words if margin >= 0 else fail(words),
                room if state.mass_margin >= 0 else fail(room),
                state.nearest,
            ]
        )
    columns = (
        Column("moment of the flight"),
        Column("fuel", units.fuel, "number"),
        Column("mass", units.mass, "estimate"),
        Column("CG", units.arm, "estimate"),
        Column("CG margin", units.arm, "number"),
        Column("mass margin", units.mass, "number"),
        Column("nearest edge", stretch=1),
    )
    blocks.append(together(*parts, table(columns, states)))
    over = [check for check in report.limits if not check.within]
    if over:
        blocks.append(
            table(
                (
                    Column("place", stretch=1),
                    Column("found", units.mass, "number"),
                    Column("limit", units.mass, "number"),
                ),
                [[check.name, fail(f"{check.found:.1f}"), f"{check.limit:.1f}"] for check in over],
                wide=False,
            )
        )
    return blocks
