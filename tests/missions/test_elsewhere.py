"""A mission written for one airplane, asked of another: who sits, what lies where, and what is refused."""

from __future__ import annotations

from dataclasses import replace

import pytest

from tests.missions.questions import MISSION
from tests.report.sample_airplane import airplane
from wringout.airplane.airplane import Airplane, Station
from wringout.dossier.dossier import Load
from wringout.missions import asked_of
from wringout.missions.elsewhere import is_person
from wringout.problems import InputError

HOME = replace(
    airplane(),
    stations=(
        Station("left seat", 1.0, 1.0, 120.0, "people", 1),
        Station("right seat", 1.0, 1.0, 120.0, "either", 1),
        Station("bay", 1.6, 2.4, 150.0, "things"),
    ),
    combined_limits=(),
)
LOADS = (
    Load("vet", 80.0, ("left seat",)),
    Load("nurse", 70.0, ("right seat", "left seat")),
    Load("cooler", 20.0, ("bay", "right seat")),
)
ASKED = replace(MISSION, loads=LOADS)


def with_stations(*stations: Station) -> Airplane:
    """Another airplane with these places."""
    return replace(HOME, name="Other", stations=stations)


OTHER = with_stations(
    Station("locker", 3.0, 3.0, 20.0, "things"),
    Station("front", 1.0, 1.0, 200.0, "people", 2),
    Station("rear bench", 1.9, 1.9, 180.0, "either", 2),
    Station("hold", 2.6, 2.9, 90.0, "things"),
)


def test_who_can_only_sit_is_a_person() -> None:
    """A cooler that may stand on a seat is none."""
    assert [is_person(load, HOME) for load in LOADS] == [True, True, False]


def test_people_sit_and_things_lie_roomiest_first() -> None:
    """Seats in the order described; places for things alone before seats that take things too."""
    asked = asked_of(ASKED, HOME, OTHER, "tail wheel")
    assert asked.loads[0].stations == ("front", "rear bench")
    assert asked.loads[2].stations == ("hold", "locker", "rear bench")
    assert [load.mass for load in asked.loads] == [80.0, 70.0, 20.0]
    assert asked.configuration == "tail wheel"


def test_at_home_only_the_configuration_changes() -> None:
    """Places stay as they were written."""
    assert asked_of(ASKED, HOME, HOME, "nose wheel") == replace(ASKED, configuration="nose wheel")


def test_what_has_no_place_is_refused_in_words() -> None:
    """No seat at all, too few seats, nowhere for things."""
    with pytest.raises(InputError, match="has no place for things, and the mission takes cooler"):
        asked_of(ASKED, HOME, with_stations(Station("front", 1.0, 1.0, 200.0, "people", 2)), "tail wheel")
    one = with_stations(
        Station("seat", 1.0, 1.0, 120.0, "people", 1), Station("bay", 2.0, 2.0, 50.0, "things")
    )
    with pytest.raises(InputError, match="has 1 seats, and the mission takes 2 people"):
        asked_of(ASKED, HOME, one, "tail wheel")
