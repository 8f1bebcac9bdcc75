"""Payload against the strip that it needs, each dot as large as what the trip costs."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import groupby, pairwise
from math import isfinite, sqrt

from wringout.charts.figure import Margins, Spec, figure
from wringout.charts.grammar import Frame, Label, Layer, Layers, labels, rows, segments, series_of, text_layer
from wringout.charts.scales import scale
from wringout.charts.theme import PAGE, Look
from wringout.dossier.dossier import Units
from wringout.quantity.showing import show
from wringout.quantity.units import to_si


@dataclass(frozen=True, slots=True)
class Trade:
    """One mission of one contender: strip needed with its central 90 % [m], payload [kg], the trip's cost."""

    contender: str
    mission: str
    strip: tuple[float, float, float]  # low, median, high
    payload: float
    cost: float | None
    flies: bool  # with all that must go


def tradeoff_figure(
    trades: Sequence[Trade], units: Units, currency: str, *, title: str, look: Look = PAGE
) -> Spec:
    """What carries more stands higher, what needs a longer strip farther right, what costs more is larger.

    Dots of one mission are joined by a thin line; one that cannot be flown with all that must go is hollow.

    Parameters
    ----------
    trades : sequence of Trade
        Those whose strip is not known are left out.
    units : Units
        Display units.
    currency : str
        Of the costs; empty where none are told.
    title : str
        The answer.
    look : Look
        Medium and palette.

    Raises
    ------
    ValueError
        Nothing is known of any strip.
    """
    known = [trade for trade in trades if isfinite(trade.strip[1]) and trade.payload > 0.0]
    if not known:
        raise ValueError("no mission names a strip")
    names = list(dict.fromkeys(trade.contender for trade in known))
    room = look.small * 1.5
    width, height = look.width - look.small * 5.5 - room, look.width * 0.56
    strips = [[end for trade in known for end in trade.strip if isfinite(end)]]
    frame = Frame(
        scale("strip needed, factors counted", units.distance, strips, width, room=0.05),
        scale("payload with the trip's fuel", units.mass, [[t.payload for t in known]], height, room=0.14),
        look,
    )
    most = max((trade.cost or 0.0 for trade in known), default=0.0)
    layers: Layers = []
    wanted: list[Label] = []
    by_mission = sorted(known, key=lambda trade: trade.mission)
    for mission, group in groupby(by_mission, key=lambda trade: trade.mission):
        dots = sorted(group, key=lambda trade: names.index(trade.contender))
        path = [(*_at(frame, one), *_at(frame, other)) for one, other in pairwise(dots)]
        if path:
            layers.append(segments(path, look.palette.muted, look.hairline))
        leftmost = min(dots, key=lambda trade: trade.strip[1])
        wanted.append(
            Label(leftmost.strip[1], leftmost.payload, _short(mission), look.palette.muted, "above", "left")
        )
    for trade in known:
        colour = series_of(look, names.index(trade.contender)).mark
        low, _, high = trade.strip
        y = float(frame.y.shown(trade.payload))
        reach = [float(frame.x.shown(end)) for end in (low, high) if isfinite(end)]
        if len(reach) == 2:
            layers.append(segments([(reach[0], y, reach[1], y)], colour, look.hairline * 2))
        layers.append(_dot(frame, trade, colour, most))
        if trade.cost is not None:
            # Clear of the dot, which is the larger the dearer the trip.
            foot = frame.moved(*_at(frame, trade), up=-0.5 * _diameter(frame, trade, most))[1]
            at = to_si(foot, units.mass)
            wanted.append(Label(trade.strip[1], at, show(trade.cost, "", digits=0), colour, "below"))
    layers += labels(frame, wanted, size=look.small)
    layers += _key(frame, names, currency)
    told = "; ".join(
        f"{t.contender}, {t.mission}: {show(t.strip[1], units.distance, digits=0)}, "
        f"{show(t.payload, units.mass, digits=0)}"
        + (f", {show(t.cost, '', digits=0)} {currency}" if t.cost is not None else "")
        for t in known
    )
    alt = f"Payload against the strip needed, by mission and contender. {told}."
    margins = Margins(
        left=look.small * 3.6, right=look.small * 3.6, bottom=look.small * 5.4, top=look.small * 4.6
    )
    return figure(frame, layers, title=title, alt=alt, margins=margins)


def _at(frame: Frame, trade: Trade) -> tuple[float, float]:
    return float(frame.x.shown(trade.strip[1])), float(frame.y.shown(trade.payload))


def _dot(frame: Frame, trade: Trade, colour: str, most: float) -> Layer:
    """Area as the cost; as large as any dot where none is told."""
    look = frame.look
    x, y = _at(frame, trade)
    mark = {
        "type": "point",
        "filled": True,
        "fill": colour if trade.flies else look.palette.paper,
        "stroke": colour,
        "strokeWidth": look.hairline * 2,
        "size": _diameter(frame, trade, most) ** 2,
    }
    return {"data": {"values": rows(x=[x], y=[y])}, "mark": mark}


def _diameter(frame: Frame, trade: Trade, most: float) -> float:
    share = 1.0 if trade.cost is None or most <= 0.0 else sqrt(max(trade.cost, 0.0) / most)
    return frame.look.dot * (0.7 + 1.6 * share)


def _key(frame: Frame, names: Sequence[str], currency: str) -> Layers:
    """The contenders' names in their colours above the field, and what the dots say."""
    look = frame.look
    found: Layers = []
    along = 0.0
    for index, name in enumerate(names):
        x, y = frame.moved(frame.x.low, frame.y.high, right=along, up=look.small * 2.5)
        mark = {
            "type": "text",
            "text": name,
            "align": "left",
            "baseline": "middle",
            "fill": series_of(look, index).text,
            "fontSize": look.body,
            "fontWeight": 500,
        }
        found.append({"data": {"values": rows(x=[x], y=[y])}, "mark": mark})
        along += len(name) * look.body * 0.52 + look.body * 1.4
    told = f"beneath a dot: {currency} for the trip; hollow: not answered with yes" if currency else ""
    place = frame.moved(frame.x.high, frame.y.high, up=look.small * 0.9)
    return [*found, text_layer(*place, told, look.palette.muted, look.small, align="right")]


def _short(mission: str, most: int = 26) -> str:
    if len(mission) <= most:
        return mission
    return f"{mission[: most - 1].rsplit(' ', 1)[0]} …"
