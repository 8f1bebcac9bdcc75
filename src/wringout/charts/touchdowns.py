"""Where repeated landings touched, about the line at which they aimed or about their mean."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from wringout.charts.figure import Margins, Spec, figure
from wringout.charts.grammar import Frame, Layer, Layers, rows, segments, text_layer
from wringout.charts.scales import Scale, round_ticks
from wringout.charts.theme import PAGE, Look
from wringout.dossier.dossier import Units
from wringout.model.touchdowns import NINE_IN_TEN, TouchdownSpread
from wringout.quantity.showing import show
from wringout.quantity.units import convert


def touchdown_figure(spreads: Sequence[TouchdownSpread], units: Units, *, look: Look = PAGE) -> Spec:
    """A row for each pilot and technique: every touchdown, and the stretch that holds nine in ten.

    Parameters
    ----------
    spreads : sequence of TouchdownSpread
        Those about lines at which they aimed, or those about their means; not both together.
    units : Units
        Display units.
    look : Look
        Medium and palette.

    Raises
    ------
    ValueError
        There is none.
    """
    if not spreads:
        raise ValueError("no pilot landed three times alike on one strip")
    unit, count = units.distance, len(spreads)
    aimed = spreads[0].offset is not None
    reach = max(float(np.max(np.abs(item.beyond)) + NINE_IN_TEN * np.max(item.own)) for item in spreads)
    reach = max(reach, *(abs(item.mean) + item.stretch.value / 2.0 for item in spreads))
    ticks = round_ticks(-convert(reach, unit), convert(reach, unit), 6)
    step = ticks[1] - ticks[0]
    ends = float(np.ceil(convert(reach, unit) / step) * step)
    names, figures = look.width * 0.27, look.small * 7.5
    pitch = look.body * 3.0
    frame = Frame(
        Scale(
            "beyond the line" if aimed else "beyond their mean",
            unit,
            -ends,
            ends,
            round_ticks(-ends, ends, 6),
            look.width - names - figures,
        ),
        Scale("", "", -0.5, count - 0.5, (), pitch * count),
        look,
    )
    layers: Layers = []
    for index, item in enumerate(spreads):
        layers += _row(frame, item, count - 1 - index, pitch, unit)
    layers.append(segments([(0.0, -0.5, 0.0, count - 0.5)], look.palette.ink, look.line))
    title = _title(spreads, units)
    alt = f"{title}. " + " ".join(touchdown_sentence(item, units) for item in spreads)
    margins = Margins(left=names, right=figures, bottom=look.small * 3.4, top=look.small * 0.8)
    return figure(frame, layers, title=title, alt=alt, margins=margins)


def touchdown_sentence(item: TouchdownSpread, units: Units) -> str:
    """'A. Nobody, ‘short field’, four landings on Corran Mill: …' in one sentence."""
    unit = units.distance
    about, nine = (show(x.value, unit, x.sd) for x in (item.spread, item.stretch))
    who = f"{item.pilot}, ‘{item.technique}’, {len(item.origins)} landings on {item.strip}"
    if item.offset is None:
        return (
            f"{who}: touchdowns lie {about} (one standard deviation) about their mean, nine in ten within "
            f"{nine} of strip."
        )
    way = "beyond" if item.offset.value >= 0.0 else "short of"
    mean = show(abs(item.offset.value), unit, item.offset.sd)
    return (
        f"{who}: they touch {mean} {way} the line on average and lie {about} (one standard deviation) about "
        f"that, nine in ten within {nine} of strip."
    )


def _title(spreads: Sequence[TouchdownSpread], units: Units) -> str:
    best = min(spreads, key=lambda item: item.stretch.value)
    nine = show(best.stretch.value, units.distance, digits=0)
    return f"Nine in ten landings ‘{best.technique}’ touch within {nine} of strip"


def _row(frame: Frame, item: TouchdownSpread, level: int, pitch: float, unit: str) -> Layers:
    look = frame.look
    colour = look.palette.series[0].mark

    def shown(value: float) -> float:
        return float(convert(value, unit))

    half = item.stretch.value / 2.0
    layers: Layers = [_tint(shown(item.mean - half), shown(item.mean + half), level, colour, pitch * 0.5)]
    # Neighbours step up and down by turns, so that each bar is seen.
    for place, (beyond, own) in enumerate(zip(item.beyond, item.own, strict=True)):
        at = level + (0.0 if len(item.beyond) == 1 else 0.22 * (2.0 * place / (len(item.beyond) - 1) - 1.0))
        ends = [shown(beyond - NINE_IN_TEN * own), shown(beyond + NINE_IN_TEN * own)]
        layers.append(segments([(ends[0], at, ends[1], at)], colour, look.hairline * 1.5))
        layers.append(_dot(shown(beyond), at, colour, look))
    left = frame.moved(frame.x.low, level, right=-look.small, up=look.small * 0.65)
    under = frame.moved(frame.x.low, level, right=-look.small, up=-look.small * 0.65)
    right = frame.moved(frame.x.high, level, right=look.small * 0.8, up=look.small * 0.65)
    below = frame.moved(frame.x.high, level, right=look.small * 0.8, up=-look.small * 0.65)
    nine = show(item.stretch.value, unit, digits=0)
    layers += [
        text_layer(*left, f"‘{item.technique}’", look.palette.ink, look.small, align="right"),
        text_layer(*under, f"{item.pilot}, {item.strip}", look.palette.muted, look.small, align="right"),
        text_layer(*right, "nine in ten", look.palette.muted, look.small),
        text_layer(*below, f"within {nine}", look.palette.ink, look.small),
    ]
    return layers


def _tint(low: float, high: float, level: int, colour: str, thickness: float) -> Layer:
    tint = {"fill": colour, "fillOpacity": 0.18, "stroke": None}
    mark = {"type": "bar", **tint, "height": thickness, "orient": "horizontal"}
    data = rows(x=[low], x2=[high], y=[level])
    return {"data": {"values": data}, "mark": mark, "encoding": {"x2": {"field": "x2"}}}


def _dot(x: float, y: float, colour: str, look: Look) -> Layer:
    mark = {
        "type": "point",
        "filled": True,
        "fill": colour,
        "stroke": look.palette.paper,
        "strokeWidth": look.hairline,
        "size": look.dot**2,
    }
    return {"data": {"values": rows(x=[x], y=[y])}, "mark": mark}
