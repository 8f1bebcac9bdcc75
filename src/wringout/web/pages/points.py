"""Points: each kind of test point against its fitted line, with where it was flown and what was left out."""

from __future__ import annotations

from collections.abc import Callable
from contextlib import suppress
from functools import partial

from fastapi import APIRouter, Request
from fastapi.responses import HTMLResponse, Response

from wringout.charts import PAGE, PAGE_DARK, Look
from wringout.charts.camera import camera_figure
from wringout.charts.figure import Spec
from wringout.charts.touchdowns import touchdown_sentence
from wringout.evaluation.keys import flown_cards
from wringout.evaluation.point_rows import KINDS, Kind, point_rows
from wringout.model.fit import Fit
from wringout.model.touchdowns import touchdown_spreads
from wringout.reduction.points import Points
from wringout.report.appendix import CAUTIONS
from wringout.report.blocks import Block
from wringout.report.point_figures import point_figures
from wringout.report.runs import runs_table
from wringout.report.words import capital, counted, listed
from wringout.web.access import Bench, Standing
from wringout.web.charts import Chart, chart
from wringout.web.kept_results import RESULTS, Results
from wringout.web.point_words import (
    camera_table,
    outlier_rows,
    point_table,
    position_error_table,
    title_of,
)
from wringout.web.rendering import page
from wringout.web.stale import stale

router = APIRouter(default_response_class=HTMLResponse)

LEFT_OUT = "left out"
_LOOKS = (PAGE, PAGE_DARK)
_NAMES = {
    "level": "Level flight",
    "climb": "Climbs",
    "glide": "Glides",
    "stall": "Stalls",
    "take-off": "Take-offs",
    "landing": "Landings",
    "position error": "Position error",
    "cameras": "Cameras",
    LEFT_OUT: "Left out",
}
_TITLES: dict[str, str] = {
    **{str(kind): title_of(kind) for kind in KINDS},
    "position error": "Position error of the airspeed system",
    "cameras": "Cameras beside the strip",
    LEFT_OUT: "",
}
# Which figures stand over the table of a kind.
_FIGURES: dict[str, tuple[str, ...]] = {
    "level": ("speed and power",),
    "climb": ("climb and speed", "climb and altitude"),
    "glide": ("glide",),
    "stall": ("stall",),
    "take-off": ("take-off ground roll", "take-off distance"),
    "landing": ("landing ground roll", "landing distance", "touchdowns"),
    "position error": ("position error",),
}


@router.get("/d/{name}/points", response_class=HTMLResponse)
def points(request: Request, bench: Bench, state: Standing, kind: str = "") -> Response:
    """The points of one kind, the first that was flown where none is chosen."""
    dossier = state.dossier
    results = None if dossier is None else RESULTS.of(dossier)
    if dossier is None or results is None or results.kept.points is None or results.kept.fit is None:
        return stale(request, bench, state, "points", "The points")
    made, fit, units = results.kept.points, results.kept.fit, dossier.units
    rows = point_rows(made, fit)
    tables: dict[str, Callable[[], Block]] = {
        key: partial(point_table, key, rows[key], units) for key in KINDS if rows[key]
    }
    if any(curve.points for curve in made.position_error):
        tables["position error"] = partial(position_error_table, made.position_error, units)
    if made.cameras:
        tables["cameras"] = partial(camera_table, made.cameras, units)
    chosen = kind if kind in tables or kind == LEFT_OUT else next(iter(tables), LEFT_OUT)
    flown = {card.name for card in flown_cards(dossier)}
    return page(
        request,
        "pages/points.html",
        state,
        part="points",
        sentence=_sentence({key: len(rows[key]) for key in KINDS}, fit),
        kinds=[(key, _NAMES[key]) for key in (*tables, LEFT_OUT)],
        chosen=chosen,
        title=_TITLES[chosen],
        charts=_charts(chosen, results, made, fit),
        runs=_runs(chosen, results, made, fit),
        touchdowns=[touchdown_sentence(one, units) for one in touchdown_spreads(made)]
        if chosen == "landing"
        else [],
        table=tables[chosen]() if chosen in tables else None,
        odd=outlier_rows(fit.residuals),
        left_out=[
            {"card": item.card, "point": item.point, "why": item.reason, "flown": item.card in flown}
            for item in made.left_out
        ],
        caution=CAUTIONS[1],
    )


_MANY: dict[Kind, tuple[str, str]] = {
    "level": ("speed in level flight", "speeds in level flight"),
    "climb": ("climb", "climbs"),
    "glide": ("glide", "glides"),
    "stall": ("stall", "stalls"),
    "take-off": ("take-off", "take-offs"),
    "landing": ("landing", "landings"),
}


def _sentence(count: dict[Kind, int], fit: Fit) -> str:
    """How many points of which kind there are, and whether any is out of line."""
    parts = [counted(number, *_MANY[kind]) for kind, number in count.items() if number]
    if not parts:
        return "No point is reduced yet: no card names a recording that shows one."
    odd = len({one.origin for one in fit.residuals if one.outlier})
    line = (
        "none is out of line"
        if odd == 0
        else f"{counted(odd, 'point')} {'is' if odd == 1 else 'are'} out of line"
    )
    return f"{capital(listed(parts))} are reduced; {line}."


def _charts(kind: str, results: Results, made: Points, fit: Fit) -> list[Chart]:
    """The figures of a kind that can be drawn, in both palettes."""
    if kind == LEFT_OUT:
        return []
    by_look: dict[Look, dict[str, Callable[[], Spec]]]
    if kind == "cameras":
        by_look = {look: {"cameras": partial(camera_figure, made.cameras, look=look)} for look in _LOOKS}
    else:
        lines = results.curves(made, fit)
        by_look = {
            look: {
                key: draw
                for key, draw in point_figures(results.dossier, made, fit, lines, look=look, half=look)
                if _is_of(key, _FIGURES[kind])
            }
            for look in _LOOKS
        }
    drawn = []
    for key in by_look[PAGE]:

        def draw(look: Look, key: str = key) -> Spec:
            return by_look[look][key]()

        with suppress(ValueError):  # nothing finite to draw; the table still says what was measured
            drawn.append(chart(key.replace(" ", "-"), draw))
    return drawn


def _runs(kind: str, results: Results, made: Points, fit: Fit) -> Block | None:
    """What the airplane did and what pilots get, of take-offs or landings."""
    if kind not in ("take-off", "landing"):
        return None
    mine = [one for one in results.runs(made, fit) if one.question.quantity.startswith(kind)]
    return runs_table(mine, results.dossier.units) if mine else None


def _is_of(key: str, names: tuple[str, ...]) -> bool:
    """Whether a figure is one of those named, or goes on with one ('stall 2')."""
    return any(key == name or key.removeprefix(f"{name} ").isdigit() for name in names)
