"""A loading that is tried, stowed: where each thing goes best, what stays and why, what would help."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from wringout.airplane.airplane import Airplane, Station
from wringout.dossier.dossier import Dossier, Load, Units
from wringout.dossier.trial import Thing, Trial, plain
from wringout.loading import Change, Stowage, changes, stow
from wringout.missions.mission_words import goes_words
from wringout.quantity.showing import show


@dataclass(frozen=True, slots=True)
class StowedTrial:
    """A trial with everything where it goes best; `words` say what goes and stays, `mends` what helps."""

    trial: Trial
    stowage: Stowage
    words: str
    mends: tuple[str, ...]


def stowed_trial(dossier: Dossier, trial: Trial) -> StowedTrial:
    """Everything of a trial stowed for its fuel.

    Parameters
    ----------
    dossier : Dossier
        A thing that a mission names goes where the mission lets it; another on any seat where it sits on one,
        and else wherever things may lie, its own place first.
    trial : Trial

    Returns
    -------
    StowedTrial

    Raises
    ------
    InputError
        As `stow`.
    """
    airplane, units = dossier.airplane, dossier.units
    weighed = [thing for thing in trial.things if thing.mass > 0.0]
    loads = tuple(
        Load(thing.name, thing.mass, _places(dossier, airplane.stations, thing), thing.must)
        for thing in weighed
    )
    found = stow(
        airplane, trial.configuration, loads, trial.fuel, trial.taxi_fuel, landing_fuel=trial.landing_fuel
    )
    places = {id(item.load): item.station for item in found.placed}
    laid = {
        id(thing): _laid(thing, places.get(id(load)), found)
        for thing, load in zip(weighed, loads, strict=True)
    }
    things = tuple(laid.get(id(thing), thing) for thing in trial.things)
    new = replace(trial, things=things)
    return StowedTrial(
        new, found, f"{goes_words(found, units)}.", _mends(airplane, trial, loads, found, units)
    )


def _laid(thing: Thing, station: str | None, found: Stowage) -> Thing:
    return replace(thing, station=station, arm=found.loading.station_arms.get(station or ""))


def _places(dossier: Dossier, stations: Sequence[Station], thing: Thing) -> tuple[str, ...]:
    """Where a thing may go, best first."""
    for mission in dossier.missions:
        for load in mission.loads:
            if thing.name == load.name or thing.name.rstrip("0123456789 ") == load.name:
                return load.stations
    seats = [station.name for station in stations if station.seats > 0 and station.holds != "things"]
    rooms = [station.name for station in stations if station.holds != "people"]
    wanted = seats if thing.station in seats else rooms
    own = [thing.station] if thing.station in wanted else []
    return tuple(dict.fromkeys((*own, *wanted)))


def _mends(
    airplane: Airplane, trial: Trial, loads: Sequence[Load], found: Stowage, units: Units
) -> tuple[str, ...]:
    if not found.left:
        return ()
    stays = min(found.left, key=lambda item: (not item.load.must, -item.load.mass)).load
    every = changes(
        airplane,
        trial.configuration,
        loads,
        trial.fuel,
        stowage=found,
        load=stays.name,
        taxi_fuel=trial.taxi_fuel,
        landing_fuel=trial.landing_fuel,
    )
    return tuple(change_words(change, units) for change in every)


def change_words(change: Change, units: Units) -> str:
    """'With 12 L less fuel the crate goes.'"""
    if change.kind == "move":
        moved = " and ".join(f"{move.load} in the {move.station}" for move in change.moves)
        how = f"With {moved}"
    elif change.kind == "fuel":
        how = f"With {plain(change.less, units.fuel, 0)} less fuel"
    elif change.kind == "ballast":
        ballast = change.ballast or {}
        how = "With " + " and ".join(
            f"{show(mass, units.mass, digits=1)} of ballast in the {name}" for name, mass in ballast.items()
        )
    else:
        how = f"In the {change.configuration} configuration"
    return f"{how} {change.load} goes."
