"""Next: which points to fly for one answer, how its uncertainty falls, and the card that they become."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from enum import StrEnum
from typing import Annotated, Any

from fastapi import APIRouter, Query, Request
from fastapi.responses import HTMLResponse, RedirectResponse, Response
from markupsafe import Markup

from wringout.charts.sortie import sortie_drawing
from wringout.claims import told_by_points
from wringout.dossier.attaching import NewCard
from wringout.dossier.card import Card
from wringout.dossier.dossier import Dossier
from wringout.dossier.history import steps, version_of
from wringout.dossier.planning import free_name, plan_card, plan_points
from wringout.evaluation.inquiry import (
    BEARS,
    ON_THE_STRIP,
    TEMPERATURE,
    InquiryError,
    reaches,
    surfaces,
    techniques,
)
from wringout.evaluation.inquiry_words import answer_unit, condition_words
from wringout.evaluation.next_asked import Asked, answered_next, first_claim, typed_asked
from wringout.evaluation.next_card import planned_sortie
from wringout.evaluation.next_flight import NextFlight
from wringout.evaluation.next_words import HOW, fall, figures, lasting_sentence, next_sentence, point_words
from wringout.evaluation.planned import planned_flight
from wringout.model.candidates import KINDS
from wringout.model.fit import Fit
from wringout.problems import InputError, Problem
from wringout.quantity.units import difference_factor, find_unit
from wringout.reduction.points import Points
from wringout.report.appendix import CAUTIONS
from wringout.report.card import card_content, card_pdf
from wringout.report.words import capital
from wringout.web.access import Bench, Standing
from wringout.web.flight_words import card_file
from wringout.web.kept_results import RESULTS, Results
from wringout.web.refusals import MissingError
from wringout.web.rendering import page
from wringout.web.stale import stale
from wringout.web.state import State

router = APIRouter(default_response_class=HTMLResponse)
MOST_ROWS = 8  # of points in the order of their use; those that are flown are shown besides
LITTLE = 0.02  # of what the first takes away a minute; what takes away less is only counted
# What the question says, carried on to the card.
FIELDS = (
    "what",
    "minutes",
    "flight_mass",
    "highest",
    "strip",
    "configuration",
    "flap",
    "surface",
    "technique",
)


class Paper(StrEnum):
    """What a card is printed on."""

    A5 = "a5"
    STATEMENT = "us-statement"


@dataclass(frozen=True, slots=True)
class _Known:
    """What the flights say so far."""

    results: Results
    dossier: Dossier
    points: Points
    fit: Fit


Without = Annotated[list[str] | None, Query()]


@router.get("/d/{name}/next", response_class=HTMLResponse)
def next_points(request: Request, bench: Bench, state: Standing, without: Without = None) -> Response:
    """The page; its address may carry the question. A changed field fetches it again, and takes its part."""
    known = _known(state)
    if known is None:
        return stale(request, bench, state, "next", "What to fly next")
    typed = {key: value for key, value in request.query_params.items() if key != "without"}
    return _page(request, state, known, typed, tuple(without or ()))


@router.post("/d/{name}/next", response_class=HTMLResponse)
async def make_card(request: Request, state: Standing) -> Response:
    """Put the points on a card, then show it; what keeps it from being made is said beside its fields."""
    async with request.form(max_fields=100) as form:
        given = {key: value for key, value in form.items() if isinstance(value, str)}
        without = tuple(value for value in form.getlist("without") if isinstance(value, str))
    known = _known(state)
    if known is None:
        raise InputError(Problem("the model is to be computed anew first", "go to the page Model"))
    try:
        card = _made(state, known, given, without)
    except InputError as error:
        return _page(request, state, known, given, without, problems=error.problems, status=422)
    return RedirectResponse(f"/d/{state.name}/next/{card}", status_code=303)


@router.get("/d/{name}/next/{card}", response_class=HTMLResponse)
def planned(request: Request, state: Standing, card: str) -> Response:
    """A card that is yet to be flown, as it will be printed."""
    dossier, one = _card(state, card)
    fit = RESULTS.of(dossier).kept.fit
    said = card_content(dossier, planned_flight(dossier, one, fit))
    return page(
        request,
        "pages/planned.html",
        state,
        part="next",
        card=one,
        said=said,
        file=card_file(one),
        steps=steps(state.root, card_file(one)),
        papers=[(Paper.A5.value, "A5"), (Paper.STATEMENT.value, "half a US Letter")],
    )


@router.get("/d/{name}/next/{card}/card.pdf", response_class=Response)
def printed(state: Standing, card: str, paper: Annotated[Paper, Query()] = Paper.A5) -> Response:
    """The card for the knee."""
    dossier, one = _card(state, card)
    made = card_pdf(dossier, planned_flight(dossier, one, RESULTS.of(dossier).kept.fit), paper=paper.value)
    plain = "".join(
        letter if letter.isascii() and (letter.isalnum() or letter in " .-_") else "-" for letter in one.name
    )
    headers = {"Content-Disposition": f'inline; filename="{plain}.pdf"'}
    return Response(made, media_type="application/pdf", headers=headers)


def _known(state: State) -> _Known | None:
    if state.dossier is None:
        return None
    results = RESULTS.of(state.dossier)
    points, fit = results.kept.points, results.kept.fit
    return None if points is None or fit is None else _Known(results, state.dossier, points, fit)


def _question(typed: Mapping[str, str], known: _Known) -> dict[str, str]:
    """The fields with what is asked for under the name by which it is understood."""
    asked = {key: value for key, value in typed.items() if key != "what"}
    kind, _, name = typed.get("what", "").partition(":")
    if kind in ("claim", "figure"):
        asked = {key: value for key, value in asked.items() if key not in ("claim", "figure")} | {kind: name}
    if "claim" not in asked and "figure" not in asked:
        first = first_claim(known.dossier, known.results.kept.verdicts)
        asked |= {"figure": "take-off distance"} if first is None else {"claim": first}
    return asked


def _page(
    request: Request,
    state: State,
    known: _Known,
    typed: Mapping[str, str],
    without: tuple[str, ...],
    *,
    problems: tuple[Problem, ...] = (),
    status: int = 200,
) -> Response:
    dossier, fit = known.dossier, known.fit
    faults: dict[str, Problem] = {}
    question = _question(typed, known)
    answer: dict[str, Any] = {}
    try:
        asked = typed_asked(question, without, dossier, known.points, fit)
        answer = _answer(dossier, asked, answered_next(dossier, fit, asked))
    except InquiryError as error:
        # What was typed stays, each fault at its field; nothing is answered until it is mended.
        faults = dict(zip(error.places, error.problems, strict=True))
        figure = question.get("figure", "")
        asked = typed_asked({"figure": figure if figure in BEARS else ""}, (), dossier, known.points, fit)
    chosen = next(f"{kind}:{question[kind]}" for kind in ("claim", "figure") if kind in question)
    return page(
        request,
        "pages/next.html",
        state,
        part="next",
        typed=typed,
        without=without,
        faults=faults,
        chosen=chosen,
        claims=_claims(known),
        figures=list(BEARS),
        controls=_controls(known, asked) if asked.claim is None else [],
        asked=asked,
        question=asked.inquiry.question,
        on_the_strip=asked.inquiry.question.quantity in ON_THE_STRIP,
        surfaces=surfaces(dossier),
        techniques=techniques(fit, asked.inquiry.question.quantity),
        kinds=KINDS,
        strips=[strip.name for strip in dossier.strips],
        card=_card_fields(dossier, asked, typed),
        to_fly=[one for one in dossier.cards if not one.recordings and not one.cameras],
        problems=problems,
        caution=CAUTIONS[1],
        status=status,
        answer=answer,
    )


def _answer(dossier: Dossier, asked: Asked, flight: NextFlight) -> dict[str, Any]:
    units = dossier.units
    sentence = next_sentence(flight, units, asked.what)
    unit = answer_unit(flight.answer.question.quantity, units)
    shown = [
        offer
        for place, offer in enumerate(flight.offers)
        if offer.places or (place < MOST_ROWS and offer.per_minute > LITTLE * flight.offers[0].per_minute)
    ]
    after = figures([offer.sd_after for offer in shown], flight, units)
    off = figures([offer.per_minute for offer in shown], flight, units, by_greatest=True)
    return {
        "sentence": sentence,
        "lasting": lasting_sentence(flight, units),
        "condition": f"{capital(condition_words(asked.inquiry, units))}.",
        "figure": _drawn(dossier, flight, sentence) if flight.offers else "",
        "unit": unit,
        "rows": [
            {
                "point": capital(point_words(offer.candidate, units)),
                "minutes": f"{offer.candidate.time / 60.0:.0f}",
                "after": left,
                "off": taken,
                "places": ", ".join(map(str, offer.places)),
            }
            for offer, left, taken in zip(shown, after, off, strict=True)
        ],
        "how": [
            (capital(f"{kind}s" if kind != "level" else "level legs"), HOW[kind])
            for kind in dict.fromkeys(offer.candidate.kind for offer in shown)
        ],
        "more": len(flight.offers) - len(shown),
        "flies": bool(flight.steps),
    }


def _drawn(dossier: Dossier, flight: NextFlight, sentence: str) -> Markup:
    units = dossier.units
    unit = answer_unit(flight.answer.question.quantity, units)
    estimate = flight.answer.estimate
    factor = difference_factor(find_unit(unit, estimate.dimension), estimate.value) if unit else 1.0
    spreads = [flight.sd, *(step.sd_after for _, step in flight.steps)]
    first, last = fall(flight, units)
    shown = f" {unit}" if unit else ""
    return Markup(
        sortie_drawing(
            [step.time / 60.0 for _, step in flight.steps],
            [spread / factor for spread in spreads],
            flight.lasting / factor,
            longest=flight.longest / 60.0,
            unit=unit,
            words=(
                f"now ± {first}{shown}",
                f"± {last}{shown} after {flight.time / 60.0:.0f} min",
                "what the model itself may miss",
            ),
            alt=f"The standard deviation over the minutes of the sortie. {sentence}",
        )
    )


def _claims(known: _Known) -> list[dict[str, str]]:
    found = {verdict.claim.id: verdict.finding for verdict in known.results.kept.verdicts or ()}
    return [
        {"id": claim.id, "finding": found.get(claim.id, "")}
        for claim in known.dossier.claims
        if told_by_points(claim)
    ]


def _controls(known: _Known, asked: Asked) -> list[dict[str, str]]:
    """The conditions that bear on the figure, each with its unit and where it stands if nothing is typed."""
    question = asked.inquiry.question
    bears = BEARS[question.quantity]
    return [
        {
            "field": reach.variable.field,
            "name": reach.variable.name,
            "unit": reach.unit,
            "blank": f"{reach.start:.5g}"
            if reach.start is not None
            else "standard"
            if reach.variable is TEMPERATURE
            else "best",
        }
        for reach in reaches(known.dossier, known.fit, question.configuration)
        if reach.variable in bears
    ]


def _card_fields(dossier: Dossier, asked: Asked, typed: Mapping[str, str]) -> dict[str, str]:
    """What the card is begun with, until something else is typed."""
    configuration = asked.inquiry.question.configuration
    like = next((one.name for one in reversed(dossier.cards) if one.configuration == configuration), "")
    usual = {
        "card": "",
        "name": free_name([one.name for one in dossier.cards]),
        "title": f"For {asked.what}",
        "day": date.today().isoformat(),  # noqa: DTZ011 - the day where the planner sits
        "pilot": dossier.evaluator,
        "like": like,
    }
    return {key: typed.get(key) or value for key, value in usual.items()}


def _made(state: State, known: _Known, given: Mapping[str, str], without: tuple[str, ...]) -> str:
    """The name of the card that now has the points."""
    dossier = known.dossier
    asked = typed_asked(_question(given, known), without, dossier, known.points, known.fit)
    flight = answered_next(dossier, known.fit, asked)
    if not flight.steps:
        raise InputError(Problem("no point is worth its minutes", "ask something else, or give more time"))
    sortie = planned_sortie(flight, dossier.airplane, dossier.units, asked.what)
    chosen = given.get("card", "")
    if chosen:
        one = next((one for one in dossier.cards if one.name == chosen and not one.recordings), None)
        if one is None:
            raise InputError(Problem(f"no card '{chosen[:60]}' is yet to be flown", "choose one of the list"))
        file = card_file(one)
        # It is only added to: whatever the card says by now stays.
        plan_points(state.root, file, version_of(state.root, file), one.name, sortie.points)
        return one.name
    fields = _card_fields(dossier, asked, given)
    try:
        day = date.fromisoformat(fields["day"])
    except ValueError:
        raise InputError(
            Problem(f"'{fields['day'][:40]}' is no day", "write it like 2026-05-12", field="day")
        ) from None
    like = next((card_file(one) for one in dossier.cards if one.name == fields["like"]), "")
    made = NewCard(
        fields["name"],
        fields["title"],
        day,
        fields["pilot"],
        asked.inquiry.question.configuration,
        like,
    )
    plan_card(state.root, dossier.airplane, made, sortie)
    return made.name


def _card(state: State, name: str) -> tuple[Dossier, Card]:
    """The dossier and a card of it. Raises InputError or MissingError in words."""
    if state.dossier is None:
        raise InputError(*(problem for problem in state.problems if problem.severity == "error"))
    one = next((one for one in state.dossier.cards if one.name == name), None)
    if one is None:
        raise MissingError(Problem(f"there is no card '{name[:60]}'", "choose one of the page Flights"))
    return state.dossier, one
