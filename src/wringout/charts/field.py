"""Take-off and landing against the height of the field, by configuration, with the points flown."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Literal

import numpy as np

from wringout.charts.figure import Spec, figure, margins_for
from wringout.charts.grammar import (
    Flag,
    Frame,
    Label,
    Layers,
    band,
    claim_flags,
    fitted,
    flag_room,
    labels,
    measured,
    series_of,
    spread,
)
from wringout.charts.lines import Line, at_conditions_of, claimed, named, of_origin
from wringout.charts.scales import scale
from wringout.charts.theme import PAGE, Look
from wringout.dossier.claim import Claim
from wringout.dossier.dossier import Units
from wringout.model.fit import Residual
from wringout.physics.atmosphere import altitude_of_density
from wringout.quantity.showing import show
from wringout.quantity.units import to_si
from wringout.reduction.points import LandingPoint, TakeoffPoint

FieldQuantity = Literal[
    "take-off distance", "take-off ground roll", "landing distance", "landing ground roll"
]

_WORDS = {
    "take-off distance": "Take-off over 15 m",
    "take-off ground roll": "The take-off roll",
    "landing distance": "Landing from 15 m",
    "landing ground roll": "The landing roll",
}
_PARTS = {
    "take-off distance": ("take-off ground roll", "take-off air distance"),
    "take-off ground roll": ("take-off ground roll",),
    "landing distance": ("landing air distance", "landing ground roll"),
    "landing ground roll": ("landing ground roll",),
}


def field_figure(
    quantity: FieldQuantity,
    lines: Sequence[Line],
    points: Sequence[TakeoffPoint | LandingPoint],
    residuals: Sequence[Residual],
    *,
    claims: Sequence[Claim] = (),
    units: Units,
    look: Look = PAGE,
) -> Spec:
    """A distance against density altitude: line and band by configuration, points at the line's conditions.

    Parameters
    ----------
    quantity : FieldQuantity
        Which distance.
    lines : sequence of Line
        Predicted lines named '<quantity> against elevation'; others are passed over.
    points : sequence of TakeoffPoint or LandingPoint
        As flown.
    residuals : sequence of Residual
        Measured and fitted in the test conditions.
    claims : sequence of Claim
        Those for this quantity are flagged.
    units : Units
        Display units.
    look : Look
        Medium and palette.

    Raises
    ------
    ValueError
        There is no line for this quantity.
    """
    chosen = named(lines, f"{quantity} against elevation")
    if not chosen:
        raise ValueError(f"no predicted line for the {quantity}")
    flags = claimed(claims, quantity, chosen)
    heights = [line.x for line in chosen]
    tops = [np.append(line.high, line.median) for line in chosen]
    frame = Frame(
        scale("density altitude", units.height, heights, look.width - look.small * 7.2, tight=True),
        scale(
            _WORDS[quantity].lower(),
            units.distance,
            [*tops, flag_room([flag.value for flag in flags], tops)],
            look.width * 0.5,
            from_zero=True,
        ),
        look,
    )
    dots = _dots(frame, quantity, chosen, points, residuals)
    layers: Layers = []
    for index, line in enumerate(chosen):
        colour = series_of(look, index)
        layers += band(frame, line.x, line.low, line.high, colour.mark)
    for index, line in enumerate(chosen):
        colour = series_of(look, index)
        layers += fitted(frame, line.x, line.median, colour.mark, flown=line.flown)
        mine = dots.get(line.configuration, [])
        layers += measured(
            frame,
            [dot.height for dot in mine],
            [dot.value for dot in mine],
            [dot.sd for dot in mine],
            colour.mark,
            [dot.note for dot in mine],
        )
    layers += claim_flags(
        frame,
        [
            Flag(flag.conditions.pressure_altitude or 0.0, flag.value, flag.value_text, flag.published)
            for flag in flags
        ],
    )
    layers += _names(frame, chosen)
    return figure(
        frame,
        layers,
        title=_title(quantity, chosen, units),
        alt=_alt(quantity, chosen, len(points), units),
        margins=margins_for(look, frame),
    )


@dataclass(frozen=True, slots=True)
class _Dot:
    """A point at its line's conditions; `height` is where it stands, beside others of its own height."""

    height: float
    value: float
    sd: float
    note: str


def _dots(
    frame: Frame,
    quantity: FieldQuantity,
    lines: Sequence[Line],
    points: Sequence[TakeoffPoint | LandingPoint],
    residuals: Sequence[Residual],
) -> dict[str, list[_Dot]]:
    """The points that have all their residuals, by configuration; those of one height stand side by side."""
    found: list[tuple[str, _Dot]] = []
    for line in lines:
        for point in points:
            parts = of_origin(residuals, point.origin, _PARTS[quantity])
            if point.conditions.configuration != line.configuration or not parts:
                continue
            height = float(altitude_of_density(point.conditions.density.value))
            value, sd = at_conditions_of(line, height, parts)
            note = f"{point.origin.card}, {point.origin.point}: {point.technique}"
            if np.isfinite(value):
                found.append((line.configuration, _Dot(height, value, sd, note)))
    if not found:
        return {}
    places = frame.x.along(frame.x.shown([dot.height for _, dot in found]))
    beside = to_si(frame.x.at(spread(places, frame.look.dot)), frame.x.unit)
    by_configuration: dict[str, list[_Dot]] = {}
    for (configuration, dot), height in zip(found, beside, strict=True):
        by_configuration.setdefault(configuration, []).append(replace(dot, height=float(height)))
    return by_configuration


def _names(frame: Frame, lines: Sequence[Line]) -> Layers:
    """Each line's name over its far end; two lines that end close together are named over and under."""
    ends = [float(line.median[-1]) for line in lines]
    wanted = []
    for index, line in enumerate(lines):
        upper = ends[index] >= max(ends) - 1e-9
        wanted.append(
            Label(
                float(line.x[-1]),
                ends[index],
                line.configuration,
                series_of(frame.look, index).text,
                "above" if upper else "below",
                "right",
            )
        )
    return labels(frame, wanted)


def _title(quantity: FieldQuantity, lines: Sequence[Line], units: Units) -> str:
    first = lines[0]
    low, high = (show(float(first.median[k]), units.distance, digits=0) for k in (0, -1))
    top = show(float(first.x[-1]), units.height, digits=-2)
    return f"{_WORDS[quantity]} takes {low} at sea level and {high} at {top}, {first.configuration}"


def _alt(quantity: FieldQuantity, lines: Sequence[Line], count: int, units: Units) -> str:
    def distance(value: float) -> str:
        return show(float(value), units.distance, digits=0)

    parts = [
        f"{line.configuration}: {distance(line.median[0])} ({distance(line.low[0])} to "
        f"{distance(line.high[0])}) at "
        f"{show(float(line.x[0]), units.height, digits=-2)}, rising to {distance(line.median[-1])} at "
        f"{show(float(line.x[-1]), units.height, digits=-2)}"
        for line in lines
    ]
    said = "; ".join(parts)
    return f"{quantity} against density altitude, {lines[0].condition}; {said}; {count} measured points."
