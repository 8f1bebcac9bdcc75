"""Level flight: speed against power."""

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
from wringout.quantity.showing import show
from wringout.reduction.points import LevelPoint


def speed_power_figure(
    lines: Sequence[Line],
    points: Sequence[LevelPoint],
    residuals: Sequence[Residual],
    *,
    claims: Sequence[Claim] = (),
    rated_power: float,
    units: Units,
    look: Look = PAGE,
) -> Spec:
    """True airspeed against shaft power, by configuration.

    A point stands beside the line by the power that the engine's log gave over the power that the fit says
    was needed in its own test conditions: its distance across from the line is its residual.

    Parameters
    ----------
    lines : sequence of Line
        Those named 'cruise speed against power'; x is power over rated power.
    points : sequence of LevelPoint
        As flown; those without a power from the engine's log have no residual and are not shown.
    residuals : sequence of Residual
        Measured and fitted in the test conditions.
    claims : sequence of Claim
        Cruise speeds with a power fraction are flagged.
    rated_power : float
        [W]
    units : Units
        Display units.
    look : Look
        Medium and palette.

    Raises
    ------
    ValueError
        There is no line.
    """
    chosen = named(lines, "cruise speed against power")
    if not chosen:
        raise ValueError("no predicted line for the cruise speed")
    flags = [item for item in claimed(claims, "cruise speed", chosen) if item.conditions.power_fraction]
    speeds = [*(line.low for line in chosen), *(line.high for line in chosen)]
    room = flag_room([flag.value for flag in flags], speeds)
    across = [line.x for line in chosen]
    frame = Frame(
        scale("shaft power of rated", "%", across, look.width - look.small * 7.2, tight=True),
        scale("true airspeed, level", units.speed, [*speeds, room], look.width * 0.42, room=0.02),
        look,
    )
    layers: Layers = []
    shown = 0
    for index, line in enumerate(chosen):
        colour = series_of(look, index)
        layers += band(frame, line.x, line.low, line.high, colour.mark)
        layers += fitted(frame, line.x, line.median, colour.mark, flown=line.flown)
        rows = []
        for point in points:
            found = of_origin(residuals, point.origin, ("power for level flight",))
            if not found or point.conditions.configuration != line.configuration:
                continue
            needed, logged = found[0].fitted / rated_power, found[0].measured
            speed = value_at(line, needed)
            if np.isfinite(speed):
                note = f"{point.origin.card}, {point.origin.point}"
                rows.append((logged.value / rated_power, speed, (logged.sd or 0.0) / rated_power, note))
        if rows:
            x, y, sds, notes = (list(column) for column in zip(*rows, strict=True))
            layers += measured(frame, x, y, [0.0] * len(x), colour.mark, notes, x_sd=sds)
            shown += len(rows)
    layers += claim_flags(
        frame,
        [
            Flag(flag.conditions.power_fraction or 0.0, flag.value, flag.value_text, flag.published)
            for flag in flags
        ],
    )
    layers += labels(frame, _names(frame, chosen))
    return figure(
        frame,
        layers,
        title=_title(chosen, units),
        alt=f"True airspeed in level flight against power, {chosen[0].condition}. "
        f"{_title(chosen, units)}. {shown} points.",
        margins=margins_for(look, frame),
    )


def _names(frame: Frame, lines: Sequence[Line]) -> list[Label]:
    """The faster line is named above its end, the others below theirs."""
    fastest = max(float(line.median[-1]) for line in lines)
    return [
        Label(
            float(line.x[-1]),
            float(line.median[-1]),
            line.configuration,
            series_of(frame.look, index).text,
            "above" if float(line.median[-1]) == fastest else "below",
            "right",
        )
        for index, line in enumerate(lines)
    ]


def _title(lines: Sequence[Line], units: Units) -> str:
    at = 0.75 if np.isfinite(value_at(lines[0], 0.75)) else float(lines[0].x[-1])
    parts = [f"{show(value_at(line, at), units.speed, digits=0)} ({line.configuration})" for line in lines]
    return f"At {100 * at:.0f} % power it cruises at {' and '.join(parts)}"
