"""Rate of climb against speed, and against altitude up to the service ceiling."""

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
    segments,
    series_of,
)
from wringout.charts.lines import Line, at_conditions_of, claimed, named, of_origin
from wringout.charts.scales import scale
from wringout.charts.theme import PAGE, Look
from wringout.dossier.claim import Claim
from wringout.dossier.dossier import Units
from wringout.model.fit import Residual
from wringout.physics.airspeed import calibrated_from_true
from wringout.physics.atmosphere import altitude_of_pressure
from wringout.quantity.showing import show
from wringout.reduction.points import ClimbPoint

CEILING_RATE = 0.508  # 100 ft/min [m/s], by which a service ceiling is defined
_RATE = ("rate of climb",)


def climb_speed_figure(
    lines: Sequence[Line],
    points: Sequence[ClimbPoint],
    residuals: Sequence[Residual],
    units: Units,
    *,
    look: Look = PAGE,
) -> Spec:
    """Rate of climb at full power against calibrated airspeed; points at the line's mass and altitude.

    Raises ValueError where there is no line named 'rate of climb against speed'.
    """
    chosen = _chosen(lines, "rate of climb against speed")
    frame = _frame(("calibrated airspeed", units.speed), chosen, units, look)
    layers = _lines(frame, chosen)
    placed = [(point, _calibrated(point)) for point in points]
    for index, line in enumerate(chosen):
        layers += _points(frame, line, placed, residuals, series_of(look, index).mark)
    best = chosen[0]
    top = int(np.argmax(best.median))
    title = (
        f"It climbs best at {show(float(best.x[top]), units.speed, digits=0)}: "
        f"{show(float(best.median[top]), units.vertical_speed, digits=0)}, {best.configuration}"
    )
    alt = f"Rate of climb at full power against calibrated airspeed, {best.condition}. {title}."
    layers += labels(frame, _names(frame, chosen))
    return figure(frame, layers, title=title, alt=alt, margins=margins_for(look, frame))


def climb_altitude_figure(
    lines: Sequence[Line],
    points: Sequence[ClimbPoint],
    residuals: Sequence[Residual],
    claims: Sequence[Claim],
    units: Units,
    *,
    look: Look = PAGE,
) -> Spec:
    """Best rate of climb against pressure altitude, with the rate that defines the service ceiling.

    Raises ValueError where there is no line named 'rate of climb against altitude'.
    """
    chosen = _chosen(lines, "rate of climb against altitude")
    flags = claimed(claims, "service ceiling", chosen)
    rates = claimed(claims, "rate of climb", chosen)
    across = "pressure altitude, standard day", units.height
    frame = _frame(
        across,
        chosen,
        units,
        look,
        more=[flag.value for flag in flags],
        claimed_rates=[*(flag.value for flag in rates), *(CEILING_RATE for _ in flags)],
        from_zero=True,
    )
    layers = _lines(frame, chosen)
    level = float(frame.y.shown(CEILING_RATE))
    layers.append(
        segments([(frame.x.low, level, frame.x.high, level)], look.palette.ink, look.hairline * 1.5)
    )
    rate = show(CEILING_RATE, units.vertical_speed, digits=0 if units.vertical_speed == "ft/min" else 1)
    words = f"service ceiling: {rate}"
    layers += labels(
        frame,
        [Label(chosen[0].x[0], CEILING_RATE, "  " + words, look.palette.ink, "above", "left")],
        size=look.small,
    )
    placed = [(point, float(altitude_of_pressure(point.conditions.pressure.value))) for point in points]
    for index, line in enumerate(chosen):
        layers += _points(frame, line, placed, residuals, series_of(look, index).mark)
    masts = [
        Flag(flag.conditions.pressure_altitude or 0.0, flag.value, flag.value_text, flag.published)
        for flag in rates
    ]
    masts += [Flag(flag.value, CEILING_RATE, flag.value_text, flag.published) for flag in flags]
    layers += claim_flags(frame, masts)
    layers += labels(frame, _names(frame, chosen))
    first = chosen[0]
    ceiling = _crossing(first)
    top = show(float(first.x[-1]), units.height, digits=-2)
    start, last = (show(float(first.median[k]), units.vertical_speed, digits=0) for k in (0, -1))
    end = f"and still at {last} at {top}"
    if ceiling is not None:
        end = f"and is down to {rate} at {show(ceiling, units.height, digits=-2)}"
    title = f"It climbs at {start} from sea level {end}, {first.configuration}"
    alt = f"Best rate of climb at full power against pressure altitude, {first.condition}. {title}."
    return figure(frame, layers, title=title, alt=alt, margins=margins_for(look, frame))


def _calibrated(point: ClimbPoint) -> float:
    state = point.conditions
    return float(
        calibrated_from_true(point.true_airspeed.value, state.pressure.value, state.temperature.value)
    )


def _chosen(lines: Sequence[Line], name: str) -> tuple[Line, ...]:
    chosen = named(lines, name)
    if not chosen:
        raise ValueError(f"no predicted line for the {name}")
    return chosen


def _frame(
    across: tuple[str, str],
    lines: Sequence[Line],
    units: Units,
    look: Look,
    *,
    more: Sequence[float] = (),
    claimed_rates: Sequence[float] = (),
    from_zero: bool = False,
) -> Frame:
    """`more` along x must be seen too; above `claimed_rates` there is room for their flags."""
    rates = [*(line.low for line in lines), *(line.high for line in lines)]
    rates.append(np.array(flag_room(claimed_rates, rates)))
    return Frame(
        scale(
            *across,
            [*(line.x for line in lines), more],
            look.width - look.small * 7.2,
            room=0.0,
            tight=True,
        ),
        scale(
            "rate of climb, full power", units.vertical_speed, rates, look.width * 0.42, from_zero=from_zero
        ),
        look,
    )


def _lines(frame: Frame, lines: Sequence[Line]) -> Layers:
    layers: Layers = []
    for index, line in enumerate(lines):
        layers += band(frame, line.x, line.low, line.high, series_of(frame.look, index).mark)
    for index, line in enumerate(lines):
        layers += fitted(frame, line.x, line.median, series_of(frame.look, index).mark, flown=line.flown)
    return layers


def _points(
    frame: Frame,
    line: Line,
    placed: Sequence[tuple[ClimbPoint, float]],
    residuals: Sequence[Residual],
    colour: str,
) -> Layers:
    rows = []
    for point, place in placed:
        found = of_origin(residuals, point.origin, _RATE)
        if point.power != "full" or not found or point.conditions.configuration != line.configuration:
            continue
        value, sd = at_conditions_of(line, place, found, additive=True)
        if np.isfinite(value):
            rows.append((place, value, sd, f"{point.origin.card}, {point.origin.point}"))
    if not rows:
        return []
    x, y, sds, notes = (list(column) for column in zip(*rows, strict=True))
    return measured(frame, x, y, sds, colour, notes)


def _names(frame: Frame, lines: Sequence[Line]) -> list[Label]:
    """Names near the left end, where the lines stand apart; the higher one above, the others below."""
    starts = [float(line.median[len(line.x) // 2]) for line in lines]
    return [
        Label(
            float(line.x[len(line.x) // 2]),
            start,
            line.configuration,
            series_of(frame.look, index).text,
            "above" if start == max(starts) else "below",
            "left" if start == max(starts) else "right",
        )
        for index, (line, start) in enumerate(zip(lines, starts, strict=True))
    ]


def _crossing(line: Line) -> float | None:
    """Where the line comes down to the rate of the service ceiling; None where it does not."""
    below = np.flatnonzero(line.median < CEILING_RATE)
    if below.size == 0 or below[0] == 0:
        return None
    k = int(below[0])
    return float(np.interp(-CEILING_RATE, -line.median[k - 1 : k + 1], line.x[k - 1 : k + 1]))
