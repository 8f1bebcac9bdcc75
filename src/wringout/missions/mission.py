"""A reader's mission answered: what goes, what stays, the fuel it takes, whether every strip is enough."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from types import MappingProxyType

import numpy as np
from numpy.typing import NDArray

from wringout.airplane.airplane import Airplane
from wringout.dossier.dossier import Load, Mission, Strip, Units
from wringout.loading import Stowage, capacity, most_fuel
from wringout.missions.carrying import Carried, LegFuel, carry
from wringout.missions.field import Distance, FieldFinding, Movement, field_finding
from wringout.missions.flying import LegFlown, Performance, fly
from wringout.missions.legs import Leg, best_order, known_strip, legs_of, precedences
from wringout.missions.mission_words import Outcome, Told
from wringout.missions.trip import Allowances, range_with
from wringout.quantity.dimensions import Dimension
from wringout.quantity.estimate import Estimate

FloatArray = NDArray[np.float64]

CAUTION = (
    "The approved flight manual and the weight-and-balance record govern; local regulations and licensed "
    "practice come first. This is for evaluation and reporting, not for dispatch."
)

_UNITS = Units()
_NO_STRIPS: Mapping[str, Strip] = MappingProxyType({})


@dataclass(frozen=True, slots=True)
class FuelRow:
    """One part of the trip's fuel: volume [m³] and mass [kg]."""

    name: str
    volume: float
    mass: float


@dataclass(frozen=True, slots=True)
class FieldAsked:
    """A take-off or landing whose distance over 15 m is asked for, at a mass [kg]."""

    movement: Movement
    strip: Strip
    mass: float


Distances = Callable[[Sequence[FieldAsked]], Sequence[Distance]]


@dataclass(frozen=True, slots=True)
class LegAnswer:
    """A leg as it is flown: altitude [m], time [s], fuel [m³] burnt from start-up, aboard before and after.

    `filled` [m³] is what was put in before it. `stowage` says what is aboard and where.
    """

    leg: Leg
    top: float
    time: Estimate
    burnt: Estimate
    fuel_at_start: float
    fuel_at_end: Estimate
    filled: float
    stowage: Stowage


@dataclass(frozen=True, slots=True)
class MissionAnswer:
    """A mission's answer, the sentence first.

    `fuel` is what the trip takes at the ramp to where there is fuel again, reserve included [m³]; `reasons`
    say what binds or fails, one clause each, most weighty first; `placement` is the stowage of the leg that
    is nearest to a limit, with all that stays, None where the tanks do not hold the fuel; `room` is what
    more could go on that leg [kg], divided at will; `furthest` how far the same loads go at most [m].
    """

    mission: Mission
    outcome: Outcome
    sentence: str
    reasons: tuple[str, ...]
    fuel: Estimate
    fuel_rows: tuple[FuelRow, ...]
    placement: Stowage | None
    fields: tuple[FieldFinding, ...]
    notes: tuple[str, ...]
    caution: str = CAUTION
    legs: tuple[LegAnswer, ...] = ()
    time: Estimate | None = None
    room: float | None = None
    furthest: Estimate | None = None


def answer(
    mission: Mission,
    airplane: Airplane,
    performance: Performance,
    *,
    strips: Mapping[str, Strip] = _NO_STRIPS,
    distances: Distances | None = None,
    units: Units = _UNITS,
    inverse: bool = True,
) -> MissionAnswer:
    """Whether a mission can be flown, with what aboard, and what binds.

    Parameters
    ----------
    mission : Mission
    airplane : Airplane
    performance : Performance
        At the mission's cruise altitude and power, draw by draw.
    strips : mapping
        Those that the mission names, by name.
    distances : callable, optional
        Asked for every take-off and landing at once; left out, no strip is tested, and the answer says so.
    units : Units
        For the words.
    inverse : bool
        Whether to ask as well how much more could go, and how far what goes can go.

    Returns
    -------
    MissionAnswer
        'yes' where all that must go is inside limits, the tanks hold the fuel and the factored distances
        fit with a probability of 0.90 or more; 'no' where something fails with a probability of 0.90 or
        more; else 'uncertain'.

    Raises
    ------
    InputError
        The mission names a strip that is not given; as `carry`.
    ValueError
        As `fly`.

    Notes
    -----
    The fuel carried is the median of what the trip takes, reserve included, or what the mission fills. A
    mission with a distance does not say at which end of the trip its strip lies: take-off is reckoned at
    take-off mass, landing with half the cruise still to fly, the worse for a trip there and back.
    """
    route, legs = _way(mission, performance, strips)
    flown = tuple(fly(leg, performance) for leg in legs)
    plan = _Plan.of(mission, route, flown, performance)
    found = Told(mission, airplane, units)
    found.tanks(plan.needed, plan.filled_short)
    fuel = _estimate(plan.needed[0], Dimension.VOLUME, "trip, median of the draws")
    rows = _fuel_rows(flown, mission.reserve * performance.fuel_flow, airplane.fuel.density)
    time = _estimate(
        np.sum([item.time for item in flown], axis=0), Dimension.TIME, "trip, from take-offs to landings"
    )
    if max(plan.starts) > sum(tank.usable for tank in airplane.tanks) + 1e-9:
        return MissionAnswer(
            mission, *found.said(None, fuel), fuel, rows, None, (), tuple(found.notes), time=time
        )
    carried = carry(airplane, mission.configuration, mission.loads, plan.fuels, route)
    placement = _shown(carried)
    found.stowed(placement, carried.complete)
    answers = _legs(flown, plan, carried)
    fields = _fields(mission, strips, answers, flown, distances)
    if distances is None and (mission.strip is not None or route):
        found.untested([mission.strip] if mission.strip else list(dict.fromkeys(route)))
    found.fields(fields)
    if mission.any_order:
        found.ordered(route)
    for item in answers:
        found.low(item.leg, item.top, performance.altitude)
    room = _room(airplane, mission, carried, plan) if inverse else (None, "")
    found.room(room)
    return MissionAnswer(
        mission,
        *found.said(placement, fuel),
        fuel,
        rows,
        placement,
        fields,
        tuple(dict.fromkeys(found.notes)),
        legs=answers,
        time=time,
        room=room[0],
        furthest=_furthest(airplane, mission, carried.loads, performance, legs[0]) if inverse else None,
    )


def _way(
    mission: Mission, performance: Performance, strips: Mapping[str, Strip]
) -> tuple[tuple[str, ...], tuple[Leg, ...]]:
    """The strips in the order in which they are flown, and the legs between them."""
    if not mission.any_order or len(mission.route) < 4:
        return mission.route, legs_of(mission, strips)
    stops = mission.route[1:-1]
    places = (*stops, mission.route[0], mission.route[-1])
    typical = performance.typical

    def taken(one: str, other: str) -> float:
        (leg,) = legs_of(mission, strips, (one, other))
        return float(fly(leg, typical).fuel[0])

    cost = [[0.0 if one == other else taken(one, other) for other in places] for one in places]
    order, _ = best_order(cost, precedences(mission.loads, stops))
    route = (mission.route[0], *(stops[number] for number in order), mission.route[-1])
    return route, legs_of(mission, strips, route)


def _legs(flown: Sequence[LegFlown], plan: _Plan, carried: Carried) -> tuple[LegAnswer, ...]:
    """Each leg; what is left at its end is as uncertain as all that was burnt since the last filling."""
    answers = []
    burnt: FloatArray = np.zeros(1)
    for item, start, filled, stowage in zip(flown, plan.starts, plan.filled, carried.stowages, strict=True):
        burnt = item.fuel if filled > 0.0 else burnt + item.fuel
        end = _estimate(burnt, Dimension.VOLUME, "burnt since the last filling")
        left = start - float(np.median(item.fuel))
        answers.append(
            LegAnswer(
                item.leg,
                item.top,
                _estimate(item.time, Dimension.TIME, "leg"),
                _estimate(item.fuel, Dimension.VOLUME, "leg"),
                start,
                replace(end, value=left),
                filled,
                stowage,
            )
        )
    return tuple(answers)


@dataclass(frozen=True, slots=True)
class _Plan:
    """Fuel along the way [m³]: needed from each filling to the next, before, after and put in at each leg."""

    needed: tuple[FloatArray, ...]
    starts: tuple[float, ...]
    filled: tuple[float, ...]
    fuels: tuple[LegFuel, ...]
    filled_short: tuple[float, FloatArray] | None

    @staticmethod
    def of(
        mission: Mission, route: Sequence[str], flown: Sequence[LegFlown], performance: Performance
    ) -> _Plan:
        reserve = mission.reserve * performance.fuel_flow
        begins = [
            number
            for number, item in enumerate(flown)
            if number == 0 or item.leg.start in (route[0], *mission.fuel_at)
        ]
        needed = tuple(
            np.sum([item.fuel for item in flown[first:last]], axis=0) + reserve
            for first, last in zip(begins, [*begins[1:], len(flown)], strict=True)
        )
        starts, filled, fuels, aboard = [], [], [], 0.0
        for number, item in enumerate(flown):
            wanted = aboard
            if number in begins:
                wanted = float(np.median(needed[begins.index(number)]))
                if number == 0 and mission.fuel is not None:
                    wanted = mission.fuel
                wanted = max(wanted, aboard)
            burnt = float(np.median(item.fuel))
            starts.append(wanted)
            filled.append(wanted - aboard)
            taxi = min(performance.taxi_fuel, wanted)
            aboard = max(wanted - burnt, 0.0)
            fuels.append(LegFuel(wanted, taxi, min(aboard, wanted - taxi)))
        short = None if mission.fuel is None else (mission.fuel, needed[0])
        return _Plan(needed, tuple(starts), tuple(filled), tuple(fuels), short)


def _shown(carried: Carried) -> Stowage:
    """The stowage of the leg that is nearest to a limit, with all that stays behind."""
    stowage = carried.stowages[carried.tightest]
    return replace(stowage, left=carried.left, complete=carried.complete)


def _fields(
    mission: Mission,
    strips: Mapping[str, Strip],
    legs: Sequence[LegAnswer],
    flown: Sequence[LegFlown],
    distances: Distances | None,
) -> tuple[FieldFinding, ...]:
    asked: list[FieldAsked] = []
    for item, how in zip(legs, flown, strict=True):
        report = item.stowage.report
        off, empty = report.state("take-off").mass.value, report.state("zero fuel").mass.value
        density = (report.state("ramp").mass.value - empty) / max(item.fuel_at_start, 1e-9)
        start, end = item.leg.start or mission.strip, item.leg.end or mission.strip
        left = item.fuel_at_end.value
        if item.leg.end is None:
            left += 0.5 * float(np.median(how.cruise_fuel))
        if start is not None:
            asked.append(FieldAsked("take-off", known_strip(mission, start, strips), off))
        if end is not None:
            asked.append(FieldAsked("landing", known_strip(mission, end, strips), empty + left * density))
    if distances is None or not asked:
        return ()
    found = distances(asked)
    return tuple(
        field_finding(item.movement, item.strip, item.mass, distance)
        for item, distance in zip(asked, found, strict=True)
    )


def _fuel_rows(flown: Sequence[LegFlown], reserve: FloatArray, density: float) -> tuple[FuelRow, ...]:
    parts = {
        "taxi": [item.taxi_fuel for item in flown],
        "climb": [item.climb_fuel for item in flown],
        "cruise": [item.cruise_fuel for item in flown],
        "descent": [item.descent_fuel for item in flown],
        "reserve": [reserve],
    }
    volumes = {name: float(np.median(np.sum(values, axis=0))) for name, values in parts.items()}
    return tuple(FuelRow(name, volume, volume * density) for name, volume in volumes.items())


def _room(airplane: Airplane, mission: Mission, carried: Carried, plan: _Plan) -> tuple[float | None, str]:
    """How much more could go on the tightest leg [kg], and what would then bind."""
    number = carried.tightest
    most = capacity(airplane, mission.configuration, plan.starts[number])
    more = float(most.payload[0]) - carried.stowages[number].mass
    if carried.left or not more > 0.0:
        return None, ""
    return more, most.binding[0]


def _furthest(
    airplane: Airplane, mission: Mission, loads: Sequence[Load], performance: Performance, leg: Leg
) -> Estimate | None:
    """How far what goes can go at most on one filling, with the mission's reserve and wind."""
    if not loads:
        return None
    fuel = most_fuel(airplane, mission.configuration, loads, performance.taxi_fuel)
    if fuel is None:
        return None
    up = fly(replace(leg, distance=1e7), performance)
    reached = range_with(
        fuel,
        performance.fuel_flow,
        performance.true_airspeed,
        mission.reserve,
        head_wind=mission.head_wind,
        allowances=Allowances(
            performance.taxi_fuel,
            float(np.median(up.climb_fuel)),
            float(np.median(up.climb_time)),
            float(np.median(up.climb_time * performance.climb_speed)),
        ),
    )
    return _estimate(reached, Dimension.LENGTH, "all that goes, as much fuel as it leaves, climb and reserve")


def _estimate(draws: FloatArray, dimension: Dimension, source: str) -> Estimate:
    values = np.atleast_1d(draws)
    sd = float(np.std(values, ddof=1)) if values.size > 1 else None
    return Estimate(float(np.median(values)), sd, dimension, source)
