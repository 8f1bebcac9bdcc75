"""Cost: what an hour costs, each assumption in its field, and the answer as it is typed."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from importlib import resources
from typing import Any

from fastapi import APIRouter, Request
from fastapi.responses import HTMLResponse, Response
from markupsafe import Markup

from wringout.dossier.cost_trial import CostTrial, tried_costs
from wringout.dossier.costs import Costs
from wringout.dossier.dossier import Dossier
from wringout.dossier.drafting import part_file
from wringout.dossier.files import read_file
from wringout.dossier.filled import FilledTable, filled
from wringout.dossier.forms import costs_form
from wringout.dossier.history import add, edit, steps
from wringout.dossier.toml import LARGEST_TEXT, read_toml
from wringout.evaluation.comparison import candidates_of
from wringout.evaluation.cost_figures import break_even_live, tornado_live
from wringout.evaluation.cost_words import (
    carrying_sentence,
    hangs_on,
    hour_sentence,
    meeting_sentences,
    year_sentence,
)
from wringout.evaluation.costs import CAUTION, Costing, costs_of
from wringout.model.fit import Fit
from wringout.problems import InputError
from wringout.report.costs import assumption_table, hour_table, mission_table
from wringout.web.access import Bench, Standing
from wringout.web.kept_costs import COSTS
from wringout.web.kept_results import RESULTS
from wringout.web.rendering import page
from wringout.web.stale import stale
from wringout.web.state import State

router = APIRouter(default_response_class=HTMLResponse)
CALLED: Mapping[str, str] = {
    "hours_per_year": "hours flown in a year",
    "fuel_price": "price of fuel",
    "kept": "kept until it is sold",
    "value_left": "value left at the sale",
    "own_rate": "interest on own money",
    "labour": "a mechanic's hour",
    "leg": "usual trip",
    "loan.share": "share borrowed",
    "loan.rate": "interest of the loan",
    "loan.term": "term of the loan",
}
# What belongs together, by the first key; a listed cost stands with its kind.
GROUPS = (
    ("The airplane", ("price", "value_left", "kept", "own_rate", "loan")),
    ("The year", ("hours_per_year", "fixed", "exchange")),
    ("The hour", ("fuel_price", "running", "reserve", "labour")),
    ("The trip", ("leg",)),
)
_AFTER = {
    "amount": "",
    "every": " due after",
    "at_most": " due at the latest after",
    "times_a_year": ", times a year",
}


@router.get("/d/{name}/cost", response_class=HTMLResponse)
def cost(request: Request, bench: Bench, state: Standing) -> Response:
    """The page; its address may carry assumptions."""
    dossier, fit = state.dossier, _fit(state)
    if dossier is not None and dossier.costs is None:
        return page(request, "pages/cost_empty.html", state, part="cost", problems=())
    if dossier is None or fit is None:
        return stale(request, bench, state, "cost", "The model")
    typed, configuration = _asked(request)
    try:
        trial = tried_costs(state.root, typed)
    except InputError:
        typed, trial = {}, tried_costs(state.root, {})
    file = trial.file
    return page(
        request,
        "pages/cost.html",
        state,
        part="cost",
        file=file,
        steps=steps(state.root, file),
        groups=_groups(state, file, typed),
        faults=trial.faults,
        called=CALLED,
        **_shown(dossier, fit, trial.costs or dossier.costs, configuration),
    )


@router.get("/d/{name}/cost/ask", response_class=HTMLResponse)
def ask(request: Request, bench: Bench, state: Standing) -> Response:
    """The answer with what is typed; where something is not understood, only that is said."""
    dossier, fit = state.dossier, _fit(state)
    if dossier is None or fit is None or dossier.costs is None:
        answer = stale(request, bench, state, "cost", "The model")
        answer.headers["HX-Refresh"] = "true"
        return answer
    typed, configuration = _asked(request)
    trial = tried_costs(state.root, typed)
    if trial.costs is None:
        return _refused(request, state, trial, typed)
    shown = _shown(dossier, fit, trial.costs, configuration)
    return page(request, "pieces/cost_answer.html", state, faults={}, fields=list(typed), **shown)


@router.post("/d/{name}/cost/keep", response_class=HTMLResponse)
async def keep(request: Request, state: Standing) -> Response:
    """Write what is typed into the file; what cannot be kept stays typed, with the reason at its field."""
    async with request.form(max_fields=400) as form:
        typed = {key: value for key, value in form.items() if isinstance(value, str)}
    version, _ = typed.pop("version", ""), typed.pop("configuration", "")
    trial = tried_costs(state.root, typed)
    if trial.faults:
        return _refused(request, state, trial, typed, status=422)
    words = ", ".join(CALLED.get(place, place) for place in trial.changed) or "nothing"
    edit(state.root, trial.file, version, lambda _: trial.draft, f"assumed anew: {words}")
    return Response(status_code=204, headers={"HX-Refresh": "true"})


@router.post("/d/{name}/cost/new", response_class=HTMLResponse)
def new(state: Standing) -> Response:
    """Begin the file with the example that explains each key, without its kit; every figure is an example."""
    text = (resources.files("wringout.dossier") / "template" / "costs.toml").read_text(encoding="utf-8")
    add(state.root, part_file(state.root, "costs"), text.partition("\n[[exchange]]")[0].encode() + b"\n")
    return Response(status_code=204, headers={"HX-Refresh": "true"})


def _asked(request: Request) -> tuple[dict[str, str], str]:
    """The assumptions of an address by their places, and the configuration that is to stand first."""
    typed = dict(request.query_params)
    typed.pop("version", None)  # of the file, sent along by the form for the time when it is kept
    return typed, typed.pop("configuration", "")


def _fit(state: State) -> Fit | None:
    return None if state.dossier is None else RESULTS.of(state.dossier).kept.fit


def _refused(
    request: Request, state: State, trial: CostTrial, typed: Mapping[str, str], status: int = 200
) -> Response:
    faults = {place: problem for place, problem in trial.faults.items() if place}
    rest = [problem for place, problem in trial.faults.items() if not place]
    answer = page(
        request, "pieces/cost_faults.html", state, faults=faults, fields=list(typed), rest=rest, status=status
    )
    answer.headers["HX-Reswap"] = "none"
    return answer


def _shown(dossier: Dossier, fit: Fit, costs: Costs | None, configuration: str) -> dict[str, Any]:
    """Sentences, figures and tables of the costs, the chosen configuration first."""
    costing = _costing(dossier, fit, costs, configuration)
    first, units = costing.configurations[0], dossier.units
    return {
        "configurations": [item.configuration for item in _flown(dossier, fit)],
        "chosen": first.configuration,
        "answer": hour_sentence(first),
        "lead": " ".join(part for part in (year_sentence(first), carrying_sentence(first, units)) if part),
        "hangs_on": f"{hangs_on(first)}.",
        "tornado": _drawn(lambda: tornado_live(first)),
        "meetings": meeting_sentences(costing, units),
        "break_even": _drawn(lambda: break_even_live(costing, units)),
        "hour": hour_table(costing),
        "missions": mission_table(costing, units),
        "assumptions": assumption_table(first),
        "notes": dict.fromkeys(note for item in costing.configurations for note in item.notes),
        "caution": CAUTION,
    }


def _costing(dossier: Dossier, fit: Fit, costs: Costs | None, configuration: str) -> Costing:
    names = [item.configuration for item in _flown(dossier, fit)]
    if configuration in names:
        names.sort(key=lambda name: name != configuration)
    priced = COSTS.of(dossier, fit)
    return costs_of(dossier, fit, names[:4], costs=costs, answered=priced.answered, book=priced.book)


def _flown(dossier: Dossier, fit: Fit) -> Any:
    return candidates_of(dossier, fit)


def _drawn(draw: Any) -> Markup:
    try:
        return Markup(draw())
    except ValueError as error:  # no assumption is uncertain: nothing to draw
        return Markup('<p class="muted">{}.</p>').format(str(error).capitalize())


def _groups(state: State, file: str, typed: Mapping[str, str]) -> list[tuple[str, list[dict[str, Any]]]]:
    """The fields in groups, each with its text, its source and what it says of itself."""
    document = read_toml(file, read_file(state.root, file, LARGEST_TEXT))
    units = state.dossier.units if state.dossier else None
    assert units is not None
    form = filled(costs_form(), document, (), units)
    sources = {field.form.key: field.text for table in form.tables["source"] for field in table.fields}
    every = [*_plain(form, sources), *_inner(form)]
    groups = []
    for words, keys in GROUPS:
        fields = [item for key in keys for item in every if item["key"] == key]
        groups.append((words, [item | {"text": typed.get(item["place"], item["text"])} for item in fields]))
    return groups


def _plain(form: FilledTable, sources: Mapping[str, str]) -> Iterator[dict[str, Any]]:
    for field in form.fields:
        key = field.form.key
        words = CALLED.get(key, key.replace("_", " "))
        yield {
            "key": key,
            "place": key,
            "words": words,
            "text": field.text,
            "source": sources.get(key, ""),
            "hint": field.form.hint,
        }


def _inner(form: FilledTable) -> Iterator[dict[str, Any]]:
    """The loan's fields, and of each listed cost the figures with its name."""
    for key in ("loan", "fixed", "running", "reserve", "exchange"):
        for table in form.tables[key]:
            texts = {field.form.key: field.text for field in table.fields}
            called = texts.get("name") or texts.get("kit") or ""
            for field in table.fields:
                if field.form.kind in ("text", "names"):
                    continue
                place = ".".join(str(part) for part in field.path)
                words = CALLED.get(place) or _words(called, field.form.key)
                yield {
                    "key": key,
                    "place": place,
                    "words": words,
                    "text": field.text,
                    "source": texts.get("source", ""),
                    "hint": field.form.hint,
                }


def _words(called: str, key: str) -> str:
    return f"{called}{_AFTER.get(key, f', {key}')}"
