"""Handling: what the pilots said and rated, and the ten-point scale walked question by question."""

from __future__ import annotations

from typing import Annotated, Any

from fastapi import APIRouter, Form, Query, Request
from fastapi.responses import HTMLResponse, Response
from pydantic import BaseModel, Field

from wringout.charts import PAGE, PAGE_DARK, Look
from wringout.charts.figure import Spec
from wringout.dossier.card import Card
from wringout.dossier.dossier import Dossier
from wringout.dossier.editing import Content, value_at
from wringout.dossier.history import edit, steps
from wringout.dossier.rating_scale import QUESTIONS, described, walk
from wringout.dossier.table_editing import with_table
from wringout.evaluation.handling import CAUTION, handling_record
from wringout.problems import InputError, Problem
from wringout.report.handling import (
    NOTHING,
    TABLES,
    handling_figures,
    handling_sentence,
    handling_tables,
    scale_rows,
)
from wringout.web.access import Bench, Standing
from wringout.web.charts import Chart, chart, numbers
from wringout.web.flight_words import card_file
from wringout.web.refusals import MissingError
from wringout.web.rendering import page
from wringout.web.stale import stale
from wringout.web.state import State

router = APIRouter(default_response_class=HTMLResponse)
_LOOKS = (PAGE, PAGE_DARK)
_WORDS = {"yes": True, "no": False}


Name = Annotated[str, Query(max_length=200)]


class Walked(BaseModel):
    """How far somebody has come down the tree, of which task of which card."""

    card: Annotated[str, Field(max_length=200)] = ""
    task: Annotated[str, Field(max_length=400)] = ""
    answers: Annotated[str, Field(pattern="^(?:(?:yes|no)(?:,(?:yes|no)){0,3})?$")] = ""
    begun: bool = False  # whether the walk was begun, so that a task is asked for


class Rated(Walked):
    """The end of a walk: the rating chosen there and what its pilot wrote."""

    rating: int
    note: Annotated[str, Field(max_length=4000)] = ""


@router.get("/d/{name}/handling", response_class=HTMLResponse)
def handling(request: Request, bench: Bench, state: Standing, card: Name = "") -> Response:
    """The page."""
    dossier = state.dossier
    if dossier is None:
        return stale(request, bench, state, "handling", "The handling record")
    record = handling_record(dossier.cards)
    return page(
        request,
        "pages/handling.html",
        state,
        part="handling",
        sentence=NOTHING if record.empty else handling_sentence(record),
        charts=_charts(dossier),
        tables=[block for name in TABLES for block in handling_tables(record, dossier.units, name)],
        scale=numbers(
            ("rating", "by the answers", "the airplane in this task", "what it asks of the pilot"),
            scale_rows(),
            words=4,
        ),
        caution=CAUTION,
        **_fork(dossier, Walked(card=card)),
    )


@router.get("/d/{name}/handling/scale", response_class=HTMLResponse)
def scale(request: Request, state: Standing, walked: Annotated[Walked, Query()]) -> Response:
    """The next question, or the descriptions that remain."""
    return page(request, "pieces/handling_fork.html", state, **_fork(_dossier(state), walked))


@router.post("/d/{name}/handling/rating", response_class=HTMLResponse)
def rate(state: Standing, rated: Annotated[Rated, Form()]) -> Response:
    """Keep a rating with the answers that led to it; the page is then drawn anew."""
    dossier = _dossier(state)
    card = _card(dossier, rated.card)
    if not rated.task.strip():
        raise InputError(Problem("a rating is of a task", "say what was done, and how exactly"))
    answers = _answers(rated.answers)
    choices = [item.rating for item in walk(answers).choices]
    if rated.rating not in choices:
        likely = ", ".join(map(str, choices)) or "none yet"
        raise InputError(
            Problem(f"these answers do not lead to {rated.rating}", f"choose one that they lead to: {likely}")
        )
    values: dict[str, Content] = {"task": rated.task.strip(), "rating": rated.rating}
    values |= {question.key: answer for question, answer in zip(QUESTIONS, answers, strict=False)}
    if rated.note.strip():
        values["note"] = rated.note.strip().replace("\r\n", "\n")
    file = card_file(card)

    def change(data: bytes) -> bytes:
        there = value_at(file, data, ("rating",))
        number = len(there) if isinstance(there, list) else 0
        return with_table(file, data, ("rating", number), values)

    # The newest version: a rating more disturbs nothing that another hand wrote.
    version = steps(state.root, file).version
    edit(state.root, file, version, change, f"rating {rated.rating} of '{rated.task.strip()}'")
    return Response(status_code=204, headers={"HX-Refresh": "true"})


def _fork(dossier: Dossier, walked: Walked) -> dict[str, Any]:
    """Where the walk stands: what was answered, what is asked, what remains to choose."""
    answers = _answers(walked.answers)
    fork = walk(answers)
    lacking = walked.begun and not walked.task.strip()
    return {
        "walked": walked,
        "cards": dossier.cards,
        "tasks": tuple(dict.fromkeys(rating.task for card in dossier.cards for rating in card.ratings)),
        "passed": [
            {"asks": question.asks, "answer": "yes" if answer else "no", "before": _text(answers[:place])}
            for place, (question, answer) in enumerate(zip(QUESTIONS, answers, strict=False))
        ],
        "question": fork.question,
        "next": {word: _text((*answers, value)) for word, value in _WORDS.items()},
        "choices": [described(item.rating) for item in fork.choices],
        "lacking": lacking,
        "files": {card.name: card_file(card) for card in dossier.cards},
    }


def _answers(text: str) -> tuple[bool, ...]:
    """The answers of an address; InputError where they go on behind the tree's end."""
    answers = tuple(_WORDS[word] for word in text.split(",") if word)
    try:
        walk(answers)
    except ValueError as error:
        raise InputError(Problem(str(error), "begin anew")) from None
    return answers


def _text(answers: tuple[bool, ...]) -> str:
    return ",".join("yes" if answer else "no" for answer in answers)


def _charts(dossier: Dossier) -> list[Chart]:
    """The figures that there is enough for, in both palettes."""
    record = handling_record(dossier.cards)
    by_look = {look: dict(handling_figures(record, dossier.units, look)) for look in _LOOKS}
    made = []
    for key in by_look[PAGE]:

        def draw(look: Look, key: str = key) -> Spec:
            return by_look[look][key]()

        made.append(chart(key.replace(" ", "-"), draw))
    return made


def _card(dossier: Dossier, name: str) -> Card:
    for card in dossier.cards:
        if card.name == name:
            return card
    raise MissingError(Problem(f"there is no card '{name[:60]}'", "choose one of the list"))


def _dossier(state: State) -> Dossier:
    if state.dossier is None:
        raise InputError(*(problem for problem in state.problems if problem.severity == "error"))
    return state.dossier
