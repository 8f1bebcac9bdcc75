"""The path over the ground, to scale, on blank paper."""

from __future__ import annotations

from collections.abc import Sequence
from math import floor, log10

import numpy as np

from wringout.charts.figure import Margins, Spec, figure
from wringout.charts.flight import KIND_COLOURS, MOST_SAMPLES
from wringout.charts.grammar import Frame, Layers, polyline, segments, text_layer
from wringout.charts.scales import Scale
from wringout.charts.theme import PAGE, Look
from wringout.dossier.dossier import Units
from wringout.manoeuvres.manoeuvre import Manoeuvre
from wringout.quantity.showing import show
from wringout.quantity.units import to_si
from wringout.recordings.recording import Track


def track_figure(
    track: Track, manoeuvres: Sequence[Manoeuvre], units: Units, *, title: str, look: Look = PAGE
) -> Spec:
    """The track with its manoeuvres drawn thicker, a scale bar and a north tick; east and north at one scale.

    Parameters
    ----------
    track : Track
        Smoothed path.
    manoeuvres : sequence of Manoeuvre
        Drawn in the colour of their kind and named once each kind.
    units : Units
        Display units; the bar is in the unit of ranges.
    title : str
        The finding in a sentence.
    look : Look
        Medium and palette.
    """
    edge = look.small * 1.2
    width = look.width - 2 * edge
    east, north = (track.east.min(), track.east.max()), (track.north.min(), track.north.max())
    # A track that is taller than wide keeps its scale and leaves the paper beside it blank.
    metre = width / max(east[1] - east[0], (north[1] - north[0]) / 0.42, 500.0)
    height = max((north[1] - north[0]) * metre, width * 0.3)
    frame = Frame(
        Scale("", "", *_about(east, width / metre), (), width),
        Scale("", "", *_about(north, height / metre), (), height),
        look,
    )
    layers = _path(track, None, look.palette.muted, look.line * 0.5)
    for item in sorted(manoeuvres, key=lambda item: item.start):
        colour = look.palette.series[KIND_COLOURS[item.kind]].mark
        layers += _path(track, item, colour, look.line * 1.5)
    layers += _names(frame, track, manoeuvres)
    layers += _bar(frame, units)
    layers += _north(frame)
    margins = Margins(left=edge, right=edge, bottom=look.small * 2.6, top=look.small * 1.6)
    return figure(frame, layers, title=title, alt=_alt(track, manoeuvres, units), margins=margins)


def _about(ends: tuple[float, float], length: float) -> tuple[float, float]:
    middle = (ends[0] + ends[1]) / 2
    return float(middle - length / 2), float(middle + length / 2)


def _path(track: Track, span: Manoeuvre | None, colour: str, width: float) -> Layers:
    inside = (
        np.ones(len(track.time), bool)
        if span is None
        else (track.time >= span.start) & (track.time <= span.end)
    )
    chosen = np.flatnonzero(inside)
    if chosen.size < 2:
        return []
    step = max(1, chosen.size // (MOST_SAMPLES * 2 if span is None else 60))
    chosen = np.append(chosen[:-1:step], chosen[-1])
    return [polyline(track.east[chosen], track.north[chosen], {"stroke": colour, "strokeWidth": width})]


def _names(frame: Frame, track: Track, manoeuvres: Sequence[Manoeuvre]) -> Layers:
    """One of each kind carries the name, beside the middle of its path, clear of names already there."""
    look = frame.look
    taken: list[tuple[float, float]] = []
    layers: Layers = []
    for kind in dict.fromkeys(item.kind for item in manoeuvres):
        best = None
        for item in (item for item in manoeuvres if item.kind == kind):
            middle = int(np.searchsorted(track.time, (item.start + item.end) / 2))
            middle = min(middle, len(track.time) - 1)
            at = float(frame.x.along(track.east[middle])), float(frame.y.along(track.north[middle]))
            clear = min((max(abs(at[0] - x) / 4, abs(at[1] - y)) for x, y in taken), default=np.inf)
            if best is None or clear > best[0] * 1.2:
                best = clear, at
        if best is None:
            continue
        at = best[1]
        taken.append(at)
        colour = look.palette.series[KIND_COLOURS[kind]].text
        right = at[0] < frame.x.extent * 0.8
        place = float(frame.x.at(at[0] + (5 if right else -5))), float(frame.y.at(at[1] + look.small * 0.7))
        for halo in (True, False):
            layers.append(
                text_layer(
                    *place,
                    kind,
                    look.palette.paper if halo else colour,
                    look.small,
                    align="left" if right else "right",
                    halo=halo,
                )
            )
    return layers


def _bar(frame: Frame, units: Units) -> Layers:
    """A scale bar of a round length, about a quarter of the width, under the paper's lower left corner."""
    look = frame.look
    unit = units.range
    whole = (frame.x.high - frame.x.low) / to_si(1.0, unit)
    power = 10.0 ** floor(log10(whole / 3))
    length = next(k * power for k in (5.0, 2.0, 1.0) if k * power <= whole / 3)
    reach = to_si(length, unit)
    x0, y0 = frame.x.low, float(frame.y.at(-look.small * 1.2))
    tick = look.small * 0.35
    y1 = float(frame.y.at(-look.small * 1.2 + tick))
    strokes = [
        (x0, y0, x0 + reach, y0),
        (x0, y0, x0, y1),
        (x0 + reach, y0, x0 + reach, y1),
        (x0 + reach / 2, y0, x0 + reach / 2, y1),
    ]
    other = "nm" if unit == "km" else "km"
    words = f"{length:g} {unit}  ({show(reach, other, digits=1)})"
    at = frame.moved(x0 + reach, y0, right=look.small * 0.6, up=tick / 2)
    return [
        segments(strokes, look.palette.ink, look.hairline * 1.8),
        text_layer(*at, words, look.palette.ink, look.small),
    ]


def _north(frame: Frame) -> Layers:
    look = frame.look
    x, foot = frame.x.extent - look.small, -look.small * 1.6
    tip = foot + look.small * 2.4
    points = [(x, foot, x, tip), (x, tip, x - look.small * 0.3, tip - look.small * 0.7)]
    strokes = [
        (float(frame.x.at(a)), float(frame.y.at(b)), float(frame.x.at(c)), float(frame.y.at(d)))
        for a, b, c, d in points
    ]
    at = float(frame.x.at(x)), float(frame.y.at(tip + look.small * 0.7))
    return [
        segments(strokes, look.palette.ink, look.hairline * 1.8),
        text_layer(*at, "N", look.palette.ink, look.small, align="center"),
    ]


def _alt(track: Track, manoeuvres: Sequence[Manoeuvre], units: Units) -> str:
    across = show(float(np.ptp(track.east)), units.range)
    up = show(float(np.ptp(track.north)), units.range)
    kinds = ", ".join(dict.fromkeys(item.kind for item in manoeuvres)) or "no manoeuvre"
    return (
        f"Track over the ground to scale, {across} from west to east and {up} from south to north; "
        f"marked: {kinds}."
    )
