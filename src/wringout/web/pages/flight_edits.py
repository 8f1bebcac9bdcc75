"""What an evaluator says of a flight: moments moved, spans named or left out, taken back and done again."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Annotated, Any, Literal

from fastapi import APIRouter, Depends, Form, Request
from fastapi.responses import HTMLResponse, Response
from pydantic import BaseModel, Field

from wringout.dossier.card import Card, Mark, MarkKind, NamedKind, NamedManoeuvre
from wringout.dossier.history import StaleError, redo, undo
from wringout.dossier.marking import name_span, put_mark, take_out
from wringout.evaluation.readings import Reading, compared, nearest, typed_moment
from wringout.problems import InputError, Problem
from wringout.reduction import Flight
from wringout.web.access import Bench, Standing, Workbench
from wringout.web.flight_words import card_file, said_of
from wringout.web.pages.flights import KEPT, flown, shown
from wringout.web.rendering import page
from wringout.web.state import State

router = APIRouter(default_response_class=HTMLResponse)


class Said(BaseModel):
    """What every form of the page sends: the card's version, and which manoeuvre it was about."""

    version: str
    reading: int | None = None  # its place in the list, where the form is of one
    says: Annotated[str, Field(pattern="^says-[a-z0-9-]{1,20}$")] = "says-page"  # where a refusal stands


class MarkForm(Said):
    """A mark, or where the one that is there goes."""

    time: str
    kind: MarkKind
    at: int | None = None
    point: str = ""
    note: str = ""


class SpanForm(Said):
    """What was flown from when to when."""

    start: str
    end: str
    kind: NamedKind
    at: int | None = None
    point: str = ""
    note: str = ""


class TakeOutForm(Said):
    """Which mark or span goes."""

    what: Literal["mark", "manoeuvre"]
    at: int


@dataclass(frozen=True, slots=True)
class Wanted:
    """The manoeuvre that the page shows after an edit."""

    kind: str
    start: float
    end: float


@dataclass(frozen=True, slots=True)
class Asked:
    """Who asks, of which card of which dossier."""

    request: Request
    bench: Workbench
    state: State
    card: str


def asked(request: Request, bench: Bench, state: Standing, card: str) -> Asked:
    """What every edit of a flight is given."""
    return Asked(request, bench, state, card)


Here = Annotated[Asked, Depends(asked)]


@router.post("/d/{name}/flights/{card}/mark", response_class=HTMLResponse)
def mark(here: Here, sent: Annotated[MarkForm, Form()]) -> Response:
    """Put a mark, or move one; the flight is found again."""

    def change(one: Card, flight: Flight) -> Wanted | None:
        moment = typed_moment(flight, sent.time)
        there = one.marks[sent.at] if sent.at is not None and 0 <= sent.at < len(one.marks) else None
        made = Mark(
            moment,
            sent.kind,
            sent.point or (there.point if there else None),
            there.time_sd if there else 0.5,
            sent.note or (there.note if there else ""),
        )
        put_mark(here.state.root, card_file(one), sent.version, made, sent.at)
        seconds = (moment - flight.recording.start).total_seconds()
        return None if sent.reading is not None else Wanted("", seconds, seconds)

    return _edited(here, sent, change)


@router.post("/d/{name}/flights/{card}/span", response_class=HTMLResponse)
def span(here: Here, sent: Annotated[SpanForm, Form()]) -> Response:
    """Name a span or leave it out; the flight is found again."""

    def change(one: Card, flight: Flight) -> Wanted | None:
        start, end = typed_moment(flight, sent.start), typed_moment(flight, sent.end)
        made = NamedManoeuvre(start, end, sent.kind, sent.point or None, sent.note)
        name_span(here.state.root, card_file(one), sent.version, made, sent.at)
        begin = flight.recording.start
        return Wanted(sent.kind, (start - begin).total_seconds(), (end - begin).total_seconds())

    return _edited(here, sent, change)


@router.post("/d/{name}/flights/{card}/take-out", response_class=HTMLResponse)
def taken_out(here: Here, sent: Annotated[TakeOutForm, Form()]) -> Response:
    """Take a mark or a span out: what the finder says is back."""

    def change(one: Card, flight: Flight) -> Wanted | None:
        wanted = None
        if sent.what == "manoeuvre" and 0 <= sent.at < len(one.manoeuvres):
            gone, begin = one.manoeuvres[sent.at], flight.recording.start
            wanted = Wanted("", (gone.start - begin).total_seconds(), (gone.end - begin).total_seconds())
        take_out(here.state.root, card_file(one), sent.version, (sent.what, sent.at))
        return wanted

    return _edited(here, sent, change)


@router.post("/d/{name}/flights/{card}/step/{way}", response_class=HTMLResponse)
def step(here: Here, way: Literal["undo", "redo"], sent: Annotated[Said, Form()]) -> Response:
    """Take back the card's last edit, or do it again, without leaving the place on the page."""

    def change(one: Card, _: Flight) -> Wanted | None:
        (undo if way == "undo" else redo)(here.state.root, card_file(one), sent.version)
        return None

    return _edited(here, sent, change)


def _edited(here: Asked, sent: Said, change: Callable[[Card, Flight], Wanted | None]) -> Response:
    dossier, card = flown(here.state, here.card)
    flight, before = KEPT.of(dossier, card).flight, KEPT.readings(dossier, card)
    about = before[sent.reading] if sent.reading is not None and 0 <= sent.reading < len(before) else None
    try:
        wanted = change(card, flight)
    except StaleError as error:
        return _answer(here, about, None, problems=error.problems, status=409)
    except InputError as error:
        # At the field, and nothing else is drawn anew: what was typed stays.
        answer = page(here.request, "pieces/says.html", says=sent.says, problems=error.problems, status=422)
        answer.headers["HX-Reswap"] = "none"
        return answer
    return _answer(here, about, wanted)


def _answer(
    here: Asked,
    about: Reading | None,
    wanted: Wanted | None,
    *,
    problems: tuple[Problem, ...] = (),
    status: int = 200,
) -> Response:
    """The flight as it is now, with the manoeuvre that the edit was about beside what it was."""
    state = here.bench.states.of(here.state.root)
    dossier, card = flown(state, here.card)
    flight, every = KEPT.of(dossier, card).flight, KEPT.readings(dossier, card)
    chosen = _chosen(flight, every, about, wanted)
    if chosen is not None:
        chosen["whole"] = KEPT.of(dossier, card).whole
    said = shown(dossier, card, chosen) | {"problems": problems, "swapped": True}
    answer = page(here.request, "pieces/flight_found.html", state, card=card, status=status, **said)
    if not problems:
        answer.headers["HX-Trigger"] = "edited"
    return answer


def _chosen(
    flight: Flight, every: tuple[Reading, ...], about: Reading | None, wanted: Wanted | None
) -> dict[str, Any] | None:
    if wanted is None and about is not None:
        old = about.manoeuvre
        wanted = Wanted(old.kind, old.start, old.end)
    if wanted is None:
        return None
    kinds = [wanted.kind] if wanted.kind else list(dict.fromkeys(one.manoeuvre.kind for one in every))
    places = [
        place for kind in kinds if (place := nearest(every, kind, wanted.start, wanted.end)) is not None
    ]
    if not places:
        return None

    def shared(place: int) -> float:
        one = every[place].manoeuvre
        return min(one.end, wanted.end) - max(one.start, wanted.start)

    place = max(places, key=shared)
    same = about is not None and about.manoeuvre.kind == every[place].manoeuvre.kind
    return said_of(flight, compared(every[place], about) if same else every[place], place)
