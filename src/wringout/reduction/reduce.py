"""Every manoeuvre of a dossier reduced to test points: the whole of reduction on one page."""

from collections.abc import Iterable, Sequence

import numpy as np

from wringout.airplane.airplane import Airplane
from wringout.dossier.card import CardPoint
from wringout.dossier.dossier import Strip
from wringout.manoeuvres.manoeuvre import Manoeuvre
from wringout.problems import InputError
from wringout.quantity.dimensions import Dimension
from wringout.quantity.estimate import Estimate
from wringout.reduction.assign import assign
from wringout.reduction.classical import classical_results
from wringout.reduction.climb_points import climb_point
from wringout.reduction.conditions import conditions, height_offset
from wringout.reduction.flown import Flight, Flown
from wringout.reduction.fuel_burn import fuel_burn
from wringout.reduction.ground_points import landing_point, takeoff_point
from wringout.reduction.level_groups import LevelGroup, SolvedLevels, as_one, solve_levels
from wringout.reduction.level_points import level_points
from wringout.reduction.points import (
    ClimbPoint,
    LandingPoint,
    LeftOut,
    Points,
    TakeoffPoint,
)
from wringout.reduction.position_error_points import position_error_curves
from wringout.reduction.stall_points import stall_points
from wringout.reduction.wind_aloft import AloftWind, WindField, turn_winds


def reduce(flights: Sequence[Flight], airplane: Airplane, strips: Sequence[Strip]) -> Points:
    """All flights of a dossier reduced to test points.

    Parameters
    ----------
    flights : sequence of Flight
        Card, recording, smoothed track and manoeuvres of each flight.
    airplane : Airplane
    strips : sequence of Strip
        Strips that take-off and landing points may name.

    Returns
    -------
    Points
        Each in its own test conditions with standard uncertainties; whatever gave no point is in `left_out`
        with the reason.

    Notes
    -----
    The order matters: level legs give the winds and true airspeeds, these the position error, and with both
    every other airspeed is known.
    """
    flown, left = _flown(flights, airplane, strips)
    groups = [LevelGroup(one, legs) for one, legs in flown if one.point.kind == "level"]
    solved: list[SolvedLevels] = []
    for flight in flights:
        of_flight = [group for group in groups if group.flown.flight is flight]
        found, undetermined = solve_levels(of_flight)
        solved.extend(found)
        left.extend(undetermined)
    field = WindField(
        tuple(one.wind for one in solved) + tuple(wind for flight in flights for wind in turn_winds(flight))
    )
    singles = [one for one, _ in flown if one.point.kind != "level"]
    stalls = [one for one in singles if one.point.kind == "stall"]
    curves = position_error_curves(airplane, solved, singles, field)
    by_flap = {curve.flap: curve for curve in curves}

    climbs: list[ClimbPoint] = []
    takeoffs: list[TakeoffPoint] = []
    landings: list[LandingPoint] = []
    by_name = {strip.name: strip for strip in strips}
    for one in singles:
        curve = by_flap[one.point.flap]
        strip = by_name.get(one.point.strip or "")
        result: ClimbPoint | TakeoffPoint | LandingPoint | LeftOut | None = None
        if one.point.kind in {"climb", "glide"}:
            result = climb_point(one, curve, field)
        elif one.point.kind == "take-off":
            result = takeoff_point(one, airplane, strip, curve)
        elif one.point.kind == "landing":
            result = landing_point(one, airplane, strip, curve)
        match result:
            case ClimbPoint():
                climbs.append(result)
            case TakeoffPoint():
                takeoffs.append(result)
            case LandingPoint():
                landings.append(result)
            case LeftOut():
                left.append(result)
    stalled, unstalled = stall_points(airplane, stalls, by_flap, field)
    left.extend(unstalled)
    levels = level_points(airplane, solved)
    return Points(
        stalls=stalled,
        levels=levels,
        climbs=tuple(climbs),
        takeoffs=tuple(takeoffs),
        landings=tuple(landings),
        position_error=tuple(curve for curve in curves if curve.points),
        winds=tuple(_as_estimates(one.wind) for one in solved),
        left_out=tuple(left),
        classical=classical_results(airplane, levels, tuple(climbs)),
    )


def _flown(
    flights: Sequence[Flight], airplane: Airplane, strips: Sequence[Strip]
) -> tuple[list[tuple[Flown, tuple[Manoeuvre, ...]]], list[LeftOut]]:
    """Every assigned manoeuvre (level legs of one point as one) in its conditions."""
    by_name = {strip.name: strip for strip in strips}
    known_flaps = {flap.name for flap in airplane.flaps}
    result: list[tuple[Flown, tuple[Manoeuvre, ...]]] = []
    left: list[LeftOut] = []
    for flight in flights:
        assigned, unassigned = assign(flight)
        left.extend(unassigned)
        try:
            burn = fuel_burn(flight, airplane)
        except InputError as error:
            left.extend(_refused(flight, (point for point, _ in assigned), error))
            continue
        offset = height_offset(flight, assigned, strips)
        for point, manoeuvres in assigned:
            if point.flap not in known_flaps:
                left.append(
                    LeftOut(
                        flight.card.name,
                        point.id,
                        f"flap setting '{point.flap}' is not one of the airplane's",
                    )
                )
                continue
            together = (
                [(as_one(manoeuvres), manoeuvres)]
                if point.kind == "level"
                else [(m, (m,)) for m in manoeuvres]
            )
            try:
                for manoeuvre, parts in together:
                    air = conditions(
                        flight,
                        airplane,
                        point,
                        manoeuvre,
                        burn=burn,
                        offset=offset,
                        strip=by_name.get(point.strip or ""),
                    )
                    result.append((Flown(flight, point, manoeuvre, air), parts))
            except (InputError, ValueError) as error:
                left.extend(_refused(flight, (point,), error))
    return result, left


def _refused(flight: Flight, points: Iterable[CardPoint], error: Exception) -> list[LeftOut]:
    reason = error.problems[0].sentence() if isinstance(error, InputError) else str(error)
    return [LeftOut(flight.card.name, point.id, reason) for point in points]


def _as_estimates(wind: AloftWind) -> tuple[str, Estimate, Estimate]:
    """A wind as the direction it blows from [rad] and its speed [m/s], at the middle of its legs."""
    velocity = np.mean(wind.velocity, axis=0)
    mean = np.tile(np.eye(2), len(wind.moments)) / len(wind.moments)
    covariance = mean @ wind.covariance @ mean.T
    speed = float(np.hypot(*velocity))
    source = f"level legs of {wind.label}"
    along = velocity / speed if speed > 0.0 else np.array([1.0, 0.0])
    across = np.array([-along[1], along[0]])
    speed_sd = float(np.sqrt(along @ covariance @ along))
    direction_sd = float(np.sqrt(across @ covariance @ across)) / speed if speed > 0.0 else np.pi
    direction = float(np.mod(np.arctan2(-velocity[0], -velocity[1]), 2.0 * np.pi))
    return (
        wind.label,
        Estimate(direction, min(direction_sd, float(np.pi)), Dimension.ANGLE, source),
        Estimate(speed, speed_sd, Dimension.SPEED, source),
    )
