"""Climb and glide points: rate of climb in steady flight at a true airspeed."""

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from wringout.manoeuvres.heights import USUAL_WANDER
from wringout.manoeuvres.steady import BLOCK, MOST_BLOCKS, steady_mean
from wringout.physics.constants import GRAVITY
from wringout.problems import InputError
from wringout.quantity.dimensions import Dimension
from wringout.quantity.estimate import Estimate
from wringout.reduction.airspeed_flown import true_by_gps, true_by_indicator
from wringout.reduction.climb import specific_excess_power, tapeline_rate
from wringout.reduction.conditions import pressure_altitude
from wringout.reduction.flown import Flown, timestamp
from wringout.reduction.points import ClimbPoint, LeftOut, PositionErrorCurve
from wringout.reduction.propagation import combine, propagate_scalar
from wringout.reduction.wind_aloft import WIND_SD, WindField

FloatArray = NDArray[np.float64]

# Smooth air rises and sinks too: the same run flown again differs by so much, less by the root of the time
# that it lasts longer. Before the runs of a flight tell, and worth so many; common practice, no source.
RESTLESS_SD = 0.10  # [m/s] …
RESTLESS_TIME = 80.0  # … over so many seconds
RESTLESS_WEIGHT = 2.0
PART = 7.5  # [s] of a run, at least, that is held against the others
PARTS = (4, MOST_BLOCKS)
# A line through a random walk has this times the variance of the walk's ends; textbook.
LINE_THROUGH_WALK = 1.2
UNKNOWN_ACCELERATION_SD = 0.05  # [m/s²] where no track shows it


@dataclass(frozen=True, slots=True)
class _Run:
    """A climb or glide: airspeed, rate of height by its sensors, acceleration along the path [m/s²].

    `restlessness` [m²/s] is the variance of its rate of energy height times its duration, None where the
    track does not show it.
    """

    one: Flown
    airspeed: Estimate
    rate: Estimate
    acceleration: float
    acceleration_sd: float
    restlessness: float | None

    @property
    def duration(self) -> float:
        return self.one.manoeuvre.end - self.one.manoeuvre.start


def climb_points(
    climbs: Sequence[Flown], curves: Mapping[str, PositionErrorCurve], field: WindField
) -> tuple[tuple[ClimbPoint, ...], tuple[LeftOut, ...]]:
    """Climbs at full power and glides at idle, brought to steady flight in uniform wind.

    The runs of a flight tell together how restless its air was. What gives no point is left out with the
    reason.
    """
    flights: dict[str, list[_Run]] = defaultdict(list)
    left: list[LeftOut] = []
    for one in climbs:
        try:
            run = _run(one, curves[one.point.flap], field)
        except (InputError, ValueError) as error:
            reason = error.problems[0].sentence() if isinstance(error, InputError) else str(error)
            run = LeftOut(one.flight.card.name, one.point.id, f"{one.span}: {reason}")
        if isinstance(run, LeftOut):
            left.append(run)
        else:
            flights[one.flight.card.name].append(run)
    return (
        tuple(_point(run, restlessness(runs)) for runs in flights.values() for run in runs),
        tuple(left),
    )


def restlessness(runs: Sequence[_Run]) -> float:
    """Variance of the rate of energy height times duration [m²/s], by all runs of one flight."""
    shown = [run.restlessness for run in runs if run.restlessness is not None]
    usual = RESTLESS_SD**2 * RESTLESS_TIME
    return (RESTLESS_WEIGHT * usual + sum(shown)) / (RESTLESS_WEIGHT + len(shown))


def _run(one: Flown, curve: PositionErrorCurve, field: WindField) -> _Run | LeftOut:
    card, point = one.flight.card, one.point
    if point.power == "part":
        reason = "a climb at part power stands for no standard condition; fly it at full power or idle"
        return LeftOut(card.name, point.id, reason)
    airspeed = true_by_indicator(one, curve) or true_by_gps(one, field)
    if airspeed is None:
        reason = f"the {point.kind} of {one.span} has no indicated airspeed, and no level legs give the wind"
        return LeftOut(card.name, point.id, reason)
    rate = _rate(one)
    if rate is None:
        return LeftOut(card.name, point.id, f"the {point.kind} of {one.span} has no rate of climb")
    return _Run(one, airspeed, rate, *_along_track(one, airspeed.value, field))


def _point(run: _Run, restless: float) -> ClimbPoint:
    value, sd = propagate_scalar(
        lambda x: specific_excess_power(x[0], x[1], x[2]),
        [run.rate.value, run.airspeed.value, run.acceleration],
        [run.rate.sd or 0.0, run.airspeed.sd or 0.0, run.acceleration_sd],
    )
    air_sd = float(np.sqrt(LINE_THROUGH_WALK * restless / max(run.duration, 1.0)))
    source = (
        f"{run.rate.source}; {value - run.rate.value:+.2f} m/s for an acceleration of "
        f"{run.acceleration:+.3f} m/s²; ± {air_sd:.2f} m/s by the rise and sink of the air"
    )
    return ClimbPoint(
        origin=run.one.origin,
        conditions=run.one.conditions,
        power="full" if run.one.point.power == "full" else "idle",
        true_airspeed=run.airspeed,
        rate_of_climb=Estimate(value, float(np.hypot(sd, air_sd)), Dimension.SPEED, source),
    )


def _rate(one: Flown) -> Estimate | None:
    """Geometric rate of climb by satellite, by the altimeter's tapeline correction, or both weighted.

    The uncertainty is the sensors': that of the air is in both alike.
    """
    duration = max(one.manoeuvre.end - one.manoeuvre.start, 1.0)
    geometric = one.measure("rate_of_climb")
    if geometric is not None:
        sd = _drift_sd("geometric height", duration)
        geometric = Estimate(geometric.value, sd, Dimension.SPEED, geometric.source)
    barometric = one.measure("pressure_altitude_rate")
    if barometric is not None:
        air = one.conditions
        value, sd = propagate_scalar(
            lambda x: tapeline_rate(x[0], pressure_altitude(air), x[1]),
            [barometric.value, air.temperature.value],
            [_drift_sd("pressure altitude", duration), air.temperature.sd or 0.0],
        )
        barometric = Estimate(
            value, sd, Dimension.SPEED, f"pressure altitude of {one.span} by T/T_std, {value:.2f} m/s"
        )
    if geometric is None or barometric is None:
        return geometric or barometric
    mean, sd, chi_squared = combine(
        [geometric.value, barometric.value], [geometric.sd or 0.0, barometric.sd or 0.0]
    )
    both = f"{geometric.value:.2f} m/s by height and {barometric.value:.2f} by pressure altitude, {one.span}"
    if chi_squared > 9.0:
        # The two disagree: neither is known to be wrong, so the figure is no better than their distance.
        sd = 0.5 * abs(geometric.value - barometric.value)
        return Estimate(
            0.5 * (geometric.value + barometric.value), sd, Dimension.SPEED, f"mean of {both}, which disagree"
        )
    return Estimate(mean, sd, Dimension.SPEED, f"weighted mean of {both}")


def _drift_sd(sensor: str, duration: float) -> float:
    """Standard uncertainty [m/s] of the slope of a line through heights whose error wanders."""
    return USUAL_WANDER[sensor] * float(np.sqrt(LINE_THROUGH_WALK / duration))


def _along_track(one: Flown, airspeed: float, field: WindField) -> tuple[float, float, float | None]:
    """Inertial acceleration along the flight path [m/s²] and its uncertainty, and the restlessness [m²/s].

    Measured over the ground the acceleration holds the change of airspeed and the wind's change with height
    at once: no gradient need be known. Only its part along the motion through the air counts, for which the
    wind must be known roughly. It and the rate of climb are slopes of lines over the same samples, so that
    speed exchanged for height on the way adds nothing to their sum.
    """
    track = one.flight.track
    inside = (track.time >= one.manoeuvre.start) & (track.time <= one.manoeuvre.end)
    if np.count_nonzero(inside) < 4:
        return 0.0, UNKNOWN_ACCELERATION_SD, None
    time = track.time[inside]
    velocity = np.column_stack([track.east_speed[inside], track.north_speed[inside]])
    mean, moment = velocity.mean(axis=0), timestamp(one.flight, float(time.mean()))
    wind, wind_sd = np.zeros(2), WIND_SD
    if field:
        found, covariance = field.at(np.array([moment]), np.array([np.mean(track.up[inside])]))
        wind, wind_sd = found[0], float(np.sqrt(np.trace(covariance) / 2.0))
    air = (mean - wind) / max(float(np.hypot(*(mean - wind))), 1.0)
    along, across = velocity @ air, velocity @ np.array([-air[1], air[0]])
    centred = time - time.mean()
    slopes = centred @ np.column_stack([along, across]) / (centred @ centred)
    acceleration_sd = abs(float(slopes[1])) * min(wind_sd / max(airspeed, 1.0), 1.0)
    energy_height = track.up[inside] + airspeed / GRAVITY * along
    return float(slopes[0]), acceleration_sd, _restlessness(time, energy_height)


def _restlessness(time: FloatArray, energy_height: FloatArray) -> float | None:
    """Variance of the rate, by parts of a run, times its duration; what the receiver's height did is off."""
    duration = float(np.ptp(time))
    slopes = [
        (energy_height[part[-1]] - energy_height[part[0]]) / (time[part[-1]] - time[part[0]])
        for part in np.array_split(np.arange(time.size), int(np.clip(duration / PART, *PARTS)))
        if part.size > 1 and time[part[-1]] > time[part[0]]
    ]
    # As moments a block apart: each part is a witness of its own.
    spread = steady_mean(BLOCK * np.linspace(0.0, len(slopes), len(slopes)), np.array(slopes))
    if spread is None or not np.isfinite(spread.sd):
        return None
    # Student's widening is for few parts alone; here the runs of a flight and the usual are many.
    variance = spread.sd**2 * (len(slopes) - 3) / (len(slopes) - 1)
    return max(variance * duration - USUAL_WANDER["geometric height"] ** 2, 0.0)
