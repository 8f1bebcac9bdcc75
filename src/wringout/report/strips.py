"""The report on the strips: how often each is usable through a year, what stops it, with what payload."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING

from wringout.evaluation.strip_words import (
    CAUTION,
    distance_words,
    found_sentence,
    interval_words,
    opening_sentence,
    payload_words,
    percent,
    practice_words,
    weather_words,
)
from wringout.evaluation.strips import strips_of
from wringout.report.blocks import Block, Cell, Column, caution, fail, lead, stack, table, text

if TYPE_CHECKING:
    from wringout.evaluation.evaluation import Evaluation


def strip_blocks(evaluation: Evaluation, figures: Mapping[str, Block]) -> list[Block]:
    """The sentence, the year of every strip, the table, what was asked and what is not counted.

    Empty where the dossier has no strip or no weather.
    """
    answer = strips_of(evaluation)
    if answer is None:
        return []
    units = evaluation.dossier.units
    judged = [found for found in answer.found if found.answer is not None]
    if not judged:
        return [lead("No strip could be judged.", *(found.refused for found in answer.found))]
    rows: list[list[Cell]] = []
    for found in answer.found:
        told = found.answer
        if told is None:
            rows.append([found.strip.name, found.refused, "–", "–", "–", "–"])
            continue
        share = percent(told.share)
        spread = interval_words(found)
        words = f"{share} ({spread})" if " to " in spread else share
        rows.append(
            [
                found.strip.name,
                told.binding or "nothing",
                words if told.share >= 0.5 else fail(words),
                distance_words(told.landing, units),
                distance_words(told.take_off, units),
                payload_words(found, units),
            ]
        )
    columns = (
        Column("strip", stretch=1),
        Column("what binds", stretch=1),
        Column("usable", kind="number"),
        Column("landing", kind="number"),
        Column("take-off", kind="number"),
        Column("payload, 9 in 10", kind="number"),
    )
    first = judged[0].answer
    cross = 0.0 if first is None else first.cross_wind
    worst = min(judged, key=lambda found: found.answer.share if found.answer else 1.0)
    blocks = [
        lead(opening_sentence(answer, units)),
        stack(
            text(f"{found_sentence(judged[0], answer, units)} {found_sentence(worst, answer, units)}"),
            text(practice_words(answer.asked.practice, cross, units)),
            note=[weather_words(answer, units)],
        ),
    ]
    figure = figures.get("strips")
    if figure is not None:
        blocks.append(figure)
    blocks.append(
        table(
            columns,
            rows,
            "landing and take-off in the middling hour of the year, margin included, of what is there",
            "payload counts the pilot and keeps nine hours in ten",
            f"as {answer.configuration}, techniques '{answer.techniques[0]}' and '{answer.techniques[1]}'",
        )
    )
    blocks.append(caution(CAUTION))
    return blocks
