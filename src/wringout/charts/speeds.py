"""Stall speeds by flap setting, and the error of the airspeed system."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import ArrayLike

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
    segments,
    series_of,
)
from wringout.charts.lines import Line, named
from wringout.charts.scales import FloatArray, scale
from wringout.charts.theme import PAGE, Look
from wringout.dossier.claim import Claim
from wringout.dossier.dossier import Units
from wringout.quantity.showing import show
from wringout.reduction.points import PositionErrorCurve, StallPoint

NINE_IN_TEN = 1.645


def stall_figure(
    lines: Sequence[Line],
    points: Sequence[StallPoint],
    claims: Sequence[Claim],
    units: Units,
    *,
    look: Look = PAGE,
) -> Spec:
    """Calibrated stall speed against mass, one colour a flap setting: measured at its own mass, and fitted.

    Parameters
    ----------
    lines : sequence of Line
        Those named 'stall speed against mass', whose condition says the flap setting ('flaps 45°').
    points : sequence of StallPoint
        Reduced to an entry rate of 1 kt/s, power idle.
    claims : sequence of Claim
        Those of stall speeds are flagged at their mass.
    units : Units
        Display units.
    look : Look
        Medium and palette.

    Raises
    ------
    ValueError
        There is neither a point nor a line.
    """
    chosen = named(lines, "stall speed against mass")
    idle = [point for point in points if point.power == "idle"]
    flaps = list(dict.fromkeys([point.conditions.flap for point in idle]))
    # An airplane stalls alike on any gear: of several configurations fitted, the first stands for all.
    by_flap = {
        flap: next((line for line in chosen if f"flaps {flap}" in line.condition), None) for flap in flaps
    }
    fits = [line for line in by_flap.values() if line is not None] or list(chosen[:1])
    flags = [item for item in claims if item.quantity == "stall speed" and item.conditions.mass is not None]
    masses: list[ArrayLike] = [[point.conditions.mass.value for point in idle], *(line.x for line in fits)]
    masses.append([flag.conditions.mass or np.nan for flag in flags])
    speeds: list[ArrayLike] = [
        [point.stall_speed.value for point in idle],
        *(line.low for line in fits),
        *(line.high for line in fits),
    ]
    speeds.append(flag_room([flag.value for flag in flags], speeds))
    frame = Frame(
        scale("mass", units.mass, masses, look.width - look.small * 7.2, room=0.03, tight=True),
        scale("calibrated stall speed, idle", units.speed, speeds, look.width * 0.42, room=0.1),
        look,
    )
    layers: Layers = []
    wanted: list[Label] = []
    for index, flap in enumerate(flaps[: len(look.palette.series) - 1]):
        colour, line = series_of(look, index), by_flap[flap]
        if line is not None:
            layers += band(frame, line.x, line.low, line.high, colour.mark)
            layers += fitted(frame, line.x, line.median, colour.mark, flown=line.flown)
        mine = [point for point in idle if point.conditions.flap == flap]
        layers += measured(
            frame,
            [point.conditions.mass.value for point in mine],
            [point.stall_speed.value for point in mine],
            [point.stall_speed.sd or 0.0 for point in mine],
            colour.mark,
            [f"{point.origin.card}, {point.origin.point}: flaps {flap}" for point in mine],
        )
        heaviest = max(mine, key=lambda point: point.conditions.mass.value)
        x = float(line.x[-1]) if line is not None else heaviest.conditions.mass.value
        y = float(line.median[-1]) if line is not None else heaviest.stall_speed.value
        wanted.append(Label(x, y, f"flaps {flap}", colour.text, "above", "right"))
    layers += claim_flags(
        frame,
        [Flag(flag.conditions.mass or 0.0, flag.value, flag.value_text, flag.published) for flag in flags],
    )
    layers += labels(frame, wanted)
    return figure(
        frame,
        layers,
        title=_stall_title(idle, flaps, units),
        alt=_stall_alt(idle, flaps, units),
        margins=margins_for(look, frame),
    )


def _stall_title(points: Sequence[StallPoint], flaps: Sequence[str], units: Units) -> str:
    parts = []
    for flap in flaps:
        speeds = [point.stall_speed.value for point in points if point.conditions.flap == flap]
        low, high = (show(speed, units.speed, digits=0) for speed in (min(speeds), max(speeds)))
        parts.append(f"{low if low == high else low.split()[0] + ' to ' + high} with flaps {flap}")
    return f"It stalled at {', '.join(parts)}"


def _stall_alt(points: Sequence[StallPoint], flaps: Sequence[str], units: Units) -> str:
    parts = [
        f"flaps {flap}: "
        + ", ".join(
            f"{show(point.stall_speed.value, units.speed, point.stall_speed.sd)} at "
            f"{show(point.conditions.mass.value, units.mass, digits=0)}"
            for point in points
            if point.conditions.flap == flap
        )
        for flap in flaps
    ]
    return f"Calibrated stall speeds at idle against mass. {'; '.join(parts)}."


def position_error_figure(curves: Sequence[PositionErrorCurve], units: Units, *, look: Look = PAGE) -> Spec:
    """What is to be added to the indicated airspeed, by flap setting, with its 90 % band where measured.

    Parameters
    ----------
    curves : sequence of PositionErrorCurve
        Fitted corrections with their points.
    units : Units
        Display units.
    look : Look
        Medium and palette.

    Raises
    ------
    ValueError
        There is no curve.
    """
    along = [np.linspace(curve.low, curve.high, 40) for curve in curves]
    values = [_correction(curve, speed) for curve, speed in zip(curves, along, strict=True)]
    speeds: list[ArrayLike] = [*along, *([point[0] for point in curve.points] for curve in curves)]
    corrections = [np.concatenate([mid - reach, mid + reach]) for mid, reach in values]
    for sign in (-NINE_IN_TEN, NINE_IN_TEN):
        corrections += [np.array([point[1] + sign * point[2] for point in curve.points]) for curve in curves]
    frame = Frame(
        scale(
            "indicated airspeed", units.speed, speeds, look.width - look.small * 7.2, room=0.03, tight=True
        ),
        scale("calibrated minus indicated", units.speed, [*corrections, [0.0]], look.width * 0.36),
        look,
    )
    zero = (frame.x.low, 0.0, frame.x.high, 0.0)
    layers: Layers = [segments([zero], look.palette.ink, look.hairline * 1.5)]
    wanted = []
    for index, (curve, speed, (mid, reach)) in enumerate(zip(curves, along, values, strict=True)):
        colour = series_of(look, index)
        layers += band(frame, speed, mid - reach, mid + reach, colour.mark)
        layers += fitted(frame, speed, mid, colour.mark)
        x, y, sd = (np.array([point[k] for point in curve.points]) for k in range(3))
        if len(curve.points):
            layers += measured(frame, x, y, sd, colour.mark, [f"flaps {curve.flap}"] * len(x))
        wanted.append(
            Label(float(speed[-1]), float(mid[-1]), f"flaps {curve.flap}", colour.text, "above", "right")
        )
    layers += labels(frame, wanted)
    worst = max(
        curves,
        key=lambda curve: float(
            np.max(np.abs(_correction(curve, np.linspace(curve.low, curve.high, 40))[0]))
        ),
    )
    speed = np.linspace(worst.low, worst.high, 40)
    mid, _ = _correction(worst, speed)
    top = int(np.argmax(np.abs(mid)))
    way = "low" if mid[top] > 0 else "high"
    title = (
        f"The airspeed indicator reads up to {show(abs(float(mid[top])), units.speed, digits=1)} "
        f"too {way}, at "
        f"{show(float(speed[top]), units.speed, digits=0)} with flaps {worst.flap}"
    )
    alt = f"Airspeed correction against indicated airspeed. {title}. " + " ".join(
        f"Flaps {curve.flap}: {len(curve.points)} points from {show(curve.low, units.speed, digits=0)} to "
        f"{show(curve.high, units.speed, digits=0)}."
        for curve in curves
    )
    return figure(frame, layers, title=title, alt=alt, margins=margins_for(look, frame))


def _correction(curve: PositionErrorCurve, speed: FloatArray) -> tuple[FloatArray, FloatArray]:
    """The polynomial and half its 90 % band at indicated airspeeds."""
    ratio = (speed - curve.reference) / curve.reference
    powers = ratio[:, None] ** np.arange(len(curve.coefficients))
    variance = np.einsum("ij,jk,ik->i", powers, np.array(curve.covariance), powers)
    return powers @ np.array(curve.coefficients), NINE_IN_TEN * np.sqrt(np.maximum(variance, 0.0))
