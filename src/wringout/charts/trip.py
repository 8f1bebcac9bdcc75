"""A trip as the fuel aboard along its way, from filling to landing, with what is kept in reserve."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from wringout.charts.direct import direct_svg
from wringout.charts.figure import margins_for
from wringout.charts.grammar import (
    Frame,
    Label,
    Layer,
    Layers,
    band,
    fitted,
    labels,
    limit,
    polyline,
    segments,
)
from wringout.charts.scales import FloatArray, scale
from wringout.charts.theme import IN_PAGE, Look
from wringout.dossier.dossier import Units
from wringout.missions import MissionAnswer, PayloadRange
from wringout.missions.mission import LegAnswer
from wringout.quantity.showing import show

_HALF_WIDTH_90 = 1.6449  # central 90 % of a normal distribution, in standard deviations


def trip_drawing(answer: MissionAnswer, units: Units, *, look: Look = IN_PAGE) -> str:
    """Fuel aboard along a mission's way, straight to SVG, without its title.

    Parameters
    ----------
    answer : MissionAnswer
        With legs.
    units : Units
        Display units.
    look : Look
        Medium and palette.

    Raises
    ------
    ValueError
        The mission has no legs: it cannot be flown.
    """
    frame = _frame(answer, units, look)
    return direct_svg(
        frame,
        _layers(frame, answer, units),
        alt=_alt(answer, units),
        margins=margins_for(look, frame),
        name="trip",
    )


def trip_title(answer: MissionAnswer, units: Units) -> str:
    """'155 L for 311 nm in 2 h 39 min; 34 L are left, the 45 min that are kept'."""
    legs = answer.legs
    minutes = sum(leg.time.value for leg in legs) / 60.0
    flown = show(sum(leg.leg.distance for leg in legs), units.range, digits=0)
    left = show(legs[-1].fuel_at_end.value, units.fuel, digits=0)
    filled = show(sum(leg.filled for leg in legs), units.fuel, digits=0)
    time = f"{minutes // 60:.0f} h {minutes % 60:02.0f} min" if minutes >= 60.0 else f"{minutes:.0f} min"
    kept = f"{answer.mission.reserve / 60.0:.0f} min"
    return f"{filled} filled for {flown} in {time}; {left} are left, {kept} of it to be kept"


def payload_range_drawing(
    result: PayloadRange, here: tuple[float, float], words: str, units: Units, *, look: Look = IN_PAGE
) -> str:
    """Payload against range with a mission's own distance [m] and payload [kg] marked, as SVG for a page.

    The thin line is what mass alone would allow; the range's central 90 % lies between the two tinted ones.

    Raises
    ------
    ValueError
        Nothing can be carried at all.
    """
    known = np.isfinite(result.payload) & np.isfinite(result.range)
    if not known.any():
        raise ValueError("nothing can be carried")
    distance, payload = result.range[known], result.payload[known]
    frame = Frame(
        scale(
            "range with reserve",
            units.range,
            [result.range_high[known], np.array([here[0]])],
            look.width - look.small * 7.2,
            from_zero=True,
            tight=True,
            room=0.02,
        ),
        scale(
            "payload, pilot counted",
            units.mass,
            [payload, np.array([here[1]])],
            look.width * 0.36,
            from_zero=True,
        ),
        look,
    )
    colour = look.palette.series[0]
    layers: Layers = []
    for end in (result.range_low[known], result.range_high[known]):
        layers.append(_thin(frame, end, payload, colour.mark))
    by_mass = np.minimum(result.payload_by_mass[known], float(frame.y.high))
    inside = frame.y.shown(result.payload_by_mass[known]) <= frame.y.high
    layers.append(_thin(frame, distance[inside], by_mass[inside], look.palette.muted))
    layers += fitted(frame, distance, payload, colour.mark)
    rust = look.palette.rust
    x, y = float(frame.x.shown(here[0])), float(frame.y.shown(here[1]))
    cross = look.dot * 0.9
    layers.append(
        segments(
            [
                (*frame.moved(x, y, right=-cross), *frame.moved(x, y, right=cross)),
                (*frame.moved(x, y, up=-cross), *frame.moved(x, y, up=cross)),
            ],
            rust,
            look.line,
        )
    )
    layers += labels(
        frame,
        [Label(here[0], here[1], words, rust, "below", "left" if here[0] < distance.max() / 2 else "right")],
    )
    return direct_svg(
        frame,
        layers,
        alt=f"{result.sentence} {words}.",
        margins=margins_for(look, frame),
        name="payload-range",
    )


def _thin(frame: Frame, x: FloatArray, y: FloatArray, colour: str) -> Layer:
    return polyline(
        frame.x.shown(x), frame.y.shown(y), {"stroke": colour, "strokeWidth": frame.look.hairline}
    )


def _frame(answer: MissionAnswer, units: Units, look: Look) -> Frame:
    if not answer.legs:
        raise ValueError(f"the mission '{answer.mission.name}' cannot be flown: it has no legs")
    way = np.concatenate(([0.0], np.cumsum([leg.leg.distance for leg in answer.legs])))
    fuel = [leg.fuel_at_start for leg in answer.legs]
    return Frame(
        scale(
            "distance flown",
            units.range,
            [way],
            look.width - look.small * 7.2,
            from_zero=True,
            tight=True,
            room=0.02,
        ),
        scale("fuel aboard", units.fuel, [np.array(fuel)], look.width * 0.28, from_zero=True),
        look,
    )


def _layers(frame: Frame, answer: MissionAnswer, units: Units) -> Layers:
    look, legs = frame.look, answer.legs
    colour = look.palette.series[0]
    way = np.concatenate(([0.0], np.cumsum([leg.leg.distance for leg in legs])))
    reserve = next(row.volume for row in answer.fuel_rows if row.name == "reserve")
    layers: Layers = limit(frame, [0.0, way[-1]], [reserve, reserve], forbidden="right")
    strokes = []
    for begin, end, leg in zip(way, way[1:], legs, strict=False):
        x = np.array([begin, end])
        low, high = _spread(leg, legs)
        layers += band(frame, x, low, high, colour.mark)
        layers += fitted(frame, x, np.array([leg.fuel_at_start, leg.fuel_at_end.value]), colour.mark)
        if leg.filled > 0.0:
            foot = float(frame.y.shown(leg.fuel_at_start - leg.filled))
            at = float(frame.x.shown(begin))
            strokes.append((at, foot, at, float(frame.y.shown(leg.fuel_at_start))))
    layers.append(segments(strokes, colour.mark, look.line))
    layers += labels(frame, _names(legs, way, look, units))
    kept = f"{answer.mission.reserve / 60.0:.0f} min, {show(reserve, units.fuel, digits=0)}"
    layers += labels(frame, [Label(float(way[-1]), 0.5 * reserve, kept, look.palette.muted, "left")])
    return layers


def _spread(leg: LegAnswer, legs: Sequence[LegAnswer]) -> tuple[FloatArray, FloatArray]:
    """The 90 % band of the fuel aboard at the start and the end of a leg."""
    number = list(legs).index(leg)
    before = 0.0 if leg.filled > 0.0 or number == 0 else legs[number - 1].fuel_at_end.sd or 0.0
    half = _HALF_WIDTH_90 * np.array([before, leg.fuel_at_end.sd or 0.0])
    middle = np.array([leg.fuel_at_start, leg.fuel_at_end.value])
    return np.maximum(middle - half, 0.0), middle + half


def _names(legs: Sequence[LegAnswer], way: FloatArray, look: Look, units: Units) -> list[Label]:
    """Where the trip is: each strip with what is aboard when it is left, and at the end."""
    ink = look.palette.ink
    names: list[Label] = []
    for begin, leg in zip(way, legs, strict=False):
        words = show(leg.fuel_at_start, units.fuel, digits=0)
        said = words if leg.leg.start is None else f"{leg.leg.start}, {words}"
        names.append(Label(float(begin), leg.fuel_at_start, said, ink, "above", "left"))
    last = legs[-1]
    end = show(last.fuel_at_end.value, units.fuel, digits=0)
    said = end if last.leg.end is None else f"{last.leg.end}, {end}"
    names.append(Label(float(way[-1]), last.fuel_at_end.value, said, ink, "above", "right"))
    return names


def _alt(answer: MissionAnswer, units: Units) -> str:
    legs = "; ".join(
        f"{leg.leg.start or 'start'} to {leg.leg.end or 'end'}: "
        f"{show(leg.fuel_at_start, units.fuel, digits=0)} before, "
        f"{show(leg.fuel_at_end.value, units.fuel, digits=0)} after"
        for leg in answer.legs
    )
    return f"Fuel aboard along the way. {legs}. {trip_title(answer, units)}."
