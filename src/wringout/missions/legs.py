"""The legs of a mission: from strip to strip, how far, on which track, in what wind, in which order."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise

from wringout.dossier.dossier import Load, Mission, Strip
from wringout.dossier.places import distance_and_track, placed
from wringout.problems import InputError, Problem


@dataclass(frozen=True, slots=True)
class Leg:
    """From take-off to landing; `start` and `end` are strips, None where the mission names none.

    `distance` [m] over the ground, `track` true [rad] or None; `head_wind` and `cross_wind` [m/s] aloft;
    elevations [m].
    """

    start: str | None
    end: str | None
    distance: float
    track: float | None
    head_wind: float
    cross_wind: float
    start_elevation: float
    end_elevation: float


def legs_of(
    mission: Mission, strips: Mapping[str, Strip], route: Sequence[str] | None = None
) -> tuple[Leg, ...]:
    """The legs of a mission in order: those of its route, or the one of its distance.

    Parameters
    ----------
    mission : Mission
    strips : mapping
        The strips by name.
    route : sequence of str, optional
        In place of the mission's own.

    Raises
    ------
    InputError
        A strip of the route, or the mission's own, is not described, or one of the route has no place.
    """
    if not mission.route:
        height = 0.0 if mission.strip is None else known_strip(mission, mission.strip, strips).elevation
        return (Leg(None, None, mission.distance, None, mission.head_wind, 0.0, height, height),)
    names = tuple(mission.route if route is None else route)
    return tuple(
        _leg(mission, known_strip(mission, one, strips), known_strip(mission, other, strips))
        for one, other in pairwise(names)
    )


def known_strip(mission: Mission, name: str, strips: Mapping[str, Strip]) -> Strip:
    """The strip of that name; InputError where it is not described."""
    if name not in strips:
        raise InputError(
            Problem(
                f"the mission uses the strip '{name}', which is not given",
                "describe it in strips.csv or correct the name",
                field=f"mission '{mission.name}'",
            )
        )
    return strips[name]


def aboard(loads: Sequence[Load], route: Sequence[str], leg: int) -> tuple[int, ...]:
    """Which of the loads are aboard on a leg, by their place in the list.

    Raises InputError where a load is put off before it is taken on.
    """
    there = []
    for index, load in enumerate(loads):
        first, last = _span(load, route)
        if first <= leg < last:
            there.append(index)
    return tuple(there)


def _span(load: Load, route: Sequence[str]) -> tuple[int, int]:
    """The first leg on which a load is aboard, and the first after it on which it no longer is."""
    if not route:
        return 0, 1
    first = 0 if load.taken_on is None else route.index(load.taken_on)
    if load.put_off is None:
        return first, len(route) - 1
    later = [place for place, name in enumerate(route) if name == load.put_off and place > first]
    if not later:
        what = f"it is put off at '{load.put_off}' before it is taken on"
        raise InputError(Problem(what, "correct the order of the route", field=f"load '{load.name}'"))
    return first, later[0]


def precedences(loads: Sequence[Load], stops: Sequence[str]) -> tuple[tuple[int, int], ...]:
    """Which stops must come before which, for loads taken on at one and put off at another."""
    places = {name: index for index, name in enumerate(stops)}
    return tuple(
        (places[load.taken_on], places[load.put_off])
        for load in loads
        if load.taken_on in places and load.put_off in places
    )


def best_order(
    cost: Sequence[Sequence[float]], before: Sequence[tuple[int, int]] = ()
) -> tuple[tuple[int, ...], float]:
    """The order of stops of least cost from a start to an end, exact.

    Parameters
    ----------
    cost : sequence of sequence of float
        `cost[i][j]` of the leg from i to j; the start is the last but one, the end the last, the stops
        before them.
    before : sequence of (int, int)
        Pairs of stops of which the first must be reached before the second.

    Returns
    -------
    tuple of int, float
        The stops in order, and what it costs. Infinite, in the order given, where no order keeps `before`.

    Notes
    -----
    Held and Karp's recursion over the sets of stops reached [HeldKarp1962, from memory].
    """
    count = len(cost) - 2
    start, end = count, count + 1
    if count == 0:
        return (), float(cost[start][end])
    needed = [0] * count
    for first, second in before:
        needed[second] |= 1 << first
    best: dict[tuple[int, int], tuple[float, int]] = {
        (1 << stop, stop): (cost[start][stop], -1) for stop in range(count) if not needed[stop]
    }
    for reached in range(1, 1 << count):
        for last in range(count):
            here = best.get((reached, last))
            if here is None:
                continue
            for stop in range(count):
                if reached >> stop & 1 or needed[stop] & ~reached:
                    continue
                key = (reached | 1 << stop, stop)
                total = here[0] + cost[last][stop]
                if key not in best or total < best[key][0]:
                    best[key] = (total, last)
    every = (1 << count) - 1
    ends = [(best[every, last][0] + cost[last][end], last) for last in range(count) if (every, last) in best]
    if not ends:
        return tuple(range(count)), math.inf
    total, last = min(ends)
    order, reached = [], every
    while last != -1:
        order.append(last)
        reached, last = reached & ~(1 << last), best[reached, last][1]
    return tuple(reversed(order)), float(total)


def _leg(mission: Mission, one: Strip, other: Strip) -> Leg:
    if not (placed(one) and placed(other)):
        lost = one.name if not placed(one) else other.name
        raise InputError(
            Problem(
                f"where '{lost}' lies is not known",
                "add the columns latitude and longitude to strips.csv, in degrees",
                field=f"mission '{mission.name}'",
            )
        )
    distance, track = distance_and_track(one, other)
    head, cross = mission.head_wind, 0.0
    if mission.wind_from is not None:
        angle = mission.wind_from - track
        head, cross = mission.wind_speed * math.cos(angle), mission.wind_speed * math.sin(angle)
    return Leg(one.name, other.name, distance, track, head, cross, one.elevation, other.elevation)
