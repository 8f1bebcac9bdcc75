"""A loading that was tried, written where it is to stay: a card's loading, or what a mission carries."""

from __future__ import annotations

from collections.abc import Mapping

from wringout.airplane.airplane import Airplane
from wringout.dossier.card import CardLoading
from wringout.dossier.dossier import Units
from wringout.dossier.editing import Content, value_at
from wringout.dossier.table_editing import with_table, without_table
from wringout.dossier.trial import Thing, Trial, plain
from wringout.problems import InputError, Problem
from wringout.quantity.showing import arm_digits

_STATIONS, _ARMS, _FUEL = ("loading", "stations"), ("loading", "station_arms"), ("loading", "fuel")


def with_card_loading(
    file: str, data: bytes, trial: Trial, loading: CardLoading, *, airplane: Airplane, units: Units
) -> bytes:
    """The bytes of a card with the trial as its loading.

    Parameters
    ----------
    file : str
    data : bytes
        The card.
    trial : Trial
        What was tried; a station with one thing keeps its mass as typed.
    loading : CardLoading
        The same, summed up by station.
    airplane : Airplane
    units : Units
        In which sums are written.

    Raises
    ------
    InputError
        The card has no [loading], or is not TOML.
    """
    if value_at(file, data, ("loading",)) is None:
        raise InputError(Problem("the card has no [loading]", "add it by hand", file))
    stations: dict[str, Content] = {}
    arms: dict[str, Content] = {}
    for station in airplane.stations:
        aboard = [thing for thing in trial.things if thing.station == station.name]
        listed = value_at(file, data, (*_STATIONS, station.name)) is not None
        mass = loading.stations.get(station.name, 0.0)
        text = aboard[0].text if len(aboard) == 1 else plain(mass, units.mass, 1)
        if aboard or listed:
            stations[station.name] = text if aboard else f"0 {units.mass}"
        arm = loading.station_arms.get(station.name)
        arms[station.name] = None if arm is None else plain(arm, units.arm, arm_digits(units.arm))
    new = with_table(file, data, _STATIONS, stations)
    if any(value is not None for value in arms.values()) or value_at(file, data, _ARMS) is not None:
        new = with_table(file, new, _ARMS, arms)
    new = with_table(file, new, _FUEL, dict(trial.fuel_text))
    return with_table(file, new, (), {"configuration": trial.configuration})


def with_mission_loads(file: str, data: bytes, mission: str, trial: Trial, *, airplane: Airplane) -> bytes:
    """The bytes of missions.toml with what was tried as what a mission carries.

    A load that the mission has already keeps its other stations, after the one it was given; one that stays
    behind keeps all of them and may stay. Raises InputError where there is no such mission.
    """
    at = _mission(file, data, mission)
    wanted = {thing.name: thing for thing in trial.things}
    if len(wanted) < len(trial.things):
        raise InputError(Problem("two things have one name", "give each its own name", file))
    loads = _loads(file, data, at)
    for number in reversed(range(len(loads))):
        if loads[number].get("name") not in wanted:
            data = without_table(file, data, ("mission", at, "load", number))
    places = {str(load.get("name")): number for number, load in enumerate(_loads(file, data, at))}
    for name, thing in wanted.items():
        number = places.get(name, len(places))
        before = _loads(file, data, at)[number] if name in places else {}
        data = with_table(file, data, ("mission", at, "load", number), _load(thing, before, airplane))
        places[name] = number
    return with_table(file, data, ("mission", at), {"configuration": trial.configuration})


def _load(thing: Thing, before: Mapping[str, object], airplane: Airplane) -> dict[str, Content]:
    """What changes of a mission's load; all of it where it is new."""
    named = before.get("stations")
    known = [str(name) for name in named] if isinstance(named, list) else []
    if thing.station is not None:
        stations = [thing.station, *(name for name in known if name != thing.station)]
    else:
        stations = known or [station.name for station in airplane.stations if station.holds != "people"]
    must = thing.must and thing.station is not None
    values: dict[str, Content] = {"name": thing.name, "mass": thing.text, "stations": list(stations)}
    if must != before.get("must", True):
        values["must"] = must
    return {key: value for key, value in values.items() if before.get(key) != value}


def _mission(file: str, data: bytes, name: str) -> int:
    missions = value_at(file, data, ("mission",))
    for number, item in enumerate(missions if isinstance(missions, list) else []):
        if isinstance(item, Mapping) and item.get("name") == name:
            return number
    raise InputError(Problem(f"there is no mission '{name}'", "reload the page", file))


def _loads(file: str, data: bytes, at: int) -> list[Mapping[str, object]]:
    loads = value_at(file, data, ("mission", at, "load"))
    return [load for load in loads if isinstance(load, Mapping)] if isinstance(loads, list) else []
