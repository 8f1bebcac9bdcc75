"""Climb and glide points: rate of climb in steady flight at a true airspeed."""

import numpy as np

from wringout.quantity.dimensions import Dimension
from wringout.quantity.estimate import Estimate
from wringout.reduction.airspeed_flown import true_by_gps, true_by_indicator
from wringout.reduction.climb import specific_excess_power, tapeline_rate
from wringout.reduction.conditions import pressure_altitude
from wringout.reduction.flown import Flown
from wringout.reduction.points import ClimbPoint, LeftOut, PositionErrorCurve
from wringout.reduction.propagation import combine, propagate_scalar
from wringout.reduction.wind_aloft import WindField

GUST_CORRELATION_TIME = 5.0  # [s]: samples nearer than this repeat one another; common practice


def climb_point(one: Flown, curve: PositionErrorCurve, field: WindField) -> ClimbPoint | LeftOut:
    """A climb at full power or a glide at idle, brought to steady flight in uniform wind."""
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
    acceleration, acceleration_sd = _acceleration(one)
    value, sd = propagate_scalar(
        lambda x: specific_excess_power(x[0], x[1], x[2]),
        [rate.value, airspeed.value, acceleration],
        [rate.sd or 0.0, airspeed.sd or 0.0, acceleration_sd],
    )
    return ClimbPoint(
        origin=one.origin,
        conditions=one.conditions,
        power="full" if point.power == "full" else "idle",
        true_airspeed=airspeed,
        rate_of_climb=Estimate(
            value,
            sd,
            Dimension.SPEED,
            f"{rate.source}; {value - rate.value:+.2f} m/s for an acceleration of {acceleration:+.3f} m/s²",
        ),
    )


def _rate(one: Flown) -> Estimate | None:
    """Geometric rate of climb by satellite, by the altimeter's tapeline correction, or both weighted."""
    geometric = one.measure("rate_of_climb")
    barometric = one.measure("pressure_altitude_rate")
    if barometric is not None:
        air = one.conditions
        value, sd = propagate_scalar(
            lambda x: tapeline_rate(x[0], pressure_altitude(air), x[1]),
            [barometric.value, air.temperature.value],
            [barometric.sd or 0.0, air.temperature.sd or 0.0],
        )
        barometric = Estimate(
            value, sd, Dimension.SPEED, f"pressure altitude of {one.span} by T/T_std, {value:.2f} m/s"
        )
    if geometric is None or barometric is None or not geometric.sd or not barometric.sd:
        return geometric or barometric
    mean, sd, chi_squared = combine([geometric.value, barometric.value], [geometric.sd, barometric.sd])
    both = f"{geometric.value:.2f} m/s by height and {barometric.value:.2f} by pressure altitude, {one.span}"
    if chi_squared > 9.0:
        # The two disagree: neither is known to be wrong, so the figure is no better than their distance.
        sd = 0.5 * abs(geometric.value - barometric.value)
        return Estimate(
            0.5 * (geometric.value + barometric.value), sd, Dimension.SPEED, f"mean of {both}, which disagree"
        )
    return Estimate(mean, sd, Dimension.SPEED, f"weighted mean of {both}")


def _acceleration(one: Flown) -> tuple[float, float]:
    """Inertial acceleration along the flight path [m/s²] and its standard uncertainty, from the track.

    Measured over the ground it holds the change of airspeed and the wind's change with height at once: no
    gradient need be known.
    """
    track = one.flight.track
    inside = (track.time >= one.manoeuvre.start) & (track.time <= one.manoeuvre.end)
    if np.count_nonzero(inside) < 4:
        return 0.0, 0.05
    time = track.time[inside]
    velocity = np.column_stack([track.east_speed[inside], track.north_speed[inside]])
    mean = velocity.mean(axis=0)
    along = velocity @ mean / np.hypot(*mean)
    centred = time - time.mean()
    slope = float(centred @ along / (centred @ centred))
    residual = along - along.mean() - slope * centred
    duration = float(np.ptp(time))
    independent = max(min(time.size, duration / GUST_CORRELATION_TIME), 3.0)
    scatter = float(np.sqrt(np.mean(residual**2) + np.mean(track.speed_sd[inside]) ** 2))
    return slope, scatter * float(np.sqrt(12.0 / independent)) / duration
