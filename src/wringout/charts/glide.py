"""Glide ratio against speed, engine idle."""

from __future__ import annotations

from collections.abc import Sequence

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
)
from wringout.charts.lines import Line, claimed, named, of_origin, value_at
from wringout.charts.scales import scale
from wringout.charts.theme import PAGE, Look
from wringout.dossier.claim import Claim
from wringout.dossier.dossier import Units
from wringout.model.fit import Residual
from wringout.physics.airspeed import calibrated_from_true
from wringout.quantity.showing import show
from wringout.reduction.points import ClimbPoint

NAME = "glide ratio against speed"
_SINK = ("rate of climb, idle",)


def glide_figure(
    lines: Sequence[Line],
    points: Sequence[ClimbPoint],
    residuals: Sequence[Residual],
    *,
    claims: Sequence[Claim] = (),
    units: Units,
    look: Look = PAGE,
) -> Spec:
    """Glide ratio at idle against calibrated airspeed, by configuration.

    A point stands where the line would if its sink were to the line's as it was to the fit's in the test
    conditions: its distance from the line is its residual.

    Parameters
    ----------
    lines : sequence of Line
        Those named 'glide ratio against speed'.
    points : sequence of ClimbPoint
        As flown; those at full power are passed over.
    residuals : sequence of Residual
        Measured and fitted rates in the test conditions.
    claims : sequence of Claim
        Glide ratios are flagged at the best speed, where no speed is claimed.
    units : Units
        Display units.
    look : Look
        Medium and palette.

    Raises
    ------
    ValueError
        There is no line.
    """
    chosen = named(lines, NAME)
    if not chosen:
        raise ValueError("no predicted line for the glide")
    flags = claimed(claims, "glide ratio", chosen)
    ratios = [*(line.low for line in chosen), *(line.high for line in chosen)]
    frame = Frame(
        scale(
            "calibrated airspeed",
            units.speed,
            [line.x for line in chosen],
            look.width - look.small * 7.2,
            room=0.0,
            tight=True,
        ),
        scale(
            "glide ratio, idle",
            "",
            [*ratios, flag_room([flag.value for flag in flags], ratios)],
            look.width * 0.42,
        ),
        look,
    )
    layers: Layers = []
    for index, line in enumerate(chosen):
        colour = series_of(look, index)
        layers += band(frame, line.x, line.low, line.high, colour.mark)
    wanted = []
    for index, line in enumerate(chosen):
        colour = series_of(look, index)
        layers += fitted(frame, line.x, line.median, colour.mark, flown=line.flown)
        layers += _points(frame, line, points, residuals, colour.mark)
        highest = max(float(np.max(each.median)) for each in chosen)
        wanted.append(
            Label(
                float(line.x[-1]),
                float(line.median[-1]),
                line.configuration,
                colour.text,
                "above" if float(np.max(line.median)) == highest else "below",
                "right",
            )
        )
    best = chosen[0]
    top = int(np.argmax(best.median))
    layers += claim_flags(
        frame,
        [
            Flag(flag.conditions.speed or float(best.x[top]), flag.value, flag.value_text, flag.published)
            for flag in flags
        ],
    )
    layers += labels(frame, wanted)
    title = (
        f"It glides best at {show(float(best.x[top]), units.speed, digits=0)}: "
        f"{show(float(best.median[top]), '', digits=1)} to 1, {best.configuration}"
    )
    alt = f"Glide ratio with the engine idle against calibrated airspeed, {best.condition}. {title}."
    return figure(frame, layers, title=title, alt=alt, margins=margins_for(look, frame))


def _points(
    frame: Frame, line: Line, points: Sequence[ClimbPoint], residuals: Sequence[Residual], colour: str
) -> Layers:
    rows = []
    for point in points:
        state, found = point.conditions, of_origin(residuals, point.origin, _SINK)
        if point.power != "idle" or not found or state.configuration != line.configuration:
            continue
        true, measured_rate = point.true_airspeed.value, found[0].measured
        speed = float(calibrated_from_true(true, state.pressure.value, state.temperature.value))
        ratio = value_at(line, speed) * found[0].fitted / measured_rate.value
        if np.isfinite(ratio):
            sd = abs(ratio / measured_rate.value) * (measured_rate.sd or 0.0)
            rows.append((speed, ratio, sd, f"{point.origin.card}, {point.origin.point}"))
    if not rows:
        return []
    x, y, sds, notes = (list(column) for column in zip(*rows, strict=True))
    return measured(frame, x, y, sds, colour, notes)
