"""The answer to a question against one of its conditions, with the condition asked for marked on it."""

from __future__ import annotations

from typing import Literal

import numpy as np

from wringout.charts.direct import direct_svg
from wringout.charts.figure import margins_for
from wringout.charts.grammar import Frame, Label, Layer, Layers, band, fitted, labels, rows, segments
from wringout.charts.lines import Line
from wringout.charts.scales import FloatArray, scale
from wringout.charts.theme import IN_PAGE, Look
from wringout.quantity.dimensions import Dimension
from wringout.quantity.units import to_si

_RUNAWAY = 4.0  # times the answer; a line may go beyond it, off the sheet
_BETWEEN = 49  # places between the nodes, so that the line bends as its answers do


def inquiry_drawing(
    line: Line,
    here: tuple[float, float, float, float] | None,
    *,
    across: tuple[str, str],
    up: tuple[str, str],
    words: str,
    alt: str,
    look: Look = IN_PAGE,
) -> str:
    """A line with its band, and on it a dot with its bar where the question stands, as SVG for a page.

    Parameters
    ----------
    line : Line
        The answer along the condition.
    here : tuple of float or None
        The condition asked for, and low, median and high of the answer there [SI]; None where nothing along
        the line was asked for, or it cannot be done there.
    across, up : (title, unit)
        The axes.
    words : str
        The answer beside the dot.
    alt : str
        What the figure shows, in words.
    look : Look
        Medium and palette.

    Raises
    ------
    ValueError
        Nothing along the line can be done.
    """
    x, low, median, high = _smooth(line)
    most = _most(median, here)
    seen = [np.minimum(part, most) for part in (low, median, high, np.array(here[1:] if here else []))]
    frame = Frame(
        scale(*across, [line.x], look.width - look.small * 7.2, room=0.0, tight=True),
        scale(*up, seen, look.width * 0.5, from_zero=line.y_dimension is Dimension.LENGTH),
        look,
    )
    colour = look.palette.series[0]
    can = np.isfinite(median) & (median <= most)
    top = float(frame.y.at(frame.y.extent))
    roof = float(to_si(top, frame.y.unit)) if frame.y.unit else top
    layers: Layers = []
    if np.count_nonzero(can) > 1:
        # Where the worst that the flights allow is that it cannot be done, the band goes on past the edge.
        upper = np.minimum(np.where(np.isfinite(high), high, roof), roof)[can]
        lower = np.where(np.isfinite(low), low, 0.0)[can]
        layers += band(frame, x[can], lower, upper, colour.mark)
        layers += fitted(frame, x[can], median[can], colour.mark, flown=line.flown)
    if here is not None:
        layers += _here(frame, here, words, roof)
    return direct_svg(frame, layers, alt=alt, margins=margins_for(look, frame), name="inquiry")


def _most(median: FloatArray, here: tuple[float, float, float, float] | None) -> float:
    """The highest value that is drawn: where a line runs away, its useful part is not pressed flat for it."""
    known = median[np.isfinite(median)]
    if here is None and not known.size:
        return np.inf
    about = float(np.median(known)) if here is None else here[2]
    return max(_RUNAWAY * about, 0.0 if here is None or not np.isfinite(here[3]) else 1.2 * here[3])


def _here(frame: Frame, here: tuple[float, float, float, float], words: str, roof: float) -> Layers:
    """The one place asked for, in the accent: what is selected."""
    look, rust = frame.look, frame.look.palette.rust
    at, low, median, high = here
    x = float(frame.x.shown(at))
    ends = [float(frame.y.shown(min(end, roof) if np.isfinite(end) else roof)) for end in (low, high)]
    dot: Layer = {
        "data": {"values": rows(x=[x], y=[float(frame.y.shown(median))])},
        "mark": {"type": "point", "fill": rust, "stroke": look.palette.paper, "size": (look.dot * 1.3) ** 2},
    }
    foot = segments([(x, frame.y.low, x, ends[0])], look.palette.muted, look.hairline)
    bar = segments([(x, ends[0], x, ends[1])], rust, look.hairline * 2.5)
    share = float(frame.x.along(x)) / frame.x.extent
    align: Literal["left", "center", "right"] = (
        "left" if share < 0.1 else "right" if share > 0.9 else "center"
    )
    label = Label(at, high if high < roof else median, words, rust, "above", align)
    return [foot, bar, dot, *labels(frame, [label], size=look.body * 1.15)]


def _smooth(line: Line) -> tuple[FloatArray, FloatArray, FloatArray, FloatArray]:
    """x, low, median and high between the nodes by monotone cubics; beside what is not finite nothing is."""
    from scipy.interpolate import PchipInterpolator

    x = np.union1d(np.linspace(line.x[0], line.x[-1], _BETWEEN), line.x)

    def through(values: FloatArray) -> FloatArray:
        good = np.isfinite(values)
        if np.count_nonzero(good) < 2:
            return np.full(x.shape, np.nan)
        bent = PchipInterpolator(line.x[good], values[good], extrapolate=False)(x)
        known = np.isfinite(np.interp(x, line.x, np.where(good, 0.0, np.nan)))
        return np.where(known, bent, np.nan)

    return x, through(line.low), through(line.median), through(line.high)
