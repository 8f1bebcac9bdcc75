"""A mission thought of for one airplane, asked of another: people on its seats, things where things go."""

from __future__ import annotations

from dataclasses import replace

from wringout.airplane.airplane import Airplane, Station
from wringout.dossier.dossier import Load, Mission
from wringout.problems import InputError, Problem


def asked_of(mission: Mission, home: Airplane, other: Airplane, configuration: str) -> Mission:
    """The mission with another airplane's configuration and places.

    Parameters
    ----------
    mission : Mission
        As it was written for `home`.
    home, other : Airplane
    configuration : str
        Of the other one.

    Returns
    -------
    Mission
        The same loads by name and mass. Who can only sit at home sits here, seats in the order described;
        what else there is may lie wherever things may, places that hold nothing but things first.

    Raises
    ------
    InputError
        The other has no place for people, or none for things, that the mission needs; more people than seats.

    Notes
    -----
    A load is taken for a person where every place named for it at home is a seat.
    """
    if other is home:
        return replace(mission, configuration=configuration)
    seats = tuple(place.name for place in other.stations if place.seats > 0)
    rooms = tuple(
        place.name for place in sorted(other.stations, key=_seated) if place.holds in ("things", "either")
    )
    people = [load for load in mission.loads if is_person(load, home)]
    problems = []
    for wanted, places, kind in (
        (people, seats, "people"),
        ([load for load in mission.loads if load not in people], rooms, "things"),
    ):
        if wanted and not places:
            what = f"the {other.name} has no place for {kind}, and the mission takes {wanted[0].name}"
            problems.append(Problem(what, "ask it of another airplane", field=f"mission '{mission.name}'"))
    must = [load for load in people if load.must]
    held = sum(place.seats for place in other.stations)
    if seats and len(must) > held:
        what = f"the {other.name} has {held} seats, and the mission takes {len(must)} people"
        problems.append(Problem(what, "ask it of another airplane", field=f"mission '{mission.name}'"))
    if problems:
        raise InputError(*problems)
    loads = tuple(replace(load, stations=seats if load in people else rooms) for load in mission.loads)
    return replace(mission, configuration=configuration, loads=loads)


def is_person(load: Load, airplane: Airplane) -> bool:
    """Whether every place named for a load is a seat of the airplane."""
    seats = {place.name for place in airplane.stations if place.seats > 0}
    return bool(load.stations) and all(name in seats for name in load.stations)


def _seated(place: Station) -> tuple[bool, float]:
    """Places for things alone first, of like ones the roomier."""
    return place.seats > 0, -(place.mass_limit or 0.0)
