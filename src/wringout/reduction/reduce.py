"""Every manoeuvre of a dossier reduced to test points: the whole of reduction on one page."""

from collections.abc import Callable, Iterable, Sequence
from typing import Concatenate, ParamSpec, TypeVar

from wringout.airplane.airplane import Airplane
from wringout.dossier.card import Card
from wringout.dossier.dossier import Strip
from wringout.problems import InputError
from wringout.reduction.camera_points import filmed_alone, with_cameras
from wringout.reduction.classical import classical_results
from wringout.reduction.climb_points import climb_points
from wringout.reduction.flown import Flight, Flown
from wringout.reduction.in_conditions import in_conditions
from wringout.reduction.landing_points import landing_point
from wringout.reduction.level_groups import LevelGroup, SolvedLevels, UnsolvedLevels, solve_levels
from wringout.reduction.level_points import indicated_level_points, level_points
from wringout.reduction.points import LeftOut, Points
from wringout.reduction.position_error_points import position_error_curves, winds_of_levels
from wringout.reduction.stall_points import stall_points
from wringout.reduction.takeoff_points import takeoff_point
from wringout.reduction.wind_aloft import WindField, as_estimates, turn_winds

Made = TypeVar("Made")
P = ParamSpec("P")


def reduce(
    flights: Sequence[Flight], airplane: Airplane, strips: Sequence[Strip], unrecorded: Sequence[Card] = ()
) -> Points:
    """All flights of a dossier reduced to test points.

    Parameters
    ----------
    flights : sequence of Flight
        Card, recording, smoothed track and manoeuvres of each flight.
    airplane : Airplane
    strips : sequence of Strip
        Strips that take-off and landing points may name.
    unrecorded : sequence of Card
        Cards without a recording; what a camera filmed of them is all there is.

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
    flown, unflown = in_conditions(flights, airplane, strips)
    groups = [LevelGroup(one, legs) for one, legs in flown if one.point.kind == "level"]
    solved, unsolved = _solve(flights, groups)
    turns = tuple(wind for flight in flights for wind in turn_winds(flight))
    field = WindField((*(one.wind for one in solved), *turns))
    singles = [one for one, _ in flown if one.point.kind != "level"]
    compared = [*singles, *(leg for one in unsolved for leg in one.legs)]
    curves = {curve.flap: curve for curve in position_error_curves(airplane, solved, compared, field)}
    by_name = {strip.name: strip for strip in strips}

    rolls, weighed = with_cameras([one for one in singles if one.point.kind in {"take-off", "landing"}])
    shown = {(one.flight.card.name, one.point.id) for one in rolls}
    alone, filmed, unfilmed = filmed_alone(flights, unrecorded, airplane, strips, shown)
    rolls += alone
    only_filmed = {(one.flight.card.name, one.point.id) for one in alone}

    indicated, unindicated = indicated_level_points(airplane, unsolved, curves)
    levels = (*level_points(airplane, solved), *indicated)
    climbs, unclimbed = climb_points(
        [one for one in singles if one.point.kind in {"climb", "glide"}], curves, field
    )
    stalls, unstalled = stall_points(
        airplane, [one for one in singles if one.point.kind == "stall"], curves, field
    )
    takeoffs, unlifted = _parted(
        _attempt(takeoff_point, one, airplane, by_name.get(one.point.strip or ""), curves[one.point.flap])
        for one in rolls
        if one.point.kind == "take-off"
    )
    landings, unlanded = _parted(
        _attempt(landing_point, one, airplane, by_name.get(one.point.strip or ""), curves[one.point.flap])
        for one in rolls
        if one.point.kind == "landing"
    )
    return Points(
        stalls=stalls,
        levels=levels,
        climbs=climbs,
        takeoffs=takeoffs,
        landings=landings,
        position_error=tuple(curve for curve in curves.values() if curve.points),
        winds=tuple(
            as_estimates(wind)
            for wind in (*(one.wind for one in solved), *winds_of_levels(airplane, unsolved, compared, field))
        ),
        left_out=(
            *(one for one in unflown if (one.card, one.point) not in only_filmed),
            *unindicated,
            *unclimbed,
            *unstalled,
            *unfilmed,
            *unlifted,
            *unlanded,
        ),
        classical=classical_results(airplane, levels, climbs),
        cameras=(*weighed, *filmed),
    )


def _solve(
    flights: Sequence[Flight], groups: Sequence[LevelGroup]
) -> tuple[list[SolvedLevels], list[UnsolvedLevels]]:
    solved: list[SolvedLevels] = []
    left: list[UnsolvedLevels] = []
    for flight in flights:
        found, undetermined = solve_levels([group for group in groups if group.flown.flight is flight])
        solved.extend(found)
        left.extend(undetermined)
    return solved, left


def _attempt(
    make: Callable[Concatenate[Flown, P], Made | LeftOut], one: Flown, *rest: P.args, **named: P.kwargs
) -> Made | LeftOut:
    """A point, or why a formula refused its figures."""
    try:
        return make(one, *rest, **named)
    except (InputError, ValueError) as error:
        reason = error.problems[0].sentence() if isinstance(error, InputError) else str(error)
        return LeftOut(one.flight.card.name, one.point.id, f"{one.span}: {reason}")


def _parted(results: Iterable[Made | LeftOut]) -> tuple[tuple[Made, ...], tuple[LeftOut, ...]]:
    """Points made, and what was left out."""
    made: list[Made] = []
    left: list[LeftOut] = []
    for result in results:
        if isinstance(result, LeftOut):
            left.append(result)
        else:
            made.append(result)
    return tuple(made), tuple(left)
