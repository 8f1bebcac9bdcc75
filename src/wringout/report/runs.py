"""Field lengths apart into airplane and pilot, and where landings touched."""

from __future__ import annotations

from collections.abc import Sequence

from wringout.dossier.dossier import Units
from wringout.model.runs import Hand, Runs
from wringout.quantity.showing import show
from wringout.report.blocks import Block, Cell, Column, estimates, number, table


def runs_table(every: Sequence[Runs], units: Units) -> Block:
    """A row a length and technique: the best that was flown, this pilot's runs, an average pilot's.

    Parameters
    ----------
    every : sequence of Runs
        At one condition and of one pilot, at least one.
    units : Units
    """
    unit = units.distance

    def nine(hand: Hand | None) -> Cell:
        return "–" if hand is None else number(hand.nine_in_ten.value, unit, 0)

    best = estimates([None if item.best is None else item.best.length for item in every], unit, 0)
    mine = estimates([None if item.mine is None else item.mine.typical for item in every], unit, 0)
    average = estimates([item.average.typical for item in every], unit, 0)
    rows: list[list[Cell]] = [
        [
            item.question.quantity,
            f"‘{item.question.technique}’",
            "–" if item.best is None else f"{item.best.count}",
            shortest,
            typical,
            nine(item.mine),
            anybody,
            nine(item.average),
        ]
        for item, shortest, typical, anybody in zip(every, best, mine, average, strict=True)
    ]
    whose = " and ".join(dict.fromkeys(item.pilot for item in every if item.pilot)) or "the pilot"
    asked = every[0].question
    columns = (
        Column("length"),
        Column("technique", stretch=1),
        Column("flown", kind="number"),
        Column("best demonstrated", unit, "estimate"),
        Column("its pilot, typically", unit, "estimate"),
        Column("nine in ten", unit, "number"),
        Column("an average pilot", unit, "estimate"),
        Column("nine in ten", unit, "number"),
    )
    return table(
        columns,
        rows,
        f"{asked.configuration}, {show(asked.mass, units.mass, digits=0)}, sea level, standard day, level "
        f"{asked.surface}, still air; its pilot: {whose}",
        "± one standard uncertainty; nine in ten: the length within which nine runs in ten keep",
        title="What the airplane did, what its pilot gets, what an average pilot will get",
    )
