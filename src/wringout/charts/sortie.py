"""A sortie: how the standard deviation of an answer falls over its minutes, point by point."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from wringout.charts.direct import direct_svg
from wringout.charts.figure import margins_for
from wringout.charts.grammar import (
    Frame,
    Layer,
    Layers,
    hatching,
    polyline,
    rows,
    segments,
    text_layer,
)
from wringout.charts.scales import FloatArray, Scale, round_step, round_ticks
from wringout.charts.theme import IN_PAGE, Look


def sortie_drawing(
    minutes: Sequence[float],
    spreads: Sequence[float],
    lasting: float,
    *,
    longest: float,
    unit: str,
    words: tuple[str, str, str],
    alt: str,
    look: Look = IN_PAGE,
) -> str:
    """A stair as SVG: each point takes its minutes, and what it told takes the answer's spread down.

    Parameters
    ----------
    minutes : sequence of float, length n
        Of each point. [min]
    spreads : sequence of float, length n + 1
        Standard deviation of the answer before the first point and after each, in `unit`.
    lasting : float
        What no point takes away, in `unit`.
    longest : float
        The time there is. [min]
    unit : str
    words : (first, last, lasting)
        What stands at the first and at the last step, and at what no point takes away.
    alt : str
        What the figure shows, in words.
    look : Look
        Medium and palette.
    """
    high = _round_up(max(spreads))
    frame = Frame(
        Scale(
            "flight time of its points",
            "min",
            0.0,
            longest,
            round_ticks(0.0, longest, 6),
            look.width - look.small * 7.2,
        ),
        Scale("standard deviation", unit, 0.0, high, round_ticks(0.0, high, 4), look.width * 0.42),
        look,
    )
    ink, lake, rust = look.palette.ink, look.palette.series[0], look.palette.rust
    at = np.concatenate([[0.0], np.cumsum(minutes)])
    layers: Layers = []
    if lasting > 0.0:
        ends, floor = np.array([0.0, longest]), np.array([lasting, lasting])
        layers += [
            segments(hatching(frame, ends, floor, "right"), look.palette.muted, look.hairline),
            segments([(0.0, lasting, longest, lasting)], ink, look.line),
        ]
        below = frame.moved(0.0, lasting, right=look.body * 0.5, up=-look.body * 1.4)
        layers.append(text_layer(*below, words[2], look.palette.muted, look.small))
    stair = [(0.0, spreads[0])]
    for before, after, start, end in zip(spreads, spreads[1:], at, at[1:], strict=False):
        stair += [(float(start), before), (float(end), before), (float(end), after)]
    stair.append((longest, spreads[-1]))
    layers.append(
        polyline(
            [x for x, _ in stair],
            [y for _, y in stair],
            {"stroke": lake.mark, "strokeWidth": look.line, "strokeJoin": "miter"},
        )
    )
    layers.append(_dots(at[1:], spreads[1:], lake.mark, look))
    lift = look.body * 0.95
    for number, (x, y) in enumerate(zip(at[1:], spreads[1:], strict=True), start=1):
        place = frame.moved(float(x), y, right=look.body * 0.55, up=lift * 0.6)
        layers.append(text_layer(*place, str(number), lake.text, look.small))
    first = frame.moved(0.0, spreads[0], right=look.body * 0.5, up=lift)
    layers.append(text_layer(*first, words[0], ink, look.body))
    if len(spreads) > 1:
        last = frame.moved(longest, spreads[-1], right=-look.body * 0.4, up=-lift)
        layers.append(text_layer(*last, words[1], rust, look.body * 1.15, align="right"))
    return direct_svg(frame, layers, alt=alt, margins=margins_for(look, frame), name="sortie")


def _round_up(value: float) -> float:
    """The next round number at which an axis may end, with a little room above the value."""
    step = round_step(0.0, value * 1.1, 4)
    return float(np.ceil(value * 1.1 / step)) * step


def _dots(x: Sequence[float] | FloatArray, y: Sequence[float], colour: str, look: Look) -> Layer:
    mark = {"type": "point", "fill": colour, "stroke": look.palette.paper, "size": look.dot**2}
    return {"data": {"values": rows(x=x, y=y)}, "mark": mark}
