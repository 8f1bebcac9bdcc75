"""What would let a load go that stays behind, the cheapest change first."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Literal

from wringout.airplane.airplane import Airplane
from wringout.dossier.dossier import Load
from wringout.loading.burn_limits import BurnLimits
from wringout.loading.fuel import fuel_in_tanks
from wringout.loading.stowage import Stowage, load_problems, stowage_of
from wringout.loading.stowage_fuel import most_that
from wringout.loading.stowage_program import Stowing, solve
from wringout.loading.stowage_rows import StowageProblem, Wish, is_person
from wringout.problems import InputError, Problem

ChangeKind = Literal["move", "fuel", "ballast", "configuration"]

_NEAR = 1e-4  # kg·m by which a moment may miss while ballast is sought
_SPARE = 0.01  # kg of ballast more than the programme's own rounding asks for


@dataclass(frozen=True, slots=True)
class Move:
    """Pieces of a load put at a station that it does not name."""

    load: str
    station: str


@dataclass(frozen=True, slots=True)
class Change:
    """One change that lets a load go beside everything that goes now, and the stowage that it makes.

    `moves` for things put elsewhere than they name; `fuel` usable at start-up [m³] and `less` of it [m³];
    `ballast` [kg] by station; `configuration` by its name.
    """

    kind: ChangeKind
    load: str
    stowage: Stowage
    moves: tuple[Move, ...] = ()
    fuel: float | None = None
    less: float = 0.0
    ballast: Mapping[str, float] | None = None
    configuration: str | None = None


def changes(
    airplane: Airplane,
    configuration: str,
    loads: Sequence[Load],
    fuel: Mapping[str, float],
    *,
    stowage: Stowage,
    load: str,
    taxi_fuel: float = 0.0,
    landing_fuel: float | None = None,
    least_fuel: float = 0.0,
) -> tuple[Change, ...]:
    """Single changes with which a load that stays goes, and all that goes now still does; cheapest first.

    Parameters
    ----------
    airplane : Airplane
    configuration : str
    loads : sequence of Load
    fuel : mapping
        Usable fuel [m³] by tank at start-up.
    stowage : Stowage
        What `stow` answers to these.
    load : str
        The name of the load that is to go, all its pieces.
    taxi_fuel, landing_fuel : float
        As in `stow` [m³].
    least_fuel : float
        Usable fuel at start-up [m³] below which there is nothing to try: what the flight takes.

    Returns
    -------
    tuple of Change
        Things put at stations that they do not name, as few as may be; as little less fuel as will do; the
        least ballast; another configuration. Empty where none of them alone lets it go.

    Raises
    ------
    InputError
        There is no such load; as `stow`.
    """
    names = [item.name for item in loads]
    if load not in names:
        raise InputError(
            Problem(f"there is no load '{load}'", f"use one of {', '.join(names)}", field="load")
        )
    problems = [problem for item in loads for problem in load_problems(airplane, item)]
    if problems:
        raise InputError(*problems)
    asked = _Asked(
        airplane, configuration, tuple(loads), fuel, _goal(loads, stowage, load), taxi_fuel, landing_fuel
    )
    found = (
        asked.moved(load),
        asked.lighter(load, least_fuel),
        asked.ballasted(load),
        *asked.otherwise(load),
    )
    return tuple(change for change in found if change is not None)


def _goal(loads: Sequence[Load], stowage: Stowage, load: str) -> tuple[Wish, ...]:
    """What is to go: what goes now, and all of the load."""
    goal = []
    for item in loads:
        gone = sum(placed.count for placed in stowage.placed if placed.load is item)
        number = item.count if item.name == load else gone
        goal.append(Wish(item, number, number))
    return tuple(goal)


@dataclass(frozen=True, slots=True)
class _Asked:
    airplane: Airplane
    configuration: str
    loads: tuple[Load, ...]
    fuel: Mapping[str, float]
    goal: tuple[Wish, ...]
    taxi_fuel: float
    landing_fuel: float | None

    def limits(self, fuel: Mapping[str, float] | None = None) -> BurnLimits:
        return BurnLimits.of(
            self.airplane,
            self.configuration,
            self.fuel if fuel is None else fuel,
            self.taxi_fuel,
            self.landing_fuel,
        )

    def answer(self, limits: BurnLimits, found: Stowing) -> Stowage:
        return stowage_of(limits, self.loads, found, (self.taxi_fuel, self.landing_fuel))

    def moved(self, load: str) -> Change | None:
        """With things, and as few of them as will do, at stations that can hold things and are not theirs."""
        stations = self.airplane.stations
        room = tuple(station.name for station in stations if station.holds != "people")
        wishes = tuple(
            wish if is_person(wish.load, stations) else replace(wish, extra=room) for wish in self.goal
        )
        problem = StowageProblem(self.limits(), wishes)
        cost = [
            0.0
            if item.wish is None or stations[item.station].name in wishes[item.wish].load.stations
            else -(1.0 + 1e-3 * item.mass)
            for item in problem.columns
        ]
        found = solve(problem, cost)
        if found is None:
            return None
        moves = tuple(
            Move(wishes[wish].load.name, station)
            for wish, station in found.pieces
            if station not in wishes[wish].load.stations
        )
        return Change("move", load, self.answer(problem.limits, found), moves) if moves else None

    def lighter(self, load: str, least: float) -> Change | None:
        """With less fuel, as little less as will do."""
        aboard = math.fsum(self.fuel.values())
        floor = max(least, self.taxi_fuel + (self.landing_fuel or 0.0))
        if aboard - floor <= 1e-6:
            return None
        found = most_that(self._with, floor, aboard)
        if found is None or aboard - found[0] <= 1e-6:
            return None
        volume, (stowing, limits) = found
        return Change("fuel", load, self.answer(limits, stowing), fuel=volume, less=aboard - volume)

    def ballasted(self, load: str) -> Change | None:
        """With ballast, the least of it, where things can lie."""
        places = tuple(item.name for item in self.airplane.stations if item.holds != "people")
        problem = StowageProblem(self.limits(), self.goal, ballast=places)
        cost = [-1.0 if item.wish is None else 0.0 for item in problem.columns]
        found = solve(problem, cost, tolerance=_NEAR)
        if found is None or not found.ballast:
            return None
        ballast = {name: mass + _SPARE for name, mass in found.ballast.items()}
        answer = self.answer(problem.limits, replace(found, ballast=ballast))
        if not answer.report.within:
            return None
        return Change("ballast", load, answer, ballast=ballast)

    def otherwise(self, load: str) -> Iterator[Change | None]:
        """In another configuration."""
        for other in self.airplane.configurations:
            if other.name != self.configuration:
                asked = replace(self, configuration=other.name)
                limits = asked.limits()
                found = solve(StowageProblem(limits, self.goal), _nothing(limits, self.goal))
                if found is not None:
                    yield Change("configuration", load, asked.answer(limits, found), configuration=other.name)

    def _with(self, volume: float) -> tuple[Stowing, BurnLimits] | None:
        limits = self.limits(fuel_in_tanks(self.airplane.tanks, volume))
        found = solve(StowageProblem(limits, self.goal), _nothing(limits, self.goal))
        return None if found is None else (found, limits)


def _nothing(limits: BurnLimits, goal: tuple[Wish, ...]) -> list[float]:
    """No arrangement gains more than another, but stations that loads name first are liked."""
    problem = StowageProblem(limits, goal)
    return [
        0.0
        if item.wish is None
        else -1e-3 * goal[item.wish].stations.index(problem.stations[item.station].name)
        for item in problem.columns
    ]
