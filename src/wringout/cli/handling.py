"""`handling`: how it handled, in its pilots' words, and the ten-point scale question by question."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

from cyclopts import Parameter

from wringout.problems import InputError, Problem


def handling(
    folder: Path = Path(),
    /,
    *,
    scale: Annotated[
        bool, Parameter(help="The ten-point scale whole; no dossier is needed.", negative="")
    ] = False,
    answers: Annotated[
        str | None, Parameter(help="Walk the scale's tree: yes,yes,no – the next question or what remains.")
    ] = None,
    json: bool = False,
) -> int:
    """Ratings, forces, trim changes, stalls and impressions from the cards; no number that nobody gave.

    Parameters
    ----------
    folder
        The dossier.
    json
        Answer as JSON, in SI.
    """
    if answers is not None:
        return _walked(answers, as_json=json)
    if scale:
        return _whole_scale(as_json=json)
    from wringout.cli.blocks import show_block
    from wringout.cli.output import caution, print_json, say
    from wringout.cli.points import plain
    from wringout.dossier import load
    from wringout.evaluation.handling import CAUTION, handling_record
    from wringout.report.handling import NOTHING, TABLES, handling_sentence, handling_tables

    dossier = load(folder)
    record = handling_record(dossier.cards)
    if json:
        print_json({"record": plain(record), "caution": CAUTION})
        return 0
    if record.empty:
        say(NOTHING)
        return 0
    say(handling_sentence(record))
    for name in TABLES:
        for block in handling_tables(record, dossier.units, name):
            show_block(block)
    caution(CAUTION)
    return 0


def _walked(text: str, *, as_json: bool) -> int:
    """One step of the tree: the next question, or the ratings that remain."""
    from wringout.cli.output import print_json, say, table
    from wringout.dossier.rating_scale import walk

    words = [word.strip().casefold() for word in text.split(",") if word.strip()]
    if any(word not in ("yes", "no") for word in words):
        raise InputError(
            Problem(f"'{text}' is no list of answers", "write them like yes,yes,no", field="--answers")
        )
    try:
        fork = walk([word == "yes" for word in words])
    except ValueError as error:
        raise InputError(Problem(str(error), "leave out the answers behind it", field="--answers")) from None
    if as_json:
        question = None if fork.question is None else fork.question.asks
        choices = [
            {"rating": item.rating, "character": item.character, "demands": item.demands}
            for item in fork.choices
        ]
        print_json({"question": question, "choices": choices})
        return 0
    if fork.question is not None:
        say(f"{fork.question.asks} If not: {fork.question.if_no.lower()}.")
        return 0
    say("Rate it by the description that fits best.")
    table(
        "",
        ("rating", "the airplane in this task", "what it asks of the pilot"),
        ((str(item.rating), item.character, item.demands) for item in fork.choices),
        words=3,
    )
    return 0


def _whole_scale(*, as_json: bool) -> int:
    from wringout.cli.output import print_json, say, table
    from wringout.dossier.rating_scale import QUESTIONS
    from wringout.report.handling import scale_rows

    rows = scale_rows()
    if as_json:
        keys = ("rating", "answers", "character", "demands")
        print_json(
            {
                "questions": [
                    {"key": item.key, "asks": item.asks, "if_no": item.if_no} for item in QUESTIONS
                ],
                "ratings": [dict(zip(keys, row, strict=True)) for row in rows],
            }
        )
        return 0
    for place, item in enumerate(QUESTIONS, start=1):
        say(f"{place}. {item.asks} If not: {item.if_no.lower()}.")
    table(
        "The ten-point scale [NASA-TN-D-5153]",
        ("rating", "by the answers", "the airplane in this task", "what it asks of the pilot"),
        rows,
        words=4,
    )
    return 0
