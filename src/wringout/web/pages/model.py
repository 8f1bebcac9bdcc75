"""Model: any figure asked at any condition, what the flights taught, and what does not fit."""

from __future__ import annotations

from collections.abc import Mapping
from math import isfinite
from typing import Any
from urllib.parse import urlencode

from fastapi import APIRouter, Request
from fastapi.responses import HTMLResponse, Response
from markupsafe import Markup

from wringout.charts.inquiry import inquiry_drawing
from wringout.charts.learning import learning_figure, residual_figure
from wringout.charts.theme import Look
from wringout.dossier.dossier import Dossier
from wringout.evaluation.inquiry import (
    BEARS,
    ON_THE_STRIP,
    TEMPERATURE,
    VARIABLES,
    Answered,
    InquiryError,
    Variable,
    reaches,
    standing_temperature,
    surfaces,
    techniques,
    typed_inquiry,
    unit_of,
)
from wringout.evaluation.inquiry_words import answer_sentence, answer_unit, interval_words, shown_answer
from wringout.evaluation.next_asked import untold
from wringout.model.fit import Fit
from wringout.model.question import Question
from wringout.problems import InputError, Problem
from wringout.quantity.units import convert
from wringout.report.appendix import CAUTIONS, learnt_table
from wringout.report.handbook import handbook_table
from wringout.report.words import capital
from wringout.web.access import Bench, Standing
from wringout.web.charts import Chart, chart
from wringout.web.kept_results import RESULTS, Results
from wringout.web.point_words import outlier_rows
from wringout.web.rendering import page
from wringout.web.stale import stale

router = APIRouter(default_response_class=HTMLResponse)
FIELDS = ("figure", "configuration", *(item.field for item in VARIABLES), "surface", "technique", "flap")


@router.get("/d/{name}/model", response_class=HTMLResponse)
def model(request: Request, bench: Bench, state: Standing) -> Response:
    """The page; its address may carry a question."""
    dossier = state.dossier
    results = None if dossier is None else RESULTS.of(dossier)
    if dossier is None or results is None or results.kept.fit is None:
        return stale(request, bench, state, "model", "The model")
    fit = results.kept.fit
    typed, faults = dict(request.query_params), {}
    try:
        shown = _shown(results, fit, typed)
    except InquiryError as error:
        faults = dict(zip(error.places, error.problems, strict=True))
        typed = {}
        shown = _shown(results, fit, typed)
    odd = outlier_rows(fit.residuals)
    return page(
        request,
        "pages/model.html",
        state,
        part="model",
        typed=typed,
        faults=faults,
        controls=_controls(dossier, fit, shown["inquiry"].question.configuration),
        figures=[(item, [each.field for each in BEARS[item]]) for item in BEARS],
        on_the_strip=ON_THE_STRIP,
        surfaces=surfaces(dossier),
        techniques={item: techniques(fit, item) for item in ON_THE_STRIP},
        learning=_learning(fit),
        residuals=_residuals(fit),
        taught=learnt_table(fit),
        odd=odd,
        messages=[f"{capital(words)}." for words in fit.messages],
        untold=[(name, urlencode(query)) for name, query in untold(fit, dossier)],
        caution=CAUTIONS[0],
        **shown,
    )


@router.get("/d/{name}/model/ask", response_class=HTMLResponse)
def ask(request: Request, bench: Bench, state: Standing) -> Response:
    """The answer to a changed question; where something typed is not understood, only that is said."""
    dossier = state.dossier
    results = None if dossier is None else RESULTS.of(dossier)
    if results is None or results.kept.fit is None:
        answer = stale(request, bench, state, "model", "The model")
        answer.headers["HX-Refresh"] = "true"
        return answer
    try:
        shown = _shown(results, results.kept.fit, dict(request.query_params))
    except InquiryError as error:
        faults = dict(zip(error.places, error.problems, strict=True))
        refused = page(request, "pieces/model_faults.html", state, faults=faults, fields=FIELDS)
        refused.headers["HX-Reswap"] = "none"
        return refused
    return page(request, "pieces/model_answer.html", state, faults={}, fields=FIELDS, **shown)


@router.get("/d/{name}/model/tables", response_class=HTMLResponse)
def tables(request: Request, state: Standing) -> Response:
    """Take-off and landing by mass, altitude and temperature."""
    dossier = state.dossier
    kept = None if dossier is None else RESULTS.of(dossier).kept
    if dossier is None or kept is None or kept.fit is None or kept.points is None:
        raise InputError(Problem("the model is to be computed anew first", "reload the page and evaluate"))
    found = RESULTS.of(dossier).handbook(kept.points, kept.fit)
    blocks = [handbook_table(item, dossier.units) for item in found]
    return page(request, "pieces/model_tables.html", state, tables=blocks)


def _shown(results: Results, fit: Fit, typed: Mapping[str, str]) -> dict[str, Any]:
    """The sentence, its interval, the figure, and where the sliders then stand."""
    dossier = results.dossier
    found = results.answered(fit, typed_inquiry(typed, dossier, fit))
    asked, prediction, units = found.inquiry, found.prediction, dossier.units
    return {
        "inquiry": asked,
        "answer": answer_sentence(prediction, asked, units),
        "interval": interval_words(prediction, units),
        "figure": _drawn(dossier, found),
        "notes": [f"{capital(note)}." for note in prediction.notes],
        "stands": _stands(dossier, fit, found),
        "question": urlencode(_asked_again(asked.question, dossier)),
    }


def _asked_again(question: Question, dossier: Dossier) -> dict[str, str]:
    """The question as the fields of an address."""
    said = {"figure": str(question.quantity), "configuration": question.configuration}
    for variable in BEARS[question.quantity]:
        value = getattr(question, variable.field)
        if value is not None:
            unit = unit_of(variable, dossier.units)
            said[variable.field] = f"{convert(value, unit, variable.dimension):.5g}"
    if question.flap is not None:
        said["flap"] = question.flap
    if question.quantity in ON_THE_STRIP:
        said["surface"] = question.surface
        said["technique"] = question.technique or ""
    return said


def _drawn(dossier: Dossier, found: Answered) -> Markup:
    inquiry, prediction, units = found.inquiry, found.prediction, dossier.units
    along, quantity = inquiry.along, inquiry.question.quantity
    here = _here(found)
    sentence = answer_sentence(prediction, inquiry, units)
    try:
        return Markup(
            inquiry_drawing(
                found.curve,
                here,
                across=(along.name, unit_of(along, units)),
                up=(quantity, answer_unit(quantity, units)),
                words=shown_answer(prediction, prediction.estimate.value, units),
                alt=f"{quantity} against {along.name}, with its 90 % band. {sentence}",
            )
        )
    except ValueError:
        return Markup('<p class="muted">It cannot be done anywhere along this line.</p>')


def _here(found: Answered) -> tuple[float, float, float, float] | None:
    at = _value(found, found.inquiry.along)
    value = found.prediction.estimate.value
    if at is None or not isfinite(value):
        return None
    return at, found.prediction.low, value, found.prediction.high


def _value(found: Answered, variable: Variable) -> float | None:
    """Where a variable of the question stands [SI], the standard temperature where none is stated."""
    asked = found.inquiry.question
    if variable is TEMPERATURE:
        return standing_temperature(asked)
    value: float | None = getattr(asked, variable.field)
    return value


def _stands(dossier: Dossier, fit: Fit, found: Answered) -> list[dict[str, str]]:
    """Each slider's ends and place after the answer."""
    stands = []
    for reach in reaches(dossier, fit, found.inquiry.question.configuration):
        value = _value(found, reach.variable)
        at = 0.5 * (reach.low + reach.high)
        if value is not None:
            at = float(convert(value, reach.unit, reach.variable.dimension))
        elif reach.start is not None:
            at = reach.start
        stands.append(
            {
                "field": reach.variable.field,
                "low": f"{reach.low:g}",
                "high": f"{reach.high:g}",
                "at": f"{at:.4g}",
                "standard": f"standard: {at:.0f} {reach.unit}" if reach.variable is TEMPERATURE else "",
            }
        )
    return stands


def _controls(dossier: Dossier, fit: Fit, configuration: str) -> list[dict[str, Any]]:
    return [
        {
            "field": reach.variable.field,
            "name": reach.variable.name,
            "unit": reach.unit,
            "low": f"{reach.low:g}",
            "high": f"{reach.high:g}",
            "step": f"{reach.step:g}",
            "start": "" if reach.start is None else f"{reach.start:.5g}",
            "blank": "" if reach.start is not None else "best",
        }
        for reach in reaches(dossier, fit, configuration)
    ]


def _learning(fit: Fit) -> Chart | None:
    def drawn(look: Look) -> dict[str, object]:
        return learning_figure(fit.parameters, look=look)

    return chart("learning", drawn) if fit.parameters else None


def _residuals(fit: Fit) -> Chart | None:
    def drawn(look: Look) -> dict[str, object]:
        return residual_figure(fit.residuals, look=look)

    return chart("residuals", drawn) if fit.residuals else None
