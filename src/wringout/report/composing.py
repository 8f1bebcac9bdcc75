"""An evaluation → the plain data that the template sets: all words and figures, no layout."""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

from wringout.charts.figure import bound
from wringout.charts.theme import PRINT
from wringout.charts.typefaces import SANS, SERIF
from wringout.quantity.showing import show
from wringout.report.appendix import CAUTIONS, appendix_blocks, learnt_blocks
from wringout.report.blocks import Block, bare, caution, digits_of, interval
from wringout.report.compared import compared_blocks
from wringout.report.costs import cost_blocks
from wringout.report.drawing import WIDE, Drawn, drawn_figures
from wringout.report.flights import flight_blocks
from wringout.report.handling import handling_blocks
from wringout.report.options import options_blocks
from wringout.report.people import mission_blocks
from wringout.report.performance import field_blocks, performance_blocks
from wringout.report.strips import strip_blocks
from wringout.report.systems import systems_blocks
from wringout.report.verdicts import claim_blocks, verdict_table
from wringout.report.weighing import weighing_blocks
from wringout.report.words import airplane_words

if TYPE_CHECKING:
    from wringout.evaluation.evaluation import Evaluation, Headline

_WIDTH = re.compile(r'<svg[^>]* width="([0-9.]+)"')
_APOSTROPHE = re.compile(r"(?<=\w)'(?=\w|\s|$)")
INVENTED = (
    "An invented demonstration: airplane, maker, places, people and recordings are made up and stand for "
    "nothing real."
)


def content(
    evaluation: Evaluation, drawn: Sequence[Drawn] | None = None, *, paper: str = "a4"
) -> dict[str, Any]:
    """Everything that the report says, as plain data.

    Parameters
    ----------
    evaluation : Evaluation
        The evaluated dossier.
    drawn : sequence of Drawn, optional
        Its figures, where they were drawn already.
    paper : str
        'a4' or 'us-letter'.

    Returns
    -------
    dict
        What `field_book.typ` reads.
    """
    dossier = evaluation.dossier
    airplane = dossier.airplane
    every = drawn_figures(evaluation) if drawn is None else drawn
    blocks = {item.key: _figure_block(item) for item in every if item.shows}
    missing = [(item.key, item.reason) for item in every if item.reason]
    drawing = blocks.pop("airplane", None)
    palette = PRINT.palette
    said: dict[str, Any] = {
        "paper": paper,
        "title": dossier.title,
        "author": dossier.evaluator,
        "keywords": ["evaluation", airplane.maker, airplane.name],
        "sans": SANS,
        "serif": SERIF,
        "palette": {"ink": palette.ink, "muted": palette.muted, "rule": palette.rule, "rust": palette.rust},
        "footer": _footer(evaluation),
        "invented": dossier.invented,
        "over": INVENTED
        if dossier.invented
        else f"Evaluation of the {airplane_words(airplane)}, made by {airplane.maker}",
        "under": " · ".join((airplane_words(airplane), dossier.evaluator, dossier.place, _day(evaluation))),
        "question": "What can you really do with it?",
        "answer": list(evaluation.answer),
        "drawing": drawing,
        "headlines": [_headline(item) for item in evaluation.headlines],
        "front": [*verdict_table(evaluation), caution(CAUTIONS[0])],
        "sections": [
            _section("Weighing and loading", weighing_blocks(evaluation, blocks)),
            _section("Options and exchange kits", options_blocks(evaluation, blocks), new_page=False),
            _section("The flights", flight_blocks(evaluation, blocks), new_page=False),
            _section("Speeds, cruise and climb", performance_blocks(evaluation, blocks), new_page=False),
            _section("Take-off and landing", field_blocks(evaluation, blocks), new_page=False),
            _section("Systems", systems_blocks(evaluation, blocks), new_page=False),
            _section("The maker's claims", claim_blocks(evaluation), new_page=False),
            _section("Handling", handling_blocks(evaluation, blocks), new_page=False),
            _section("Missions", mission_blocks(evaluation, blocks), new_page=False),
            *_where_there_is("Strips", strip_blocks(evaluation, blocks)),
            _section("What it costs", cost_blocks(evaluation, blocks), new_page=False),
            _section("Compared", compared_blocks(evaluation, blocks), new_page=False),
            _section("What the flights taught", learnt_blocks(evaluation, blocks), new_page=False),
            _section("Appendix", appendix_blocks(evaluation, missing)),
        ],
    }
    return {name: curled(part) for name, part in said.items()}


def curled(part: Any) -> Any:
    """The same data as it is set: numbers held to their units, apostrophes curled."""
    if isinstance(part, str):
        return bound(_APOSTROPHE.sub("’", part))
    if isinstance(part, dict):
        return {name: value if name in {"name", "type"} else curled(value) for name, value in part.items()}
    return [curled(item) for item in part] if isinstance(part, list | tuple) else part


def _figure_block(drawn: Drawn) -> Block:
    across = _WIDTH.search(drawn.svg)  # of a drawing that is no chart
    width = float(across[1]) if across else WIDE.width
    if drawn.spec is not None:
        width = drawn.spec["padding"]["left"] + drawn.spec["width"]
    wide = width > WIDE.width * 0.8
    return {
        "type": "figure",
        "name": drawn.name,
        "title": drawn.title,
        "alt": drawn.alt,
        "wide": wide,
        "note": [],
    }


def _where_there_is(title: str, blocks: list[Block]) -> list[dict[str, Any]]:
    """A section, or none where there is nothing to say."""
    return [_section(title, blocks, new_page=False)] if blocks else []


def _section(title: str, blocks: list[Block], *, new_page: bool = True) -> dict[str, Any]:
    return {"title": title, "blocks": blocks, "on-new-page": new_page}


def _day(evaluation: Evaluation) -> str:
    day = evaluation.dossier.day
    return f"{day.day} {day:%B %Y}"


def _footer(evaluation: Evaluation) -> str:
    dossier = evaluation.dossier
    parts = [airplane_words(dossier.airplane), _day(evaluation)]
    if dossier.invented:
        parts.append("invented demonstration")
    return " · ".join(parts)


def _headline(item: Headline) -> dict[str, str]:
    """A number with the digits that its 90 % interval leaves it."""
    digits = digits_of(item.low, item.high, item.unit, item.dimension)
    return {
        "label": item.label,
        "value": bare(show(item.value, item.unit, digits=digits), item.unit),
        "unit": item.unit,
        "interval": f"nine in ten: {interval(item.low, item.high, item.unit, digits)}",
        "condition": item.condition,
    }
