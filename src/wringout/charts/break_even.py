"""Cost against what is flown in a year, or how much more one costs than another, and where that turns."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from wringout.charts.direct import direct_svg
from wringout.charts.figure import Margins, Spec, figure
from wringout.charts.grammar import Frame, Label, Layers, band, fitted, labels, segments, series_of
from wringout.charts.scales import FloatArray, scale
from wringout.charts.theme import IN_PAGE, PAGE, Look
from wringout.ownership import CostLine

HOUR = 3600.0


def break_even_figure(
    lines: Sequence[CostLine],
    unit: str,
    factor: float,
    *,
    title: str,
    assumed: float,
    meets: Sequence[float | None] = (),
    look: Look = PAGE,
) -> Spec:
    """Cost, or what one costs more than another, against hours flown in a year, with the 90 % band of each.

    Parameters
    ----------
    lines : sequence of CostLine
        At most four.
    unit : str
        What the upright axis shows, 'EUR/h' say.
    factor : float
        From the line's unit to it: 3600 for an hour.
    title : str
        The answer.
    assumed : float
        Flown in a year as assumed [s]: a thin upright.
    meets : sequence of float
        Where each line crosses zero [s]; None where it does not.
    look : Look
        Medium and palette.
    """
    frame, layers, alt, margins = _made(lines, unit, factor, assumed, meets, look)
    alt = f"{alt} {title}."
    return figure(frame, layers, title=title, alt=alt, margins=margins)


def break_even_drawing(
    lines: Sequence[CostLine], unit: str, factor: float, *, assumed: float, meets: Sequence[float | None] = ()
) -> str:
    """The same as SVG in the page's own colours, for one that follows what is typed; arguments as there."""
    frame, layers, alt, margins = _made(lines, unit, factor, assumed, meets, IN_PAGE)
    return direct_svg(frame, layers, alt=alt, margins=margins, name="break-even")


def _made(  # noqa: PLR0917 - what both ways of drawing are given
    lines: Sequence[CostLine],
    unit: str,
    factor: float,
    assumed: float,
    meets: Sequence[float | None],
    look: Look,
) -> tuple[Frame, Layers, str, Margins]:
    room, small = look.small * 8.0, look.small
    width, height = look.width - room - small * 4.2, look.width * 0.44
    across = scale("hours a year", "", [line.flown / HOUR for line in lines], width, tight=True, room=0.0)
    # The steep rise below a few dozen hours would press all else to the foot.
    seen = [line.flown >= np.quantile(line.flown, 0.08) for line in lines]
    ends = [
        part[inside] * factor
        for line, inside in zip(lines, seen, strict=True)
        for part in (line.low, line.high)
    ]
    up = scale(unit, "", [*ends, [0.0]], height, room=0.04)
    frame = Frame(across, up, look)
    layers: Layers = [segments([(across.low, 0.0, across.high, 0.0)], look.palette.ink, look.hairline * 2)]
    uprights = [(assumed / HOUR, up.low, assumed / HOUR, up.high)]
    layers.append(segments(uprights, look.palette.muted, look.hairline))
    names: list[Label] = []
    head = frame.moved(assumed / HOUR, up.high, up=-small)[1]
    marks = [Label(assumed / HOUR, head, "as assumed", look.palette.muted, "right")]
    for index, line in enumerate(lines):
        colour, hours = series_of(look, index), line.flown / HOUR
        low, middle, high = (np.clip(part * factor, up.low, up.high) for part in _of(line))
        layers += band(frame, hours, low, high, colour.mark)
        inside = (line.median * factor >= up.low) & (line.median * factor <= up.high)
        layers += fitted(frame, hours[inside], middle[inside], colour.mark)
        names.append(Label(float(hours[-1]), float(middle[-1]), line.name, colour.text, "right"))
    for where in meets:
        if where is not None and across.low < where / HOUR < across.high:
            at = where / HOUR
            layers.append(segments([(at, up.low, at, 0.0)], look.palette.rust, look.hairline * 2))
            foot = frame.moved(at, up.low, up=small * 0.8)[1]
            marks.append(Label(at, foot, f"{at:.0f} h", look.palette.rust, "right"))
    layers += labels(frame, names) + labels(frame, marks, size=small)
    alt = f"Against hours flown in a year, {unit}: {', '.join(line.name for line in lines)}."
    margins = Margins(left=small * 4.2, right=room, bottom=small * 3.4, top=small * 2.8)
    return frame, layers, alt, margins


def _of(line: CostLine) -> tuple[FloatArray, FloatArray, FloatArray]:
    return line.low, line.median, line.high
