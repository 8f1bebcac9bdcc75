"""Stalls: found by their break, or where an observer marked it; entry rate and least airspeed."""

import numpy as np
import pytest

from tests.manoeuvres.flying import STALL_SPEED, Flight
from wringout.manoeuvres import Manoeuvre, TimedMark, find
from wringout.recordings import Recording, smooth


def stalls(recording: Recording, *marks: TimedMark) -> list[Manoeuvre]:
    """The stalls in a recording."""
    return [each for each in find(recording, smooth(recording), STALL_SPEED, marks) if each.kind == "stall"]


def value(stall: Manoeuvre, name: str) -> float:
    """A measure's value."""
    return stall.measures[name].value


@pytest.fixture(scope="module")
def flight() -> Flight:
    """Three stalls at three entry rates, and slow flight without one."""
    flight = Flight(speed=34.0, height=1500.0, flying=True)
    flight.fly(20.0)
    for least, entry in ((22.3, 0.5), (21.9, 0.3), (21.5, 1.2)):
        flight.stall(least, entry)
        flight.fly(10.0, climb=3.0)
        flight.to_speed(34.0)
        flight.fly(20.0)
    flight.to_speed(24.5)
    flight.fly(40.0)
    flight.to_speed(34.0)
    flight.fly(20.0)
    return flight


def test_each_stall_is_found_once_with_speed_and_entry_rate(flight: Flight) -> None:
    """Moment, least airspeed and entry rate of all three, and nothing in the slow flight."""
    found = stalls(flight.recorded(np.random.default_rng(1)))
    assert len(found) == 3
    for stall, moment, least, entry in zip(
        found, flight.events["break"], flight.distances["least speed"], (0.5, 0.3, 1.2), strict=True
    ):
        (event,) = stall.events
        assert event.time == pytest.approx(moment, abs=1.5)
        assert "sink grows" in event.reason
        assert value(stall, "minimum_indicated_airspeed") == pytest.approx(least, abs=0.6)
        rate = stall.measures["entry_rate"]
        assert rate.sd is not None
        assert rate.value == pytest.approx(entry, abs=max(4 * rate.sd, 0.1))


def test_a_mark_makes_a_stall_and_none_beside_it(flight: Flight) -> None:
    """An observer's mark near a break replaces the finder's; a warning before it gives its own airspeed."""
    recording = flight.recorded(np.random.default_rng(2))
    moment = flight.events["break"][0]
    marked = stalls(
        recording, TimedMark(moment, "stall break", 0.3), TimedMark(moment - 4.0, "stall warning", 0.3)
    )
    assert len(marked) == 3
    assert [event.name for event in marked[0].events] == ["warning", "break"]
    assert marked[0].events[1].reason == "observer's mark"
    warning = marked[0].measures["warning_indicated_airspeed"]
    assert warning.value == pytest.approx(22.3 + 0.5 * 4.0, abs=0.4)


def test_without_an_airspeed_only_marks_make_stalls(flight: Flight) -> None:
    """The ground speed then stands in, with a note that the wind is in it."""
    recording = flight.recorded(np.random.default_rng(3), airspeed=False)
    assert stalls(recording) == []
    (stall,) = stalls(recording, TimedMark(flight.events["break"][1], "stall break"))
    assert "minimum_indicated_airspeed" not in stall.measures
    assert value(stall, "minimum_ground_speed") == pytest.approx(21.9, abs=0.5)
    assert "no airspeed" in stall.notes[0]


def test_a_pitot_that_shows_nothing_is_no_stall(flight: Flight) -> None:
    """Zero airspeed for a sample, at a high angle or in ice, is not the least airspeed of a flight."""
    recording = flight.recorded(np.random.default_rng(4))
    moment = flight.events["break"][0]
    airspeed = recording.channels["indicated_airspeed"]
    airspeed[int(moment / 0.2) - 3] = 0.0
    found = stalls(recording)
    assert len(found) == 3
    assert value(found[0], "minimum_indicated_airspeed") > 21.0
