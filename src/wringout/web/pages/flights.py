"""Flights: what each card's recording shows, and one flight with its traces, its track and its manoeuvres."""

from __future__ import annotations

from typing import Annotated, Any

from fastapi import APIRouter, Query, Request
from fastapi.responses import HTMLResponse, JSONResponse, Response
from pydantic import BaseModel, Field

from wringout.dossier.card import Card
from wringout.dossier.dossier import Dossier
from wringout.dossier.history import steps
from wringout.dossier.receiving import recordings_in
from wringout.evaluation.find import left_out_spans
from wringout.evaluation.keys import flight_stage, flown_cards
from wringout.evaluation.refinding import card_named
from wringout.problems import InputError, Problem
from wringout.report.words import capital, counted
from wringout.web.access import Standing
from wringout.web.flight_words import (
    card_file,
    health_rows,
    left_out_rows,
    marks_of,
    row_of,
    said_of,
    sheet,
)
from wringout.web.kept_flights import KeptFlights
from wringout.web.refusals import MissingError
from wringout.web.rendering import page
from wringout.web.state import State

router = APIRouter(default_response_class=HTMLResponse)
KEPT = KeptFlights()
MOST_SAMPLES = 8000


class Window(BaseModel):
    """Which traces between which moments [s], in about how many samples each."""

    names: Annotated[list[str], Field(min_length=1, max_length=6)]
    start: float = float("-inf")
    end: float = float("inf")
    most: Annotated[int, Field(ge=16, le=MOST_SAMPLES)] = 2000


@router.get("/d/{name}/flights", response_class=HTMLResponse)
def flights(request: Request, state: Standing) -> Response:
    """The cards with their recordings, and a place to drop more."""
    cards = () if state.dossier is None else state.dossier.cards
    fresh = {stage.stage for stage in state.stages if stage.fresh}
    named = {item.path for card in cards for item in card.recordings}
    return page(
        request,
        "pages/flights.html",
        state,
        part="flights",
        cards=[
            {
                "card": card,
                "found": flight_stage(card) in fresh,
                "problems": sum(
                    problem.severity == "error" and problem.file == card_file(card)
                    for problem in state.problems
                ),
            }
            for card in cards
        ],
        sentence=_recorded(cards),
        spare=[path for path in recordings_in(state.root) if path not in named],
    )


@router.get("/d/{name}/flights/{card}", response_class=HTMLResponse)
def flight(request: Request, state: Standing, card: str) -> Response:
    """One flight; where it is yet to be found, the page shows at once and fetches it."""
    dossier, one = flown(state, card)
    fresh = {stage.stage for stage in state.stages if stage.fresh}
    found = shown(dossier, one) if flight_stage(one) in fresh else None
    return page(
        request,
        "pages/flight.html",
        state,
        part="flights",
        card=one,
        cards=flown_cards(dossier),
        found=found,
        **(found or {}),
    )


@router.get("/d/{name}/flights/{card}/found", response_class=HTMLResponse)
def found(request: Request, state: Standing, card: str) -> Response:
    """What was found in a flight, read and searched now if it was not yet."""
    dossier, one = flown(state, card)
    return page(request, "pieces/flight_found.html", state, card=one, **shown(dossier, one), swapped=True)


@router.get("/d/{name}/flights/{card}/traces", response_class=JSONResponse)
def traces(state: Standing, card: str, wanted: Annotated[Window, Query()]) -> Response:
    """Traces and track between two moments, at the detail that is asked for."""
    dossier, one = flown(state, card)
    try:
        whole = [KEPT.trace(dossier, one, name) for name in wanted.names]
    except KeyError as error:
        raise MissingError(
            Problem(f"the recording has no trace '{error.args[0]}'", "choose another")
        ) from None
    between = (wanted.start, wanted.end)
    return JSONResponse(sheet(KEPT.of(dossier, one).flight, whole, between, wanted.most))


@router.get("/d/{name}/flights/{card}/reading", response_class=HTMLResponse)
def reading(request: Request, state: Standing, card: str, at: Annotated[int, Query(ge=0)]) -> Response:
    """One manoeuvre with its boundaries, their reasons and its figures."""
    dossier, one = flown(state, card)
    every = KEPT.readings(dossier, one)
    if at >= len(every):
        raise MissingError(Problem("this manoeuvre is not there any more", "reload the page"))
    kept = KEPT.of(dossier, one)
    chosen = said_of(kept.flight, every[at], at, whole=kept.whole)
    version = steps(state.root, card_file(one)).version
    return page(request, "pieces/reading.html", state, card=one, chosen=chosen, version=version)


def _recorded(cards: tuple[Card, ...]) -> str:
    """How many flights there are, in a sentence."""
    flown = sum(bool(card.recordings) for card in cards)
    rest = len(cards) - flown
    words = f"{counted(flown, 'flight')} {'is' if flown == 1 else 'are'} recorded"
    return capital(f"{words}; {counted(rest, 'card')} without a recording." if rest else f"{words}.")


def flown_or_refused(state: State) -> Dossier:
    """The dossier. Raises InputError with what keeps it from being one."""
    if state.dossier is None:
        raise InputError(*(problem for problem in state.problems if problem.severity == "error"))
    return state.dossier


def flown(state: State, name: str) -> tuple[Dossier, Card]:
    """The dossier and a card of it that names a recording.

    Raises InputError with what keeps the dossier from being one; MissingError where there is no such card.
    """
    dossier = flown_or_refused(state)
    try:
        return dossier, card_named(dossier, name)
    except InputError as error:
        raise MissingError(*error.problems) from None


def shown(dossier: Dossier, card: Card, chosen: dict[str, Any] | None = None) -> dict[str, Any]:
    """All that the page of a flight says of it.

    Raises InputError where a recording cannot be read.
    """
    flight = KEPT.of(dossier, card).flight
    every = KEPT.readings(dossier, card)
    return {
        "flight": flight,
        "rows": [row_of(flight, one, at) for at, one in enumerate(every)],
        "out": left_out_spans(flight),
        "marks": marks_of(flight),
        "chosen": chosen,
        "steps": steps(dossier.root, card_file(card)),
        "file": card_file(card),
        "health": health_rows(flight, dossier.units),
        "left_out": left_out_rows(flight),
        "problems": (),
    }
