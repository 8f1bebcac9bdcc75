"""Take-off and landing in the report as a flight manual prints them."""

from __future__ import annotations

from typing import TYPE_CHECKING

from wringout.quantity.dimensions import Dimension
from wringout.quantity.showing import show
from wringout.report.blocks import Block, Cell, Column, number, table, together

if TYPE_CHECKING:
    from wringout.dossier.dossier import Units
    from wringout.evaluation.evaluation import Evaluation
    from wringout.evaluation.handbook import HandbookTable


def handbook_blocks(evaluation: Evaluation) -> list[Block]:
    """One table for each run and configuration: a row a mass and altitude, a column a temperature."""
    return [together(handbook_table(item, evaluation.dossier.units)) for item in evaluation.handbook]


def handbook_table(item: HandbookTable, units: Units) -> Block:
    """Rolls and distances of one run, rounded up, with what they hold for."""
    step = 5.0 if units.distance == "m" else 10.0
    columns = [
        Column("mass", units.mass, "number"),
        Column("altitude", units.height, "number"),
        *(
            Column(number(warmth, units.temperature, 0, Dimension.TEMPERATURE), units.temperature, "number")
            for warmth in item.temperatures
        ),
        Column("nine in ten", units.distance, "number"),
    ]
    rows: list[list[Cell]] = []
    for i, mass in enumerate(item.masses):
        for j, altitude in enumerate(item.altitudes):
            row: list[Cell] = [
                number(mass, units.mass, 0) if j == 0 else "",
                number(altitude, units.height, 0),
            ]
            for k in range(len(item.temperatures)):
                roll, distance = item.ground_roll[i, j, k], item.distance[i, j, k]
                row.append(f"{_length(roll, units, step)} / {_length(distance, units, step)}")
            row.append(_length(item.distance_nine_in_ten[i, j, -1], units, step))
            rows.append(row)
    hottest = show(item.temperatures[-1], units.temperature, digits=0, dimension=Dimension.TEMPERATURE)
    return table(
        columns,
        rows,
        f"ground roll / distance over 15 m in {units.distance}, medians; still air, level strip",
        f"last column: distance at {hottest} within which the typical run lies with nine in ten",
        "add a margin of your own; the flight manual governs",
        title=f"{item.run.capitalize()}, {item.configuration}, '{item.technique}', on {item.surface}",
        dense=True,
    )


def _length(value: float, units: Units, step: float) -> str:
    """Rounded up to the step, as a manual would; a dash where it cannot be done."""
    from math import ceil, isfinite

    from wringout.quantity.units import convert

    if not isfinite(value):
        return "–"
    return f"{ceil(float(convert(value, units.distance)) / step) * step:.0f}"
