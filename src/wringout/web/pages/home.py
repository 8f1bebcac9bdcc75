"""A dossier's first page: the answer, what is wrong, how the stages stand, what it is about."""

from __future__ import annotations

from functools import partial

from fastapi import APIRouter, Request
from fastapi.responses import HTMLResponse, Response

from wringout.charts.airplane import airplane_drawing
from wringout.charts.field import field_figure
from wringout.charts.lines import named
from wringout.charts.theme import Look
from wringout.dossier.editing import value_at
from wringout.dossier.files import read_file
from wringout.dossier.history import steps
from wringout.dossier.shelf import HEAD, text_files
from wringout.dossier.toml import LARGEST_TEXT
from wringout.evaluation import Evaluation, Headline
from wringout.problems import InputError
from wringout.quantity import show
from wringout.report.blocks import digits_of, interval
from wringout.report.words import airplane_words
from wringout.web.access import Bench, Standing
from wringout.web.charts import Chart, chart, drawing, numbers
from wringout.web.rendering import page
from wringout.web.state import State

router = APIRouter(default_response_class=HTMLResponse)
TAKEOFF = "take-off distance against elevation"
FACTS = (
    ("title", "Title", "text"),
    ("evaluator", "Evaluator", "text"),
    ("place", "Place", "text"),
    ("day", "First day", "day"),
)


@router.get("/d/{name}/", response_class=HTMLResponse)
def home(request: Request, bench: Bench, state: Standing) -> Response:
    """The dossier at a glance."""
    evaluation = bench.states.evaluation(state)
    return page(
        request,
        "pages/home.html",
        state,
        evaluation=evaluation,
        headlines=[] if evaluation is None else [_headline(item) for item in evaluation.headlines],
        takeoff=None if evaluation is None else _takeoff(evaluation),
        airplane=_airplane(state),
        job=bench.jobs.of(state.root),
        facts=_facts(state),
        steps=steps(state.root, HEAD),
        file=HEAD,
        texts=text_files(state.root),
        words=stage_words,
    )


def stage_words(stage: str) -> str:
    """What a stage does, as its row in the list says."""
    if stage.startswith("flight "):
        return f"{stage.removeprefix('flight ')}: recordings read, manoeuvres found"
    return {
        "points": "manoeuvres reduced to test points",
        "fit": "performance model fitted",
        "claims": "claims judged",
        "answers": "missions and questions answered",
        "exchanges": "exchanges of gear held against one another",
        "demo": "flights of the demo flown",
    }.get(stage, stage)


def _headline(item: Headline) -> dict[str, str]:
    digits = digits_of(item.low, item.high, item.unit, item.dimension)
    return {
        "label": item.label,
        "value": show(item.value, item.unit, digits=digits).removesuffix(item.unit).strip(),
        "unit": item.unit,
        "interval": interval(item.low, item.high, item.unit, digits),
        "condition": item.condition,
    }


def _airplane(state: State) -> Chart | None:
    """The airplane to scale, where its description gives enough to draw it."""
    if state.dossier is None:
        return None
    airplane, units = state.dossier.airplane, state.dossier.units
    draw = partial(airplane_drawing, airplane, airplane.configurations[0].name, units)

    def drawn(look: Look) -> str:
        return draw(look=look)

    try:
        return drawing("airplane", f"{airplane_words(airplane)}, to scale", drawn)
    except ValueError:
        return None


def _takeoff(evaluation: Evaluation) -> Chart | None:
    """Take-off over 15 m against density altitude, with its line's numbers."""
    dossier, lines = evaluation.dossier, named(evaluation.curves, TAKEOFF)[:4]
    if not lines:
        return None
    units = dossier.units

    def drawn(look: Look) -> dict[str, object]:
        return field_figure(
            "take-off distance",
            lines,
            evaluation.points.takeoffs,
            evaluation.fit.residuals,
            claims=dossier.claims,
            units=units,
            look=look,
        )

    def bare(value: float, unit: str) -> str:
        return show(value, unit, digits=0).removesuffix(unit).strip()

    rows = [
        (
            line.configuration,
            line.condition,
            bare(x, units.height),
            *(bare(value, units.distance) for value in each),
        )
        for line in lines
        for x, *each in zip(line.x, line.median, line.low, line.high, strict=True)
    ]
    return chart(
        "take-off",
        drawn,
        numbers(
            (
                "configuration",
                "condition",
                f"density altitude, {units.height}",
                f"median, {units.distance}",
                f"5 % below, {units.distance}",
                f"95 % below, {units.distance}",
            ),
            rows,
            words=2,
        ),
    )


def _facts(state: State) -> list[dict[str, object]]:
    """What dossier.toml says of itself, to be edited; nothing where the file does not read."""
    try:
        data = read_file(state.root, HEAD, LARGEST_TEXT)
        return [
            {"path": [key], "label": label, "kind": kind, "value": value_at(HEAD, data, (key,)) or ""}
            for key, label, kind in FACTS
        ]
    except InputError:
        return []
