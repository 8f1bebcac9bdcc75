"""People and things stowed for the most value under every limit of the whole flight, and what stays."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from wringout.airplane.airplane import Airplane
from wringout.airplane.lookups import unknown_name
from wringout.dossier.card import CardLoading
from wringout.dossier.dossier import Load
from wringout.loading.burn_limits import BurnLimits
from wringout.loading.fuel import fuel_problems
from wringout.loading.loading_report import LoadingReport
from wringout.loading.reporting import loading_report
from wringout.loading.stowage_program import Stowing, solve
from wringout.loading.stowage_rows import Column, StowageProblem, Wish
from wringout.loading.stowage_stop import NOTHING_GOES, Stop, stop_of
from wringout.problems import InputError, Problem


@dataclass(frozen=True, slots=True)
class Stowed:
    """Pieces of a load at one station."""

    load: Load
    station: str
    count: int = 1

    @property
    def mass(self) -> float:
        """Of these pieces together [kg]."""
        return self.count * self.load.mass


@dataclass(frozen=True, slots=True)
class LeftBehind:
    """Pieces of a load that do not go, and what stops the next one."""

    load: Load
    count: int
    stop: Stop


@dataclass(frozen=True, slots=True)
class Stowage:
    """What goes where, what stays, and the loading that it makes.

    `complete` where all that must go does, inside every limit; `value` is what goes counts for. `report`
    tells of the loading from the ramp to the last drop.
    """

    placed: tuple[Stowed, ...]
    left: tuple[LeftBehind, ...]
    loading: CardLoading
    report: LoadingReport
    complete: bool
    value: float

    @property
    def mass(self) -> float:
        """Of all that goes [kg]."""
        return math.fsum(item.mass for item in self.placed)


def stow(
    airplane: Airplane,
    configuration: str,
    loads: Sequence[Load],
    fuel: Mapping[str, float],
    taxi_fuel: float = 0.0,
    *,
    landing_fuel: float | None = None,
) -> Stowage:
    """Stows people and things so that the most value goes and no limit is broken at any moment of the flight.

    Parameters
    ----------
    airplane : Airplane
    configuration : str
    loads : sequence of Load
        Each with the stations that can take it, best first. Where not all that must go can, as many pieces
        of it as possible go; then the greatest sum of values; then the stations named first.
    fuel : mapping
        Usable fuel [m³] by tank at start-up.
    taxi_fuel : float
        Burnt before take-off [m³].
    landing_fuel : float, optional
        Usable aboard at landing [m³], for the limit of landing mass.

    Returns
    -------
    Stowage
        The best there is, proven; masses count as stated, without uncertainty. What lies in a station with a
        range of arms lies in its middle, or as near to it as the envelope needs.

    Raises
    ------
    InputError
        A load names an unknown station or none, or has a mass that is not positive; as `loading_report`.

    Notes
    -----
    A mixed-integer programme, see `wringout.loading.stowage_program`. A load whose every station has seats
    takes a seat of its own; things on a seat take it from a person; the first seat is not left empty where a
    load can sit there.
    """
    problems = [problem for load in loads for problem in load_problems(airplane, load)]
    problems += fuel_problems(airplane, fuel)
    if problems:
        raise InputError(*problems)
    limits = BurnLimits.of(airplane, configuration, fuel, taxi_fuel, landing_fuel)
    wishes = tuple(Wish(load, 0, load.count) for load in loads)
    found = best_stowing(limits, wishes) if wishes else None
    return stowage_of(limits, loads, found, (taxi_fuel, landing_fuel))


def stowage_of(
    limits: BurnLimits,
    loads: Sequence[Load],
    found: Stowing | None,
    flown: tuple[float, float | None] = (0.0, None),
) -> Stowage:
    """The loading of an answer, tested, and what stops each load that stays; `flown` as in `stow`."""
    loading = _loading(limits, loads, found)
    report = loading_report(limits.airplane, limits.empty.configuration, loading, *flown)
    pieces = {} if found is None else found.pieces
    gone = [sum(count for (wish, _), count in pieces.items() if wish == n) for n in range(len(loads))]
    placed = tuple(
        Stowed(load, station, pieces[n, station])
        for n, load in enumerate(loads)
        for station in (item.name for item in limits.airplane.stations)
        if (n, station) in pieces
    )
    left = tuple(
        LeftBehind(load, load.count - number, _stop(limits, loads, gone, n) if found else NOTHING_GOES)
        for n, (load, number) in enumerate(zip(loads, gone, strict=True))
        if number < load.count
    )
    complete = report.within and not any(item.load.must for item in left)
    return Stowage(
        placed, left, loading, report, complete, math.fsum(item.count * worth(item.load) for item in placed)
    )


def _stop(limits: BurnLimits, loads: Sequence[Load], gone: Sequence[int], index: int) -> Stop:
    """What stops a load; for one that must go, what may stay would make way."""
    way = [load.must or not loads[index].must for load in loads]
    carried = tuple(
        Wish(load, number if kept else 0, number) for load, number, kept in zip(loads, gone, way, strict=True)
    )
    return stop_of(limits, carried, index)


def worth(load: Load) -> float:
    """What a piece of a load counts for: its stated value, or its mass in kilograms."""
    return load.mass if load.value is None else load.value


def best_stowing(limits: BurnLimits, wishes: tuple[Wish, ...]) -> Stowing | None:
    """The most pieces that must go, then the most value, then their places; None where nothing is inside."""
    all_musts = tuple(replace(wish, least=wish.most if wish.load.must else 0) for wish in wishes)
    values = [worth(wish.load) for wish in wishes]
    problem = StowageProblem(limits, all_musts)
    found = solve(problem, problem.gain(values))
    if found is None:
        weight = 1.0 + math.fsum(value * wish.most for value, wish in zip(values, wishes, strict=True))
        problem = StowageProblem(limits, wishes)
        musts = [value + weight * wish.load.must for value, wish in zip(values, wishes, strict=True)]
        found = solve(problem, problem.gain(musts))
    if found is None:
        return None
    return _well_placed(limits, wishes, found)


def _well_placed(limits: BurnLimits, wishes: tuple[Wish, ...], found: Stowing) -> Stowing:
    """The same pieces, as many as may be at the stations that their loads name first."""
    fixed = StowageProblem(
        limits,
        tuple(
            replace(wish, least=number, most=number)
            for n, wish in enumerate(wishes)
            for number in [sum(count for (load, _), count in found.pieces.items() if load == n)]
        ),
    )
    order = [0.0 if item.wish is None else -_place(fixed, item) for item in fixed.columns]
    if not any(order[n] for n, item in enumerate(fixed.columns) if _lies(found, fixed, item)):
        return found
    return solve(fixed, order) or found


def _place(problem: StowageProblem, column: Column) -> float:
    """How far down a load's list of stations a column's station stands."""
    wish = problem.wishes[column.wish or 0]
    return float(wish.stations.index(problem.stations[column.station].name))


def _lies(found: Stowing, problem: StowageProblem, column: Column) -> bool:
    return column.wish is not None and (column.wish, problem.stations[column.station].name) in found.pieces


def _loading(limits: BurnLimits, loads: Sequence[Load], found: Stowing | None) -> CardLoading:
    """Masses by station; what may lie anywhere lies in the middle, or as near to it as the envelope needs."""
    masses: dict[str, float] = {}
    for (wish, station), count in ({} if found is None else found.pieces).items():
        masses[station] = masses.get(station, 0.0) + count * loads[wish].mass
    for station, mass in ({} if found is None else found.ballast).items():
        masses[station] = masses.get(station, 0.0) + mass
    share = 0.5 if found is None else _share(limits, found)
    arms = {
        station.name: station.arm + share * (station.arm_aft - station.arm)
        for station in limits.airplane.stations
        if station.name in masses and station.arm_aft != station.arm
    }
    return CardLoading(masses, arms, dict(limits.at_start), 0.0, 0.0)


def _share(limits: BurnLimits, found: Stowing) -> float:
    """How far back in their stations the loads lie, 0 to 1, where a station lets them lie anywhere."""
    low, high = found.moments
    if high <= low:
        return 0.5
    allowed = limits.allowed(found.payload, found.within)
    first, last = (min(max((end - low) / (high - low), 0.0), 1.0) for end in (allowed.low, allowed.high))
    return 0.5 if first <= 0.5 <= last else 0.5 * (first + last)


def load_problems(airplane: Airplane, load: Load) -> list[Problem]:
    """What is wrong with a load: a station that is not there, none at all, no mass, no piece."""
    known = [station.name for station in airplane.stations]
    field = f"load '{load.name}'"
    problems = [
        unknown_name("station", name, known).at(field=field) for name in load.stations if name not in known
    ]
    if not load.stations:
        problems.append(
            Problem("no station is named that can take it", "name one or more, best first", field=field)
        )
    if not (math.isfinite(load.mass) and load.mass > 0.0):
        problems.append(Problem(f"its mass is {load.mass:g} kg", "give a mass above zero", field=field))
    if load.count < 1:
        problems.append(Problem(f"there are {load.count} of it", "give one or more", field=field))
    return problems
