"""The report on the machine: the undercarriage to scale, and what runs when something electrical fails."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from html import unescape
from typing import TYPE_CHECKING

from wringout.charts.electrics import TripMark, timeline
from wringout.charts.theme import Look
from wringout.charts.undercarriage import gear_plan_view, gear_side_view
from wringout.evaluation.electrics import ElectricsAnswer, answer_electrics
from wringout.evaluation.electrics_words import CAUTION as ELECTRICS_CAUTION
from wringout.evaluation.electrics_words import (
    electrics_sentence,
    electrics_tables,
    thirty_minutes_sentence,
    trip_sentence,
)
from wringout.evaluation.gear import GearAnswer, answer_gear, first_asked
from wringout.evaluation.gear_words import CAUTION as GEAR_CAUTION
from wringout.evaluation.gear_words import (
    direction_sentence,
    gear_sentence,
    gear_tables,
    marked_on,
    rule_table,
    ski_sentence,
    water_sentences,
)
from wringout.evaluation.word_table import WordTable, fails, plain_cell
from wringout.report.blocks import Block, Cell, Column, caution, fail, heading, lead, numbered, table, text

if TYPE_CHECKING:
    from wringout.evaluation.evaluation import Evaluation

SIDE, PLAN, TIMELINE = "undercarriage from the side", "undercarriage from above", "timeline"


def gear_answers(evaluation: Evaluation) -> tuple[GearAnswer, ...]:
    """The undercarriage of every configuration, at its aft limit and maximum mass."""
    dossier = evaluation.dossier
    return tuple(
        answer_gear(dossier, first_asked(dossier.airplane, item.name), evaluation.fit)
        for item in dossier.airplane.configurations
    )


def electrics_answer(evaluation: Evaluation) -> ElectricsAnswer | None:
    """The alternator's failure on a mild day; None where no electrical system is described."""
    electrical = evaluation.dossier.airplane.electrical
    if electrical is None or not electrical.loads:
        return None
    return answer_electrics(evaluation.dossier, None, evaluation.fit)


def systems_blocks(evaluation: Evaluation, figures: Mapping[str, Block]) -> list[Block]:
    """The reference's undercarriage with its drawings and tables, the others' rules, floats, electrics."""
    units = evaluation.dossier.units
    first, *others = gear_answers(evaluation)
    blocks: list[Block] = [
        heading("Undercarriage"),
        lead(gear_sentence(first)),
        *numbered(figures, SIDE),
        *numbered(figures, PLAN),
    ]
    blocks += [text(item) for item in (direction_sentence(first), ski_sentence(first)) if item]
    blocks += [word_block(item) for item in gear_tables(first, units)]
    for answer in others:
        said = (gear_sentence(answer), direction_sentence(answer), ski_sentence(answer))
        blocks.append(text(" ".join(item for item in said if item)))
        blocks.append(word_block(rule_table(answer)))
    blocks += [text(item) for item in water_sentences(first, units)]
    blocks.append(caution(GEAR_CAUTION))
    blocks.append(heading("Electrics"))
    electrics = electrics_answer(evaluation)
    if electrics is None:
        return [*blocks, text("No electrical system is described.")]
    blocks += [lead(electrics_sentence(electrics, units)), *numbered(figures, TIMELINE)]
    told = (trip_sentence(electrics, units), thirty_minutes_sentence(electrics))
    blocks += [text(item) for item in told if item]
    blocks += [word_block(item) for item in electrics_tables(electrics, units)]
    return [*blocks, caution(ELECTRICS_CAUTION)]


def system_drawings(evaluation: Evaluation, wide: Look, column: Look) -> Iterator[tuple[str, str, str, str]]:
    """Key, title, words and SVG of each drawing that can be made."""
    dossier = evaluation.dossier
    airplane, units = dossier.airplane, dossier.units
    name = airplane.configurations[0].name
    answer = answer_gear(dossier, first_asked(airplane, name), evaluation.fit)
    marked = marked_on(airplane, answer)
    try:
        side = gear_side_view(airplane, name, marked, units, look=wide)
        yield SIDE, f"As {name} from the side, to scale, the CG at its aft limit", _alt(side), side
        plan = gear_plan_view(airplane, name, marked, look=column)
        yield (
            PLAN,
            f"As {name} from above: the tightest turn and the line that it tips over",
            _alt(plan),
            plan,
        )
    except ValueError:
        pass  # nothing to draw from: the tables tell all the same
    electrics = electrics_answer(evaluation)
    if electrics is not None:
        trip = electrics.trip
        mark = None if trip is None or trip.reach is None else TripMark(trip.needed, trip.mission)
        batteries = [battery.name for battery in electrics.electrical.batteries]
        drawn = timeline(electrics.found, batteries, trip=mark, look=wide)
        yield TIMELINE, f"What runs if {electrics.asked.failure}", _alt(drawn), drawn


def word_block(item: WordTable) -> Block:
    """A table of finished cells as the template sets it."""
    columns = [
        Column(heading, unit, "text" if number < item.words else "number", 1.0 if number == 0 else 0.0)
        for number, (heading, unit) in enumerate(item.headings)
    ]
    rows: list[list[Cell]] = [
        [fail(plain_cell(cell)) if fails(cell) else cell for cell in row] for row in item.rows
    ]
    return table(columns, rows, *([item.note] if item.note else []), title=item.title, dense=True)


def _alt(drawing: str) -> str:
    return unescape(drawing.split('aria-label="', 1)[1].split('"', 1)[0])
