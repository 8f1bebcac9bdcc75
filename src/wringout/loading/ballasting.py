"""The least ballast at a station that brings a loading inside its envelope through the whole burn."""

import math
from collections.abc import Callable
from dataclasses import dataclass, replace
from itertools import pairwise

import numpy as np

from wringout.airplane import lookups
from wringout.airplane.airplane import Airplane, Station
from wringout.dossier.card import CardLoading
from wringout.loading.loading_report import LoadingReport
from wringout.loading.reporting import loading_report

_MOST = 2000.0  # kg tried at a station without a limit
_TRIALS = 400


@dataclass(frozen=True, slots=True)
class Ballast:
    """Ballast [kg] at a station and the loading with it; `mass` is None where none helps."""

    station: str
    mass: float | None
    before: LoadingReport
    after: LoadingReport | None
    reason: str


def ballast(
    airplane: Airplane,
    configuration: str,
    loading: CardLoading,
    station: str,
    taxi_fuel: float = 0.0,
) -> Ballast:
    """Least ballast at one station that brings a loading inside every limit from the ramp to the last drop.

    Parameters
    ----------
    airplane : Airplane
    configuration : str
    loading : CardLoading
        The loading without ballast; of a station with a range of arms it gives the arm used.
    station : str
        Where the ballast goes; what is there already counts against its limit.
    taxi_fuel : float
        Burnt before take-off [m³].

    Returns
    -------
    Ballast
        Mass to the gram, rounded up.

    Raises
    ------
    InputError
        As `loading_report`, or the station is unknown.

    Notes
    -----
    Masses up to what the station and the highest mass allow are tried in even steps, the first that is
    inside is narrowed by halving, so that an envelope of any shape is served. For one limit this is W
    (limit − x)/(arm − limit) [FAA-H-8083-1, ch. 5].
    """
    place = lookups.station(airplane, station)
    before = loading_report(airplane, configuration, loading, taxi_fuel)
    if before.within:
        return Ballast(station, 0.0, before, before, "The loading is inside every limit without ballast.")
    already = loading.stations.get(station, 0.0)

    def with_ballast(mass: float) -> LoadingReport:
        stations = {**loading.stations, station: already + mass}
        return loading_report(airplane, configuration, replace(loading, stations=stations), taxi_fuel)

    most = _most(place, already, before)
    tried = np.linspace(0.0, most, _TRIALS + 1) if most > 0.0 else np.zeros(1)
    for low, high in pairwise(tried):
        if with_ballast(float(high)).within:
            mass = _narrow(lambda trial: with_ballast(trial).within, float(low), float(high))
            after = with_ballast(mass)
            return Ballast(station, mass, before, after, f"{mass:.1f} kg at {station} brings it inside.")
    reason = (
        f"No ballast at {station} brings the loading inside, up to the {most:.1f} kg that its limit and the "
        f"highest mass leave. {before.sentence()}"
    )
    return Ballast(station, None, before, None, reason)


def _most(station: Station, already: float, before: LoadingReport) -> float:
    room = math.inf if station.mass_limit is None else station.mass_limit - already
    return max(min(_MOST, room, *(state.mass_margin for state in before.states)), 0.0)


def _narrow(inside: Callable[[float], bool], low: float, high: float) -> float:
    while high - low > 1e-3:
        middle = 0.5 * (low + high)
        low, high = (low, middle) if inside(middle) else (middle, high)
    return high
