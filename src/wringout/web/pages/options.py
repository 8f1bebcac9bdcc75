"""Options: a build asked for, weighed and priced or refused, and what it changes against the one before."""

from __future__ import annotations

from typing import Annotated, Any

from fastapi import APIRouter, Query, Request
from fastapi.responses import HTMLResponse, Response
from pydantic import BaseModel, Field

from wringout.airplane.airplane import Airplane
from wringout.airplane.lookups import unknown_name
from wringout.charts import Look
from wringout.charts.exchange import exchange_figure
from wringout.charts.figure import Spec
from wringout.dossier.dossier import Dossier
from wringout.evaluation.consequences import consequences
from wringout.outfitting import (
    CAUTION,
    Build,
    Change,
    Refused,
    build_or_refused,
    change,
    configuration_builds,
    fitted_options,
)
from wringout.problems import InputError, Problem
from wringout.report.blocks import Block
from wringout.report.exchange_sheet import NOT_THE_RECORD, exchange_pdf
from wringout.report.options import (
    NO_OPTIONS,
    build_sentence,
    builds_sentence,
    builds_table,
    change_sentence,
    comparison_table,
    compatibility_words,
    consequences_tables,
    limits_words,
    options_table,
    steps_table,
)
from wringout.web.access import Bench, Standing
from wringout.web.charts import chart
from wringout.web.kept_results import RESULTS
from wringout.web.rendering import page
from wringout.web.stale import stale
from wringout.web.state import State

REACHED = "What loadings can reach: before dashed, after in colour; hatched, the limits after"
router = APIRouter(default_response_class=HTMLResponse)


class Asked(BaseModel):
    """The build before, as weighed but for its gear, and the build after with its options."""

    before: Annotated[str, Field(max_length=200)] = ""
    after: Annotated[str, Field(max_length=200)] = ""
    option: Annotated[list[Annotated[str, Field(max_length=200)]], Field(max_length=200)] = []
    chosen: bool = False  # whether the options were chosen, or are those that were fitted


@router.get("/d/{name}/options", response_class=HTMLResponse)
def options(request: Request, bench: Bench, state: Standing, asked: Annotated[Asked, Query()]) -> Response:
    """The page; without a build asked for, the airplane as weighed."""
    dossier = state.dossier
    if dossier is None:
        return stale(request, bench, state, "options", "The options")
    said = _said(dossier, asked)
    return page(request, "pages/options.html", state, part="options", **said)


@router.get("/d/{name}/options/found", response_class=HTMLResponse)
def found(request: Request, state: Standing, asked: Annotated[Asked, Query()]) -> Response:
    """What a choice comes to."""
    return page(request, "pieces/options_found.html", state, **_said(_dossier(state), asked))


@router.get("/d/{name}/options/changes", response_class=HTMLResponse)
def changes(request: Request, state: Standing, asked: Annotated[Asked, Query()]) -> Response:
    """What the exchange changes in missions and claims; a sentence where that is not known."""
    dossier = _dossier(state)
    made = _change(dossier, asked)
    kept = RESULTS.of(dossier).kept
    if kept.points is None or kept.fit is None:
        return page(request, "pieces/options_changes.html", state, sentence="", tables=(), notes=())
    result = consequences(dossier, kept.points, kept.fit, made)
    return page(
        request,
        "pieces/options_changes.html",
        state,
        sentence=result.sentence(),
        tables=[_ruled(block) for block in consequences_tables(result)],
        notes=result.notes,
    )


@router.get("/d/{name}/options/exchange.pdf", response_class=Response)
def sheet(state: Standing, asked: Annotated[Asked, Query()], paper: str = "a4") -> Response:
    """Before and after on one page."""
    dossier = _dossier(state)
    try:
        made = exchange_pdf(dossier, _change(dossier, asked), paper=paper)
    except ValueError as error:
        raise InputError(Problem(str(error), "choose one of the page's links")) from None
    headers = {"Content-Disposition": 'inline; filename="before-and-after.pdf"'}
    return Response(made, media_type="application/pdf", headers=headers)


def _ruled(block: Block) -> Block:
    """The table with its probabilities in figures."""
    kinds = [column["kind"] for column in block["columns"]]
    rows = [
        [_chance(cell) if kind == "rule" else cell for kind, cell in zip(kinds, row, strict=True)]
        for row in block["rows"]
    ]
    columns = [
        {**column, "kind": "number" if column["kind"] == "rule" else column["kind"]}
        for column in block["columns"]
    ]
    return {**block, "columns": columns, "rows": rows}


def _chance(probability: float | None) -> str:
    """A probability in two digits, never quite none or all."""
    if probability is None:
        return "–"
    return "<0.01" if probability < 0.01 else ">0.99" if probability > 0.99 else f"{probability:.2f}"


def _said(dossier: Dossier, asked: Asked) -> dict[str, Any]:
    """All that the page says of a choice: sentence, figure and tables, or every reason against it."""
    airplane, units = dossier.airplane, dossier.units
    first, last = _builds(airplane, asked)
    every = configuration_builds(airplane)
    weighed = [item for item in every if isinstance(item, Build)]
    base = first if isinstance(first, Build) else weighed[0] if weighed else None
    said: dict[str, Any] = {
        "airplane": airplane,
        "before": first.configuration,
        "after": last.configuration,
        "aboard": set(last.options),
        "goes": {item.name: compatibility_words(item) for item in airplane.options},
        "none": "" if airplane.options else NO_OPTIONS,
        "builds": builds_table(airplane, every, units),
        "options": options_table(airplane, base, units) if base and airplane.options else None,
        "refused": {},
        "rest": (),
        "exchange": None,
        "lead": "",
        "caution": CAUTION,
        "record": NOT_THE_RECORD,
    }
    refused = [item for item in (first, last) if isinstance(item, Refused)]
    if refused:
        problems = tuple(dict.fromkeys(problem for item in refused for problem in item.problems))
        at: dict[str, list[Problem]] = {}
        for problem in problems:
            at.setdefault(problem.field or "", []).append(problem)
        count = len(problems)
        reasons = "one reason" if count == 1 else f"{count} reasons"
        aboard = {item.name for item in airplane.options}
        return said | {
            "sentence": f"There is no such build, for {reasons}.",
            "refused": at,
            "rest": [problem for problem in problems if problem.field not in aboard],
        }
    assert isinstance(first, Build)
    assert isinstance(last, Build)
    made = change(airplane, first, last)
    if not made.steps:
        return said | {"sentence": build_sentence(last, units), "lead": builds_sentence(weighed, units)}
    sentence = change_sentence(made, units)

    def draw(look: Look) -> Spec:
        return exchange_figure(made, units, title=REACHED, look=look)

    return said | {
        "sentence": sentence,
        "lead": limits_words(made),
        "exchange": {
            "chart": chart("exchange", draw),
            "steps": steps_table(made, units),
            "comparison": comparison_table(made, units),
        },
    }


def _builds(airplane: Airplane, asked: Asked) -> tuple[Build | Refused, Build | Refused]:
    names = [item.name for item in airplane.configurations]
    before = asked.before or airplane.empty.configuration
    after = asked.after or before
    for name in (before, after):
        if name not in names:
            raise InputError(unknown_name("configuration", name, names))
    known = [item.name for item in airplane.options]
    for name in asked.option:
        if name not in known:
            raise InputError(unknown_name("option", name, known))
    fitted = fitted_options(airplane)
    wanted = tuple(asked.option) if asked.chosen else fitted
    return build_or_refused(airplane, before, fitted), build_or_refused(airplane, after, wanted)


def _change(dossier: Dossier, asked: Asked) -> Change:
    first, last = _builds(dossier.airplane, asked)
    for item in (first, last):
        if isinstance(item, Refused):
            raise InputError(*item.problems)
    assert isinstance(first, Build)
    assert isinstance(last, Build)
    return change(dossier.airplane, first, last)


def _dossier(state: State) -> Dossier:
    if state.dossier is None:
        raise InputError(*(problem for problem in state.problems if problem.severity == "error"))
    return state.dossier
