"""The loading figure: the flight as a path of mass and CG from the ramp to zero fuel, in its envelope."""

from __future__ import annotations

from typing import Literal

import numpy as np

from wringout.charts.direct import direct_svg
from wringout.charts.figure import Spec, figure, margins_for
from wringout.charts.grammar import (
    Frame,
    Label,
    Layers,
    dimension_line,
    labels,
    limit,
    polyline,
    rows,
    segments,
)
from wringout.charts.scales import FloatArray, scale
from wringout.charts.theme import IN_PAGE, PAGE, Look
from wringout.dossier.dossier import Units
from wringout.loading.loading_report import LoadingReport, LoadingState
from wringout.quantity.dimensions import Dimension
from wringout.quantity.showing import arm_digits, show


def loading_figure(
    report: LoadingReport, units: Units, *, title: str | None = None, look: Look = PAGE
) -> Spec:
    """CG across, mass up; the envelope hatched outside, the margin to its nearest edge dimensioned.

    Parameters
    ----------
    report : LoadingReport
        The loading as tested.
    units : Units
        Display units.
    title : str, optional
        Instead of the report's own sentence.
    look : Look
        Medium and palette.
    """
    frame = loading_frame(report, units, look)
    return figure(
        frame,
        loading_layers(frame, report, units),
        title=title or report.sentence(units.mass, units.arm),
        alt=_alt(report, units),
        margins=margins_for(look, frame),
    )


def loading_drawing(report: LoadingReport, units: Units, *, look: Look = IN_PAGE) -> str:
    """The same figure without its title, straight to SVG for a page on which the loading is moved.

    Its axes hold the envelope with room about it and give way only to a loading that lies beyond, so that
    the ground stands still under the path.
    """
    frame = loading_frame(report, units, look, apart=0.22)
    return direct_svg(
        frame,
        loading_layers(frame, report, units),
        alt=_alt(report, units),
        margins=margins_for(look, frame),
        name="loading-figure",
    )


def loading_frame(report: LoadingReport, units: Units, look: Look, apart: float = 0.0) -> Frame:
    """Axes that hold the envelope and the loading; `apart` widens the envelope by parts of its own size."""
    corners = np.array(report.envelope.vertices)
    low, high = corners.min(axis=0), corners.max(axis=0)
    around = np.array([low, high]) + apart * np.outer([-1.0, 1.0], high - low)
    arms = np.concatenate([around[:, 0], report.path.cg, [state.cg.value for state in report.states]])
    masses = np.concatenate([around[:, 1], report.path.mass, [state.mass.value for state in report.states]])
    return Frame(
        scale("CG aft of datum", units.arm, [arms], look.width - look.small * 8, room=0.08, tight=True),
        scale("mass", units.mass, [masses], look.width * 0.36, room=0.08, tight=True),
        look,
    )


def loading_layers(frame: Frame, report: LoadingReport, units: Units) -> Layers:
    """All that stands in the figure."""
    corners = np.array(report.envelope.vertices)
    layers = limit(frame, corners[:, 0], corners[:, 1], forbidden=_outside(corners), closed=True)
    layers += _path(frame, report)
    layers += _states(frame, report, units)
    return layers + _margins(frame, report, units)


def _outside(corners: FloatArray) -> Literal["left", "right"]:
    """The forbidden side as one walks round the polygon: the right where it runs anticlockwise."""
    x, y = corners[:, 0], corners[:, 1]
    turn = float(np.sum(x * np.roll(y, -1) - np.roll(x, -1) * y))
    return "right" if turn > 0 else "left"


def _colour(look: Look, report: LoadingReport) -> str:
    return look.palette.series[0].mark if report.within else look.palette.rust


def _path(frame: Frame, report: LoadingReport) -> Layers:
    """The path, solid from ramp to landing, dashed for the fuel that stays aboard, a tick at each bend."""
    look, path = frame.look, report.path
    colour = _colour(look, report)
    x, y = frame.x.shown(path.cg), frame.y.shown(path.mass)
    landing = next((state.fuel for state in report.states if state.name == "landing"), -1.0)
    line = {"stroke": colour, "strokeWidth": look.line * 1.4}
    burnt, kept = path.fuel >= landing - 1e-9, path.fuel <= landing + 1e-9
    layers: Layers = []
    dashed = {"strokeDash": [look.line * 2.4, look.line * 2.4]}
    for chosen, dash in ((burnt, {}), (kept, dashed)):
        if chosen.sum() > 1:
            layers.append(polyline(x[chosen], y[chosen], {**line, **dash}))
    ticks = _bends(frame.x.along(x), frame.y.along(y))
    reach = look.small * 0.45
    strokes = [
        (
            *frame.moved(float(x[k]), float(y[k]), right=-reach),
            *frame.moved(float(x[k]), float(y[k]), right=reach),
        )
        for k in ticks
    ]
    return [*layers, segments(strokes, colour, look.hairline * 1.5)] if strokes else layers


def _bends(
    px: FloatArray,
    py: FloatArray,
) -> list[int]:
    """Where the path turns by more than two degrees: the fuel now comes from another tank."""
    heading = np.unwrap(np.arctan2(np.diff(py), np.diff(px)))
    return [int(k) + 1 for k in np.flatnonzero(np.abs(np.diff(heading)) > np.radians(2.0))]


def _states(frame: Frame, report: LoadingReport, units: Units) -> Layers:
    look = frame.look
    colour = _colour(look, report)
    shown = [state for state in report.states if not _same_as_earlier(state, report)]
    layers: Layers = []
    for state in shown:
        fill = look.palette.rust if not state.inside else colour
        data = rows(x=frame.x.shown([state.cg.value]), y=frame.y.shown([state.mass.value]))
        mark = {
            "type": "point",
            "filled": True,
            "fill": fill,
            "size": (look.dot * 1.2) ** 2,
            "stroke": look.palette.paper,
        }
        layers.append({"data": {"values": data}, "mark": mark})
    aft = _aft_is_nearer(report)
    beyond = float(np.min(report.path.aft if aft else report.path.forward)) < 0.0
    # Away from the edge that is dimensioned, so that no number stands on another.
    side: Literal["left", "right"] = "left" if aft != beyond else "right"
    return layers + labels(
        frame,
        [
            Label(
                state.cg.value,
                state.mass.value,
                f"{state.name} {show(state.mass.value, units.mass, digits=0)}",
                look.palette.ink if state.inside else look.palette.rust,
                side,
            )
            for state in shown
        ],
        size=look.body,
    )


def _same_as_earlier(state: LoadingState, report: LoadingReport) -> bool:
    """A take-off with no taxi fuel is the ramp again: one dot, one label."""
    earlier = report.states[: report.states.index(state)]
    return any(abs(other.mass.value - state.mass.value) < 0.5 for other in earlier)


def _aft_is_nearer(report: LoadingReport) -> bool:
    return float(np.min(report.path.aft)) <= float(np.min(report.path.forward))


def _margins(frame: Frame, report: LoadingReport, units: Units) -> Layers:
    """The least CG margin on the path as a dimension line to its edge; the mass margin where mass binds."""
    look, path = frame.look, report.path
    aft = _aft_is_nearer(report)
    margin = path.aft if aft else path.forward
    worst = int(np.argmin(margin))
    cg, mass, left = float(path.cg[worst]), float(path.mass[worst]), float(margin[worst])
    colour = look.palette.rust if left < 0 else look.palette.ink
    edge = cg + left if aft else cg - left
    layers = dimension_line(
        frame,
        (cg, mass),
        (edge, mass),
        show(left, units.arm, digits=arm_digits(units.arm)),
        colour,
        beside="below",
    )
    if report.binding.dimension is not Dimension.MASS:
        return layers
    for state in report.states:
        if state.mass_margin == report.binding.margin:
            arm = state.cg.value
            colour = look.palette.rust if state.mass_margin < 0 else look.palette.ink
            words = show(state.mass_margin, units.mass, digits=0)
            layers += dimension_line(
                frame, (arm, state.mass.value), (arm, state.maximum_mass), words, colour, beside="beyond"
            )
            break
    return layers


def _alt(report: LoadingReport, units: Units) -> str:
    digits = arm_digits(units.arm)
    states = "; ".join(
        f"{state.name} {show(state.mass.value, units.mass, digits=0)} "
        f"at {show(state.cg.value, units.arm, digits=digits)}, "
        f"{show(min(state.forward, state.aft), units.arm, digits=digits)} from the nearest CG limit"
        for state in report.states
    )
    return (
        f"Loading figure, centre of gravity across and mass up, in the envelope '{report.envelope.name}' "
        f"({report.configuration}). {states}. {report.sentence(units.mass, units.arm)}"
    )
