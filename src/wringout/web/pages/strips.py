"""Strips: how often each can be used through a year of hours, what stops it, and with what load."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from fastapi import APIRouter, Request
from fastapi.responses import HTMLResponse, Response
from markupsafe import Markup

from wringout.airplane.lookups import unknown_name
from wringout.charts.strips import heat_drawing, heats_drawing
from wringout.charts.theme import IN_PAGE
from wringout.dossier.dossier import Dossier
from wringout.evaluation.inquiry import InquiryError, surfaces
from wringout.evaluation.strip_words import (
    CAUTION,
    density_words,
    distance_words,
    found_sentence,
    interval_words,
    kept_reason,
    opening_sentence,
    payload_words,
    percent,
    practice_words,
    weather_words,
)
from wringout.evaluation.strips import StripFound, StripsAnswer
from wringout.evaluation.strips_typed import AS_DESCRIBED, METHODS, typed_strips
from wringout.evaluation.survey_words import left_out_rows, summary_sentence
from wringout.model.fit import Fit
from wringout.problems import InputError
from wringout.quantity.showing import arm_digits, show
from wringout.quantity.units import convert
from wringout.report.words import capital
from wringout.web.access import Bench, Standing
from wringout.web.kept_results import RESULTS
from wringout.web.kept_strips import STRIPS, SURVEYS, KeptSurvey
from wringout.web.pages.home import stage_words
from wringout.web.rendering import page
from wringout.web.stale import stale

router = APIRouter(default_response_class=HTMLResponse)
FIELDS = (
    "strip", "configuration", "load", "fuel", "surface", "take_off", "landing", "method", "take_off_factor",
    "landing_factor", "cross_wind", "tail_wind", "step",
)  # fmt: skip


@router.get("/d/{name}/strips", response_class=HTMLResponse)
def strips(request: Request, bench: Bench, state: Standing) -> Response:
    """The page; its address may carry a question."""
    dossier = state.dossier
    results = None if dossier is None else RESULTS.of(dossier)
    if dossier is None or results is None or results.kept.fit is None:
        return stale(request, bench, state, "strips", "What strips can be used")
    fit = results.kept.fit
    typed, faults = dict(request.query_params), {}
    try:
        shown = _shown(dossier, fit, typed)
    except InquiryError as error:
        faults = dict(zip(error.places, error.problems, strict=True))
        typed = {}
        shown = _shown(dossier, fit, typed)
    except InputError as error:
        return page(request, "pages/strips_empty.html", state, part="strips", problems=error.problems)
    return page(
        request,
        "pages/strips.html",
        state,
        part="strips",
        typed=typed,
        faults=faults,
        fields=FIELDS,
        controls=_controls(dossier, fit),
        job=bench.jobs.of(state.root),
        **shown,
    )


@router.get("/d/{name}/strips/ask", response_class=HTMLResponse)
def ask(request: Request, bench: Bench, state: Standing) -> Response:
    """The answer to a changed question; where something typed is not understood, only that is said."""
    dossier = state.dossier
    results = None if dossier is None else RESULTS.of(dossier)
    if dossier is None or results is None or results.kept.fit is None:
        answer = stale(request, bench, state, "strips", "What strips can be used")
        answer.headers["HX-Refresh"] = "true"
        return answer
    try:
        shown = _shown(dossier, results.kept.fit, dict(request.query_params))
    except InquiryError as error:
        faults = dict(zip(error.places, error.problems, strict=True))
        refused = page(request, "pieces/model_faults.html", state, faults=faults, fields=FIELDS)
        refused.headers["HX-Reswap"] = "none"
        return refused
    return page(request, "pieces/strips_answer.html", state, faults={}, fields=FIELDS, **shown)


@router.get("/d/{name}/strips/survey", response_class=HTMLResponse)
def survey(request: Request, bench: Bench, state: Standing) -> Response:
    """The survey of the dossier's table of runways: how to begin it, how it goes, what it found."""
    dossier = state.dossier
    results = None if dossier is None else RESULTS.of(dossier)
    said: dict[str, Any] = {"table": None, "rows": (), "sentence": "", "problems": (), "left": ()}
    if dossier is not None and results is not None and results.kept.fit is not None:
        try:
            known = SURVEYS.of(dossier, results.kept.fit)
        except InputError as error:
            said["problems"] = error.problems
        else:
            said |= _surveyed(dossier, known)
    job = bench.jobs.of(state.root)
    running = job if job is not None and job.standing == "running" else None
    failed = job if job is not None and job.task == "survey" and job.standing == "failed" else None
    return page(
        request, "pieces/strips_survey.html", state, name=state.name, job=running, failed=failed,
        words=stage_words, **said,
    )  # fmt: skip


def _surveyed(dossier: Dossier, known: KeptSurvey | None) -> dict[str, Any]:
    if known is None:
        return {}
    units, summary = dossier.units, known.summary()
    return {
        "table": known.table,
        "sentence": summary_sentence(summary, units) if summary else "",
        "left": left_out_rows(known.table),
        "rows": [
            {
                "configuration": row.configuration,
                "payload": show(row.payload, units.mass, digits=0),
                "figures": (row.strips, row.nine_in_ten, row.half, row.never),
                "binding": "; ".join(f"{reason} on {count}" for reason, count in row.binding[:3])
                or "nothing",
            }
            for row in summary
        ],
    }


def _shown(dossier: Dossier, fit: Fit, typed: Mapping[str, str]) -> dict[str, Any]:
    """The sentence of the chosen strip, its heat map, all strips, and what to look at."""
    asked = typed_strips(typed, dossier, fit)
    try:
        answer = STRIPS.of(dossier, fit, asked)
    except InputError as error:
        places = {problem.field: problem for problem in error.problems if problem.field in FIELDS}
        if places:
            raise InquiryError({str(field): problem for field, problem in places.items()}) from None
        raise
    found = _chosen(answer, typed.get("strip", ""))
    units = dossier.units
    told = found.answer
    judged = [item.answer for item in answer.found if item.answer is not None]
    return {
        "found": found,
        "answer": found_sentence(found, answer, units),
        "over": opening_sentence(answer, units),
        "interval": _interval(found),
        "figure": None if told is None else Markup(heat_drawing(told, look=IN_PAGE)),
        "every": Markup(heats_drawing(judged, look=IN_PAGE)) if judged else None,
        "reasons": [] if told is None else _reasons(told.reasons),
        "density": density_words(found, units),
        "looks": found.looks,
        "rough": [_rough(item, dossier) for item in found.rough],
        "rows": [_row(item, dossier) for item in answer.found],
        "practice": practice_words(asked.practice, 0.0 if told is None else told.cross_wind, units),
        "weather": weather_words(answer, units),
        "notes": [f"{capital(note).rstrip('.')}." for note in answer.notes],
        "usual": _usual(answer, dossier, 0.0 if told is None else told.cross_wind),
        "techniques_used": answer.techniques,
        "configuration": answer.configuration,
        "caution": CAUTION,
    }


def _chosen(answer: StripsAnswer, name: str) -> StripFound:
    if not name:
        return answer.found[0]
    for found in answer.found:
        if found.strip.name == name:
            return found
    problem = unknown_name("strip", name, [found.strip.name for found in answer.found])
    raise InquiryError({"strip": problem})


def _interval(found: StripFound) -> str:
    """What the flights leave open, and what the payload would have to be."""
    if found.answer is None:
        return ""
    spread = interval_words(found)
    words = "An hour counts when it is long enough nine times in ten"
    if " to " in spread:
        between = spread.replace(" to ", " and ")
        words += f"; over what the flights leave open the share lies between {between}"
    reason = kept_reason(found)
    return f"{words}. No load keeps nine hours in ten: {reason}." if reason else f"{words}."


def _reasons(reasons: Mapping[str, float]) -> list[str]:
    ranked = sorted(reasons.items(), key=lambda item: -item[1])
    return [f"{capital(name)} stops {percent(share)} of the hours" for name, share in ranked if share > 0.0]


def _rough(item: Any, dossier: Dossier) -> str:
    unit = dossier.units.arm
    climbs, step = (show(value, unit, digits=arm_digits(unit)) for value in (item.climbs, item.step))
    enough = "enough" if item.climbs >= item.step else "not enough"
    return f"From rest it climbs {climbs} with {item.wheel}, {enough} for a step of {step}"


def _row(item: StripFound, dossier: Dossier) -> dict[str, Any]:
    units, strip, told = dossier.units, item.strip, item.answer
    return {
        "name": strip.name,
        "place": f"{show(strip.elevation, units.height, digits=0)}, {strip.surface}, "
        f"{100.0 * abs(strip.slope):.1f} %{' one way' if strip.one_way else ''}",
        "binds": item.refused if told is None else (told.binding or "nothing"),
        "share": "–" if told is None else percent(told.share),
        "interval": interval_words(item),
        "landing": "–" if told is None else distance_words(told.landing, units),
        "take_off": "–" if told is None else distance_words(told.take_off, units),
        "payload": payload_words(item, units),
        "fails": told is not None and told.share < 0.5,
    }


def _usual(answer: StripsAnswer, dossier: Dossier, cross_wind: float) -> dict[str, str]:
    """What stands for each field that is left empty."""
    units, practice = dossier.units, answer.asked.practice
    return {
        "load": f"{float(convert(answer.payload, units.mass)):.0f}",
        "fuel": f"{float(convert(answer.fuel, units.fuel)):.0f}",
        "take_off_factor": f"{practice.take_off_factor:.2f}",
        "landing_factor": f"{practice.landing_factor:.2f}",
        "cross_wind": f"{float(convert(cross_wind, units.speed)):.0f}",
        "tail_wind": f"{float(convert(practice.tail_wind, units.speed)):.0f}",
        "step": f"{float(convert(answer.asked.step, units.arm)):.{arm_digits(units.arm)}f}",
    }


def _controls(dossier: Dossier, fit: Fit) -> dict[str, Any]:
    units = dossier.units
    return {
        "strips": [strip.name for strip in dossier.strips],
        "configurations": [item.name for item in dossier.airplane.configurations],
        "surfaces": [AS_DESCRIBED, *surfaces(dossier)],
        "take_offs": fit.techniques["take-off"],
        "landings": fit.techniques["landing"],
        "methods": METHODS,
        "amounts": [
            ("load", "Payload, pilot counted", units.mass),
            ("fuel", "Fuel aboard", units.fuel),
            ("take_off_factor", "Margin on take-off", "×"),
            ("landing_factor", "Margin on landing", "×"),
            ("cross_wind", "Cross wind up to", units.speed),
            ("tail_wind", "Tail wind up to", units.speed),
            ("step", "Rut or stone", units.arm),
        ],
    }
