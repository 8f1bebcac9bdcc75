"""What a cost hangs on most: a bar an assumption, between the costs at the ends of its nine in ten."""

from __future__ import annotations

from collections.abc import Sequence
from math import floor, log10

from wringout.charts.direct import direct_svg
from wringout.charts.figure import Margins, Spec, figure
from wringout.charts.grammar import Frame, Layer, Layers, rows, segments, text_layer, text_width
from wringout.charts.scales import Scale, scale
from wringout.charts.theme import IN_PAGE, PAGE, Look
from wringout.ownership import Swing
from wringout.quantity.showing import show

HOUR = 3600.0
MOST = 10  # bars; the rest move the hour too little to be drawn


def tornado_figure(
    swings: Sequence[Swing], hour: float, currency: str, *, title: str, look: Look = PAGE
) -> Spec:
    """A row an assumption, the widest first, the upright line the hour as assumed.

    What the assumption is at each end of its bar stands there.

    Parameters
    ----------
    swings : sequence of Swing
        The widest first.
    hour : float
        Cost at the stated assumptions. [currency/s]
    currency : str
    title : str
        The answer.
    look : Look
        Medium and palette.

    Raises
    ------
    ValueError
        No assumption states an uncertainty.
    """
    frame, layers, alt, margins = _made(swings, hour, currency, look)
    return figure(frame, layers, title=title, alt=alt, margins=margins)


def tornado_drawing(swings: Sequence[Swing], hour: float, currency: str) -> str:
    """The same as SVG in the page's own colours, for one that follows what is typed; arguments as there."""
    frame, layers, alt, margins = _made(swings, hour, currency, IN_PAGE)
    return direct_svg(frame, layers, alt=alt, margins=margins, name="tornado")


def _made(
    swings: Sequence[Swing], hour: float, currency: str, look: Look
) -> tuple[Frame, Layers, str, Margins]:
    shown = [swing for swing in swings if swing.width > 0.0][:MOST]
    if not shown:
        raise ValueError("no assumption states an uncertainty")
    count, pitch, small = len(shown), look.body * 2.0, look.small
    texts = [_ends(swing) for swing in shown]
    named = min(look.width * 0.34, max(text_width(swing.assumption.name, small) for swing in shown) + small)
    room = max(text_width(text, small) for pair in texts for text in pair) + small
    width = look.width - named - 2.0 * room
    ends = [value * HOUR for swing in shown for value in (swing.cost_at_low, swing.cost_at_high)]
    across = scale(f"{currency} an hour", "", [ends, [hour * HOUR]], width, tight=True, room=0.0, ticks=4)
    frame = Frame(across, _levels(count, pitch), look)
    middle = hour * HOUR
    layers: Layers = [segments([(middle, -0.5, middle, count - 0.35)], look.palette.ink, look.hairline * 2)]
    for index, (swing, (low, high)) in enumerate(zip(shown, texts, strict=True)):
        level = count - 1 - index
        layers += _bar(frame, swing, level, pitch * 0.52)
        x, y = frame.moved(across.low, level, right=-room)
        layers.append(
            text_layer(
                x, y, _cut(swing.assumption.name, named, small), look.palette.ink, small, align="right"
            )
        )
        cheap_left = swing.cost_at_low <= swing.cost_at_high
        for side, text in ((0, low if cheap_left else high), (1, high if cheap_left else low)):
            at = sorted((swing.cost_at_low, swing.cost_at_high))[side] * HOUR
            place = frame.moved(at, level, right=(0.4 if side else -0.4) * small)
            align = "left" if side else "right"
            layers.append(text_layer(*place, text, look.palette.muted, small, align=align))
    head = frame.moved(middle, count - 0.35, up=small * 0.7)
    layers.append(
        text_layer(*head, f"as assumed {show(middle, '', digits=0)}", look.palette.ink, small, align="center")
    )
    told = "; ".join(
        f"{swing.assumption.name} {low} to {high}: {swing.cost_at_low * HOUR:.0f} to "
        f"{swing.cost_at_high * HOUR:.0f} {currency} an hour"
        for swing, (low, high) in zip(shown, texts, strict=True)
    )
    alt = f"The hour's cost with one assumption at a time at the ends of its nine in ten. {told}."
    margins = Margins(left=named + room, right=room, bottom=small * 3.4, top=small * 1.6)
    return frame, layers, alt, margins


def shown_value(swing: Swing, value: float) -> str:
    """An end of an assumption's nine in ten as people read it, in its own unit."""
    item = swing.assumption
    spread = abs(swing.high - swing.low) / item.factor / 2.0
    digits = 1 - floor(log10(spread)) if spread > 0.0 else 0
    figure_ = show(value / item.factor, "", digits=min(digits, 2))
    unit = {"year": "years"}.get(item.unit, item.unit)
    return f"{figure_} {unit}".strip()


def _ends(swing: Swing) -> tuple[str, str]:
    return shown_value(swing, swing.low), shown_value(swing, swing.high)


def _levels(count: int, pitch: float) -> Scale:
    return Scale("", "", -0.5, count - 0.5, (), pitch * count)


def _bar(frame: Frame, swing: Swing, level: float, thickness: float) -> Layers:
    """The bar as a tint, its two ends as strokes: the costs are read at them."""
    colour = frame.look.palette.series[0].mark
    ends = sorted((swing.cost_at_low * HOUR, swing.cost_at_high * HOUR))
    half = thickness / frame.y.extent * (frame.y.high - frame.y.low) / 2.0
    area = {"type": "area", "fill": colour, "fillOpacity": 0.3, "stroke": None, "interpolate": "linear"}
    bar: Layer = {
        "data": {"values": rows(x=ends, y=[level - half] * 2, y2=[level + half] * 2)},
        "mark": area,
        "encoding": {"y2": {"field": "y2"}},
    }
    strokes = [(end, level - half, end, level + half) for end in ends]
    return [bar, segments(strokes, colour, frame.look.line)]


def _cut(name: str, width: float, size: float) -> str:
    """A name that fits, cut at a word."""
    if text_width(name, size) <= width:
        return name
    words = name.split()
    while len(words) > 1 and text_width(" ".join(words) + " …", size) > width:
        words.pop()
    return f"{' '.join(words)} …"
