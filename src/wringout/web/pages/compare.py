"""Compare: configurations of this airplane and other dossiers of the shelf on the same missions."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Annotated, Any

from fastapi import APIRouter, Query, Request
from fastapi.responses import HTMLResponse, Response

from wringout.charts.theme import Look
from wringout.dossier.dossier import Dossier
from wringout.dossier.shelf import dossiers
from wringout.evaluation.compared import Beside, beside, compared
from wringout.evaluation.comparison import MOST, Comparison, candidates_of
from wringout.evaluation.cost_figures import tradeoff_of, trades_of
from wringout.evaluation.gains import sentences
from wringout.model.fit import Fit
from wringout.problems import InputError, Problem
from wringout.quantity.showing import show
from wringout.report.compared import gains_table, measure_table, mission_table
from wringout.web.access import Bench, Standing, Workbench
from wringout.web.charts import Chart, chart, numbers
from wringout.web.kept_results import RESULTS
from wringout.web.rendering import page
from wringout.web.stale import stale
from wringout.web.state import State

router = APIRouter(default_response_class=HTMLResponse)
MOST_SHOWN = 60  # of the shelf; more are compared by the command
NOTHING = "Choose two or more: configurations of this airplane, or another dossier beside it."


@dataclass(frozen=True, slots=True)
class Choice:
    """A configuration or a dossier that can be chosen; `reason` why not."""

    name: str
    chosen: bool
    flown: bool = True
    airplane: str = ""
    reason: str = ""


@router.get("/d/{name}/compare", response_class=HTMLResponse)
def compare(
    request: Request,
    bench: Bench,
    state: Standing,
    configuration: Annotated[list[str] | None, Query()] = None,
    with_: Annotated[list[str] | None, Query(alias="beside")] = None,
) -> Response:
    """The page; its address says who is compared."""
    dossier = state.dossier
    fit = None if dossier is None else RESULTS.of(dossier).kept.fit
    if dossier is None or fit is None:
        return stale(request, bench, state, "compare", "The model")
    flown = [item.configuration for item in candidates_of(dossier, fit)]
    asked = (configuration or []) if configuration or with_ else flown[:MOST]
    others = _others(bench, dossier, with_ or [])
    chosen = beside(dossier, [item.name for item in others if item.chosen])
    found, problems = _compared(dossier, fit, asked, chosen)
    return page(
        request,
        "pages/compare.html",
        state,
        part="compare",
        sentences=sentences(found) if found else (NOTHING,),
        problems=problems,
        configurations=[
            Choice(item.name, item.name in asked, item.name in flown)
            for item in dossier.airplane.configurations
        ],
        others=others,
        comparison=found,
        **(_told(found, dossier) if found else {}),
    )


def _others(bench: Workbench, dossier: Dossier, named: Sequence[str]) -> tuple[Choice, ...]:
    """The other dossiers of the shelf as they stand; their results are read only where one is chosen."""
    here = dossier.root.resolve().name
    names = [name for name in dossiers(bench.shelf) if name != here]
    strange = [name for name in named if name not in names]
    if strange:
        raise InputError(Problem(f"there is no dossier '{strange[0][:40]}'", "choose one of the shelf"))
    return tuple(_choice(bench.states.of(bench.shelf / name), named) for name in names[:MOST_SHOWN])


def _choice(state: State, named: Sequence[str]) -> Choice:
    if state.dossier is None:
        return Choice(state.name, chosen=False, reason="Its files have errors.")
    fitted = any(stage.stage == "fit" and stage.fresh for stage in state.stages)
    called = state.dossier.airplane.name
    if not fitted:
        return Choice(state.name, chosen=False, airplane=called, reason="It is yet to be evaluated.")
    return Choice(state.name, state.name in named, airplane=called)


def _compared(
    dossier: Dossier, fit: Fit, asked: Sequence[str], others: Sequence[Beside]
) -> tuple[Comparison | None, tuple[Problem, ...]]:
    candidates = list(candidates_of(dossier, fit, asked)) if asked else []
    if others and not asked:
        candidates = list(candidates_of(dossier, fit)[:1])
    for item in others:
        if item.dossier is not None and item.fit is not None:
            candidates += candidates_of(item.dossier, item.fit)[:1]
    if len(candidates) < 2:
        return None, ()
    try:
        return compared(candidates), ()
    except InputError as error:
        return None, error.problems


def _told(found: Comparison, dossier: Dossier) -> dict[str, Any]:
    return {
        "tradeoff": _tradeoff(found, dossier),
        "gains": gains_table(found),
        "missions": mission_table(found, dossier.units),
        "measures": measure_table(found),
    }


def _tradeoff(found: Comparison, dossier: Dossier) -> Chart | None:
    units, trades = dossier.units, trades_of(found)
    if not trades:
        return None

    def draw(look: Look) -> dict[str, Any]:
        return tradeoff_of(found, units, look=look)

    table = numbers(
        ("contender", "mission", f"strip needed, {units.distance}", f"payload, {units.mass}", found.currency),
        [
            (
                trade.contender,
                trade.mission,
                show(trade.strip[1], units.distance, digits=0).removesuffix(units.distance).rstrip(),
                show(trade.payload, units.mass, digits=0).removesuffix(units.mass).rstrip(),
                "–" if trade.cost is None else show(trade.cost, "", digits=0),
            )
            for trade in trades
        ],
        words=2,
    )
    return chart("trade-off", draw, table)
