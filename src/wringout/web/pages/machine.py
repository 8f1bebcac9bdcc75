"""Machine: the undercarriage to scale, and what runs when something electrical fails; both asked by hand."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace
from typing import Any

from fastapi import APIRouter, Request
from fastapi.responses import HTMLResponse, Response
from markupsafe import Markup

from wringout.airplane.lookups import configuration_envelope
from wringout.charts.electrics import TripMark, timeline
from wringout.charts.theme import IN_PAGE
from wringout.charts.undercarriage import gear_plan_view, gear_side_view
from wringout.dossier.dossier import Dossier
from wringout.electrical import SHEDDINGS
from wringout.evaluation import electrics as electrics_asked
from wringout.evaluation import gear as gear_asked
from wringout.evaluation.electrics import ElectricsAnswer, answer_electrics, typed_electrics
from wringout.evaluation.electrics_words import (
    CAUTION as ELECTRICS_CAUTION,
)
from wringout.evaluation.electrics_words import (
    electrics_sentence,
    electrics_tables,
    thirty_minutes_sentence,
    trip_sentence,
)
from wringout.evaluation.gear import GearAnswer, answer_gear, first_asked, typed_gear
from wringout.evaluation.gear_words import CAUTION as GEAR_CAUTION
from wringout.evaluation.gear_words import gear_sentence, gear_sentences, gear_tables, marked_on
from wringout.evaluation.inquiry import InquiryError
from wringout.loading import empty_mass
from wringout.model.fit import Fit
from wringout.problems import InputError, Problem
from wringout.quantity.showing import arm_digits
from wringout.quantity.units import convert
from wringout.undercarriage import SOILS
from wringout.web.access import Standing
from wringout.web.kept_results import RESULTS
from wringout.web.rendering import page
from wringout.web.state import State

router = APIRouter(default_response_class=HTMLResponse)
Shown = dict[str, Any]
_FIELDS = {"gear": gear_asked.FIELDS, "electrics": electrics_asked.FIELDS}
_PLAN = replace(IN_PAGE, width=520)
_PILOT = 80.0  # kg, the least that is aboard beside the empty airplane (common practice, no source)


@router.get("/d/{name}/machine", response_class=HTMLResponse)
def machine(request: Request, state: Standing) -> Response:
    """The undercarriage; the address may carry a question."""
    return _whole(request, state, "pages/machine.html", typed_gear, _gear)


@router.get("/d/{name}/machine/gear", response_class=HTMLResponse)
def gear(request: Request, state: Standing) -> Response:
    """The answer to a changed question; where something typed is not understood, only that is said."""
    return _piece(request, state, "gear", typed_gear, _gear)


@router.get("/d/{name}/machine/electrics", response_class=HTMLResponse)
def electrics(request: Request, state: Standing) -> Response:
    """The electrical system; the address may carry a question."""
    return _whole(request, state, "pages/electrics.html", typed_electrics, _electrics)


@router.get("/d/{name}/machine/electrics/ask", response_class=HTMLResponse)
def electrics_ask(request: Request, state: Standing) -> Response:
    """The answer to a changed question, as `gear`."""
    return _piece(request, state, "electrics", typed_electrics, _electrics)


Typed = Callable[[Mapping[str, str], Dossier], Any]
Show = Callable[[Dossier, Any], Shown]


def _whole(request: Request, state: State, template: str, read: Typed, show_it: Show) -> Response:
    dossier = state.dossier
    if dossier is None:
        return page(request, template, state, part="machine", shown=None, refused=())
    typed = dict(request.query_params)
    faults: dict[str, Problem] = {}
    try:
        try:
            shown = show_it(dossier, read(typed, dossier))
        except InquiryError as error:
            faults = dict(zip(error.places, error.problems, strict=True))
            typed = {}
            shown = show_it(dossier, read(typed, dossier))
    except InputError as error:
        return page(request, template, state, part="machine", shown=None, refused=error.problems)
    return page(
        request, template, state, part="machine", shown=shown, typed=typed, faults=faults, refused=(), **shown
    )


def _piece(request: Request, state: State, which: str, read: Typed, show_it: Show) -> Response:
    fields = _FIELDS[which]
    dossier = state.dossier
    if dossier is None:
        raise InputError(*state.problems)
    try:
        shown = show_it(dossier, read(dict(request.query_params), dossier))
    except InquiryError as error:
        faults = dict(zip(error.places, error.problems, strict=True))
        refused = page(request, "pieces/model_faults.html", state, faults=faults, fields=fields)
        refused.headers["HX-Reswap"] = "none"
        return refused
    return page(request, f"pieces/machine_{which}.html", state, faults={}, fields=fields, **shown)


def _fit(dossier: Dossier) -> Fit | None:
    return RESULTS.of(dossier).kept.fit


def _gear(dossier: Dossier, asked: gear_asked.GearAsked) -> Shown:
    fit = _fit(dossier)
    answer = answer_gear(dossier, asked, fit)
    units = dossier.units
    return {
        "asked": asked,
        "answer": gear_sentence(answer),
        "sentences": gear_sentences(answer, units),
        "figures": _views(dossier, answer),
        "tables": gear_tables(answer, units),
        "soils": list(SOILS),
        "controls": _gear_controls(dossier, asked),
        "caution": GEAR_CAUTION,
        "fitted": fit is not None,
    }


def _views(dossier: Dossier, answer: GearAnswer) -> list[Markup]:
    """Side and plan view, as far as the description can be drawn."""
    airplane, name = dossier.airplane, answer.asked.configuration
    marked = marked_on(airplane, answer)
    try:
        return [
            Markup(gear_side_view(airplane, name, marked, dossier.units, look=IN_PAGE)),
            Markup(gear_plan_view(airplane, name, marked, look=_PLAN)),
        ]
    except ValueError as error:
        words = str(error)
        return [Markup('<p class="muted">{}.</p>').format(words[:1].upper() + words[1:])]


def _gear_controls(dossier: Dossier, asked: gear_asked.GearAsked) -> list[Shown]:
    """The sliders: field, name, unit, ends, where they stand, and what holds where nothing is typed."""
    airplane, units = dossier.airplane, dossier.units
    envelope = configuration_envelope(airplane, asked.configuration)
    arms = [cg for cg, _ in envelope.vertices]
    start = first_asked(airplane, asked.configuration)
    reach = 0.15 * (max(arms) - min(arms))
    try:
        light = min(
            empty_mass(airplane, asked.configuration).mass.value + _PILOT, 0.9 * envelope.maximum_takeoff_mass
        )
    except InputError:
        light = 0.6 * envelope.maximum_takeoff_mass
    digits = arm_digits(units.arm)
    return [
        {
            "field": "cg",
            "name": "CG aft of datum",
            **_reach(units.arm, digits, (min(arms) - reach, max(arms) + reach), (asked.cg, start.cg)),
        },
        {
            "field": "mass",
            "name": "mass",
            **_reach(units.mass, 0, (light, envelope.maximum_takeoff_mass), (asked.mass, start.mass)),
        },
        {
            "field": "friction",
            "name": "grip at the wheels",
            "unit": "",
            "low": "0",
            "high": "1",
            "step": "0.05",
            "at": f"{asked.friction:g}",
            "blank": f"{start.friction:g}",
        },
    ]


def _reach(unit: str, digits: int, ends: tuple[float, float], stands: tuple[float, float]) -> Shown:
    """Unit, ends and step of a slider, where it stands, and what holds where nothing is typed."""
    low, high, at, blank = (f"{float(convert(value, unit)):.{digits}f}" for value in (*ends, *stands))
    return {
        "unit": unit,
        "low": low,
        "high": high,
        "step": f"{10.0**-digits:g}",
        "at": at,
        "blank": blank,
    }


def _electrics(dossier: Dossier, asked: electrics_asked.ElectricsAsked) -> Shown:
    fit = _fit(dossier)
    answer = answer_electrics(dossier, asked, fit)
    units = dossier.units
    return {
        "asked": asked,
        "answer": electrics_sentence(answer, units),
        "sentences": [
            sentence
            for sentence in (trip_sentence(answer, units), thirty_minutes_sentence(answer))
            if sentence
        ],
        "figure": _timeline(answer),
        "tables": electrics_tables(answer, units),
        "failures": list(answer.failures),
        "sheddings": SHEDDINGS,
        "controls": _electric_controls(dossier, asked, answer),
        "caution": ELECTRICS_CAUTION,
        "waits": fit is None and bool(dossier.missions),
    }


def _timeline(answer: ElectricsAnswer) -> Markup:
    trip = answer.trip
    mark = None if trip is None or trip.reach is None else TripMark(trip.needed, trip.mission)
    batteries = [battery.name for battery in answer.electrical.batteries]
    return Markup(timeline(answer.found, batteries, trip=mark, look=IN_PAGE))


def _electric_controls(
    dossier: Dossier, asked: electrics_asked.ElectricsAsked, answer: ElectricsAnswer
) -> list[Shown]:
    unit = dossier.units.temperature
    low, high, here, usual = (
        float(convert(kelvin, unit))
        for kelvin in (243.15, 313.15, asked.temperature, electrics_asked.TEMPERATURE)
    )
    described = [battery.aged_fraction for battery in answer.electrical.batteries]
    age = asked.age if asked.age is not None else (described[0] if described else 1.0)
    return [
        {
            "field": "temperature",
            "name": "batteries at",
            "unit": unit,
            "low": f"{low:.0f}",
            "high": f"{high:.0f}",
            "step": "1",
            "at": f"{here:.0f}",
            "blank": f"{usual:.0f}",
        },
        {
            "field": "age",
            "name": "age has left of them",
            "unit": "%",
            "low": "40",
            "high": "100",
            "step": "1",
            "at": f"{100.0 * age:.0f}",
            "blank": "as is",
        },
        {
            "field": "recognition",
            "name": "until it is seen",
            "unit": "min",
            "low": "0",
            "high": "30",
            "step": "1",
            "at": f"{asked.recognition / 60.0:.0f}",
            "blank": f"{electrics_asked.RECOGNITION / 60.0:.0f}",
        },
    ]
