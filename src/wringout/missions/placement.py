"""People and things placed on stations, first fit, and tested against every limit over the whole burn."""

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from itertools import islice, product

from wringout.airplane.airplane import Airplane, Station
from wringout.airplane.lookups import unknown_name
from wringout.dossier.card import CardLoading
from wringout.dossier.dossier import Load, Units
from wringout.loading import LoadingReport, binding_words, loading_report, place_limits
from wringout.problems import InputError, Problem

_MOST_TRIALS = 400
_UNITS = Units()


@dataclass(frozen=True, slots=True)
class Placed:
    """A load and the station that it was given."""

    load: Load
    station: str


@dataclass(frozen=True, slots=True)
class LeftBehind:
    """A load that was not placed, and what stopped it."""

    load: Load
    reason: str


@dataclass(frozen=True, slots=True)
class Placement:
    """What goes where, what stays, and the loading; `complete` where all that must go is inside limits."""

    placed: tuple[Placed, ...]
    left: tuple[LeftBehind, ...]
    loading: CardLoading
    report: LoadingReport
    complete: bool


def place(
    airplane: Airplane,
    configuration: str,
    loads: tuple[Load, ...],
    fuel: Mapping[str, float],
    taxi_fuel: float = 0.0,
    *,
    landing_fuel: float = 0.0,
    units: Units = _UNITS,
) -> Placement:
    """Places loads first fit: what must go, then the rest in the order given.

    Parameters
    ----------
    airplane : Airplane
    configuration : str
    loads : tuple of Load
        Each with the stations that can take it, best first.
    fuel : mapping
        Usable fuel [m³] by tank at start-up.
    taxi_fuel : float
        Burnt before take-off [m³].
    landing_fuel : float
        Usable aboard at landing [m³].
    units : Units
        For the words.

    Returns
    -------
    Placement
        Found first, not proven best: other places might carry more. Masses count as stated, without
        uncertainty.

    Raises
    ------
    InputError
        A load names an unknown station or none, or has a mass that is not positive; as `loading_report`.

    Notes
    -----
    Arrangements of what must go are tried in order of preference, at most 400, until one is inside every
    limit from ramp to the last drop; where a station allows a range of arms its middle, forward and aft
    ends are tried. What may stay is then added where it first fits. Where not all that must go fits, it is
    placed one by one.
    """
    problems = [problem for load in loads for problem in _load_problems(airplane, load)]
    if problems:
        raise InputError(*problems)
    trial = _Trial(airplane, configuration, fuel, taxi_fuel, landing_fuel, units)
    must = tuple(load for load in loads if load.must)
    may = tuple(load for load in loads if not load.must)
    for stations in islice(product(*(load.stations for load in must)), _MOST_TRIALS):
        placed = tuple(Placed(load, station) for load, station in zip(must, stations, strict=True))
        if trial.room_for(placed):
            found = trial.placement(placed)
            if found.report.within:
                return _add(trial, found, may)
    return _add(trial, trial.placement(()), must + may)


@dataclass(frozen=True, slots=True)
class _Trial:
    airplane: Airplane
    configuration: str
    fuel: Mapping[str, float]
    taxi_fuel: float
    landing_fuel: float
    units: Units

    def placement(self, placed: tuple[Placed, ...], left: tuple[LeftBehind, ...] = ()) -> Placement:
        """With the first set of arms that is inside limits, or else the nearest to them."""
        nearest: Placement | None = None
        for loading in self._loadings(placed):
            report = loading_report(
                self.airplane, self.configuration, loading, self.taxi_fuel, self.landing_fuel
            )
            complete = report.within and not any(item.load.must for item in left)
            found = Placement(placed, left, loading, report, complete)
            if report.within:
                return found
            if nearest is None or report.binding.share > nearest.report.binding.share:
                nearest = found
        assert nearest is not None
        return nearest

    def room_for(self, placed: tuple[Placed, ...]) -> bool:
        """Whether seats and the limits of places hold; the envelope is not asked."""
        if self.seats_taken_twice(placed) is not None:
            return False
        loading = next(self._loadings(placed))
        return all(check.within for check in place_limits(self.airplane, loading))

    def stopped(self, report: LoadingReport, station: str) -> str:
        """Why a load does not go to a station, in words."""
        return f"in {station} {binding_words(report.binding, self.units.mass, self.units.arm)}"

    def seats_taken_twice(self, placed: tuple[Placed, ...]) -> str | None:
        """A station for people that is given more loads than it has seats."""
        for station in self.airplane.stations:
            given = sum(item.station == station.name for item in placed)
            if station.holds == "people" and 0 < station.seats < given:
                return station.name
        return None

    def _loadings(self, placed: tuple[Placed, ...]) -> Iterator[CardLoading]:
        masses: dict[str, float] = {}
        for item in placed:
            masses[item.station] = masses.get(item.station, 0.0) + item.load.mass
        ranged = [
            station
            for station in self.airplane.stations
            if station.name in masses and station.arm_aft != station.arm
        ]
        for arms in product(*(_arms(station) for station in ranged)):
            chosen = {station.name: arm for station, arm in zip(ranged, arms, strict=True)}
            yield CardLoading(masses, chosen, dict(self.fuel), 0.0, 0.0)


def _add(trial: _Trial, start: Placement, loads: tuple[Load, ...]) -> Placement:
    """Adds loads one by one, each where it first fits, to what is placed."""
    now = start
    for load in loads:
        reason, nearest = "no seat is free", -math.inf
        for station in load.stations:
            placed = (*now.placed, Placed(load, station))
            if trial.seats_taken_twice(placed) is not None:
                continue
            found = trial.placement(placed, now.left)
            if found.report.within or _on_the_way(found.report, now.report):
                now = found
                break
            if found.report.binding.share > nearest:
                reason, nearest = trial.stopped(found.report, station), found.report.binding.share
        else:
            now = trial.placement(now.placed, (*now.left, LeftBehind(load, reason)))
    return now


def _on_the_way(new: LoadingReport, old: LoadingReport) -> bool:
    """Whether a load brings a loading that is still outside no farther out, and breaks no mass limit."""
    heavy = [not check.within for check in new.limits] + [state.mass_margin < 0.0 for state in new.states]
    return not old.within and not any(heavy) and new.binding.share >= old.binding.share


def _arms(station: Station) -> tuple[float, float, float]:
    return (0.5 * (station.arm + station.arm_aft), station.arm, station.arm_aft)


def _load_problems(airplane: Airplane, load: Load) -> list[Problem]:
    known = [station.name for station in airplane.stations]
    field = f"load '{load.name}'"
    problems = [
        unknown_name("station", name, known).at(field=field) for name in load.stations if name not in known
    ]
    if not load.stations:
        problems.append(
            Problem("no station is named that can take it", "name one or more, best first", field=field)
        )
    if not load.mass > 0.0:
        problems.append(Problem(f"its mass is {load.mass:g} kg", "give a mass above zero", field=field))
    return problems
