"""Take-offs and landings of flights with known truth: all found, distances within honest sigma."""

from collections import defaultdict
from dataclasses import replace

import numpy as np
import pytest

from tests.manoeuvres.flying import STALL_SPEED, Flight, circuit
from wringout.manoeuvres import Manoeuvre, TimedMark, find
from wringout.recordings import Recording, smooth


def found(recording: Recording, kind: str, marks: tuple[TimedMark, ...] = ()) -> list[Manoeuvre]:
    """The manoeuvres of one kind in a recording."""
    return [each for each in find(recording, smooth(recording), STALL_SPEED, marks) if each.kind == kind]


def both(recording: Recording, marks: tuple[TimedMark, ...] = ()) -> tuple[Manoeuvre, Manoeuvre]:
    """The only take-off and the only landing in a recording."""
    manoeuvres = find(recording, smooth(recording), STALL_SPEED, marks)
    (takeoff,) = (each for each in manoeuvres if each.kind == "take-off")
    (landing,) = (each for each in manoeuvres if each.kind == "landing")
    return takeoff, landing


def moment(manoeuvre: Manoeuvre, name: str) -> tuple[float, float]:
    """An event's time and its standard uncertainty [s]."""
    event = next(each for each in manoeuvre.events if each.name == name)
    return event.time, event.time_sd


def circuits(count: int = 1, **approach: float) -> Flight:
    """So many circuits with full stops."""
    flight = Flight()
    flight.stand(40.0)
    for _ in range(count):
        flight.take_off()
        circuit(flight)
        flight.land(100.0, **approach)
        flight.stand(20.0)
    return flight


FLIGHTS = circuits()


def test_every_event_has_its_reason_and_order() -> None:
    """Start of roll, lift-off, obstacle; obstacle, touchdown, full stop: in order, each with why."""
    recording = FLIGHTS.recorded(np.random.default_rng(1))
    takeoff, landing = both(recording)
    assert [event.name for event in takeoff.events] == ["start of roll", "lift-off", "obstacle"]
    assert [event.name for event in landing.events] == ["obstacle", "touchdown", "full stop"]
    for manoeuvre in (takeoff, landing):
        times = [event.time for event in manoeuvre.events]
        assert times == sorted(times)
        assert all(event.reason and event.time_sd > 0 for event in manoeuvre.events)
        assert (manoeuvre.start, manoeuvre.end) == (times[0], times[-1])
        assert all(estimate.sd and estimate.source for estimate in manoeuvre.measures.values())


@pytest.mark.parametrize("step", [0.2, 1.0])
def test_errors_are_as_large_as_stated(step: float) -> None:
    """Over many receivers, five fixes a second and one: times, distances and speeds hide nothing."""
    truth, length = FLIGHTS.events, FLIGHTS.distances
    errors: dict[str, list[float]] = defaultdict(list)
    stated: dict[str, list[float]] = defaultdict(list)
    for seed in range(14):
        recording = FLIGHTS.recorded(np.random.default_rng([7, seed]), step=step)
        takeoff, landing = both(recording)
        for name, (time, sd), true in (
            ("lift-off", moment(takeoff, "lift-off"), truth["lift-off"][0]),
            ("obstacle", moment(takeoff, "obstacle"), truth["take-off obstacle"][0]),
            ("touchdown", moment(landing, "touchdown"), truth["touchdown"][0]),
            ("full stop", moment(landing, "full stop"), truth["full stop"][0]),
            ("start of roll", moment(takeoff, "start of roll"), truth["start of roll"][0]),
        ):
            errors[name].append((time - true) / sd)
            stated[name].append(sd)
        for name, manoeuvre, measure, true in (
            ("ground roll", takeoff, "ground_roll", length["ground roll"][0]),
            ("air distance", takeoff, "air_distance", length["air distance"][0]),
            ("landing air distance", landing, "air_distance", length["landing air distance"][0]),
            ("landing roll", landing, "ground_roll", length["landing roll"][0]),
            ("touchdown speed", landing, "touchdown_ground_speed", length["touchdown speed"][0]),
            ("lift-off speed", takeoff, "lift_off_ground_speed", 26.0),
            ("deceleration", landing, "mean_deceleration", 2.0),
            ("slope", takeoff, "strip_slope", 0.0),
            ("landing slope", landing, "strip_slope", 0.0),
        ):
            estimate = manoeuvre.measures[measure]
            assert estimate.sd is not None
            errors[name].append((estimate.value - true) / estimate.sd)
            stated[name].append(estimate.sd)
    for name, each in errors.items():
        # the spread of what is stated, and any bias with it; events known worse than they need be are allowed
        assert np.sqrt(np.mean(np.square(each))) < 1.35, (name, np.mean(each), np.std(each))
    for name, least in (("ground roll", 0.2), ("landing roll", 0.2), ("lift-off", 0.2), ("touchdown", 0.2)):
        assert np.std(errors[name]) > least, name
    assert np.median(stated["ground roll"]) < 15.0
    assert np.median(stated["landing roll"]) < 25.0
    for name in ("air distance", "landing air distance"):
        assert np.median(stated[name]) < 40.0, name


def test_a_steep_strip_is_measured() -> None:
    """Nine in a hundred uphill: slope and strip height within their uncertainties, lift-off still found."""
    flight = Flight(slope=0.09)
    flight.stand(40.0)
    flight.take_off(push=3.4)
    flight.fly(60.0, climb=3.0)
    (takeoff,) = found(flight.recorded(np.random.default_rng(2)), "take-off")
    slope = takeoff.measures["strip_slope"]
    assert slope.sd is not None
    assert slope.value == pytest.approx(0.09, abs=3 * slope.sd)
    assert slope.sd < 0.02
    time, sd = moment(takeoff, "lift-off")
    assert time == pytest.approx(flight.events["lift-off"][0], abs=3 * sd)


def test_the_roll_has_its_true_direction() -> None:
    """Track of the strip to a degree, whatever it is."""
    for course in (20.0, 135.0, 359.0):
        flight = Flight(course=np.radians(course))
        flight.stand(40.0)
        flight.take_off()
        flight.fly(40.0, climb=4.0)
        (takeoff,) = found(flight.recorded(np.random.default_rng(2)), "take-off")
        off = (np.degrees(takeoff.measures["roll_track"].value) - course + 180) % 360 - 180
        assert abs(off) < 1.0


def test_a_recorder_that_wakes_while_rolling_is_completed_and_told() -> None:
    """The record begins at 20 kt: the distance before it comes from the acceleration, with a note."""
    whole = FLIGHTS.recorded(np.random.default_rng(3))
    (full,) = found(whole, "take-off")
    late = FLIGHTS.recorded(np.random.default_rng(3), from_time=FLIGHTS.events["start of roll"][0] + 4.2)
    (takeoff,) = found(late, "take-off")
    assert any("begins at 20 kt" in note or "begins at 21 kt" in note for note in takeoff.notes), (
        takeoff.notes
    )
    roll, complete = takeoff.measures["ground_roll"], full.measures["ground_roll"]
    assert roll.sd is not None
    assert complete.sd is not None
    assert roll.value == pytest.approx(FLIGHTS.distances["ground roll"][0], abs=3 * roll.sd)


def test_a_rolling_start_is_told() -> None:
    """From the taxiway into the roll without stopping."""
    flight = Flight()
    flight.stand(30.0)
    flight.taxi(60.0, 5.0)
    flight.take_off()
    flight.fly(40.0, climb=4.0)
    (takeoff,) = found(flight.recorded(np.random.default_rng(3)), "take-off")
    assert any("rolling start" in note for note in takeoff.notes), takeoff.notes


def test_several_circuits_and_touch_and_goes() -> None:
    """Two full stops and two touches: four take-offs and four landings, the touches without rolls."""
    flight = Flight()
    flight.stand(40.0)
    flight.take_off()
    circuit(flight)
    flight.touch_and_go(100.0)
    circuit(flight)
    flight.land(100.0)
    flight.stand(15.0)
    flight.take_off()
    circuit(flight)
    flight.touch_and_go(100.0)
    circuit(flight)
    flight.land(100.0)
    flight.stand(15.0)
    recording = flight.recorded(np.random.default_rng(4))
    manoeuvres = find(recording, smooth(recording), STALL_SPEED)
    takeoffs, landings = (
        [each for each in manoeuvres if each.kind == kind] for kind in ("take-off", "landing")
    )
    assert [("ground_roll" in each.measures) for each in takeoffs] == [True, False, True, False]
    assert [("ground_roll" in each.measures) for each in landings] == [False, True, False, True]
    assert all("touch-and-go" in takeoffs[k].notes[-1] for k in (1, 3))
    for each, true in zip(landings, flight.events["touchdown"], strict=True):
        time, sd = moment(each, "touchdown")
        assert time == pytest.approx(true, abs=4 * sd)


def test_a_go_around_and_slow_flight_are_no_landings() -> None:
    """An approach broken off at twenty metres, and slow flight on high: nothing touched the ground."""
    flight = Flight()
    flight.stand(40.0)
    flight.take_off()
    circuit(flight)
    flight.fly(115.0, climb=-2.0)
    flight.fly(60.0, climb=4.0)
    flight.to_speed(20.0)
    flight.fly(20.0)
    flight.to_speed(34.0)
    flight.fly(60.0)
    recording = flight.recorded(np.random.default_rng(5))
    assert len(found(recording, "take-off")) == 1
    assert found(recording, "landing") == []


@pytest.mark.parametrize(("slowing", "touches"), [(0.0, 0), (0.4, 1)])
def test_a_float_where_the_height_has_drifted(slowing: float, touches: int) -> None:
    """Fourteen metres off: slowing along it and then speeding up is a touch, a steady low pass none."""
    flight = Flight()
    flight.stand(40.0)
    flight.take_off()
    circuit(flight)
    flight.to_speed(30.0)
    while flight.height > 114.0:
        flight.step(-2.0)
    flight.fly(9.0, speed_rate=-slowing)
    flight.fly(5.0, climb=1.0, speed_rate=1.0)
    flight.fly(40.0, climb=4.0)
    recording = flight.recorded(np.random.default_rng(8), step=1.0, height_wander=0.0)
    assert len(found(recording, "landing")) == touches


def test_a_second_of_weak_push_begins_the_run_at_any_step() -> None:
    """Fixes a trifle less than a second apart: the run begins where it stood, not minutes before."""
    flight = Flight()
    flight.stand(100.0)
    flight.taxi(200.0, 4.0)
    flight.stand(10.0)
    flight.take_off()
    flight.fly(60.0, climb=4.0)
    recording = flight.recorded(np.random.default_rng(9), step=1.0)
    jittered = replace(recording, time=recording.time * 0.99999)
    (takeoff,) = found(jittered, "take-off")
    truth = flight.events["start of roll"][0]
    assert moment(takeoff, "start of roll")[0] == pytest.approx(truth, abs=3.0)


def test_marks_override_the_finder() -> None:
    """Where an observer marked lift-off and touchdown, those moments stand, as uncertain as he was."""
    recording = FLIGHTS.recorded(np.random.default_rng(6))
    marks = (
        TimedMark(FLIGHTS.events["start of roll"][0] + 0.3, "start of roll", 0.4),
        TimedMark(FLIGHTS.events["lift-off"][0] + 0.1, "lift-off", 0.05),
        TimedMark(FLIGHTS.events["touchdown"][0] - 0.1, "touchdown", 0.05),
        TimedMark(FLIGHTS.events["full stop"][0], "full stop", 0.3),
    )
    takeoff, landing = both(recording, marks)
    for manoeuvre, mark in (
        (takeoff, marks[1]),
        (landing, marks[2]),
        (landing, marks[3]),
        (takeoff, marks[0]),
    ):
        assert moment(manoeuvre, mark.kind) == (mark.time, mark.time_sd)
    roll, bare = takeoff.measures["ground_roll"], found(recording, "take-off")[0].measures["ground_roll"]
    assert roll.sd is not None
    assert bare.sd is not None
    assert roll.sd < bare.sd
    assert {event.reason for event in takeoff.events[:2]} == {"observer's mark"}


def test_a_mark_far_from_what_the_heights_say_is_told() -> None:
    """Three seconds apart: the mark stands, and a note says so."""
    recording = FLIGHTS.recorded(np.random.default_rng(6))
    mark = TimedMark(FLIGHTS.events["lift-off"][0] + 3.0, "lift-off", 0.1)
    (takeoff,) = found(recording, "take-off", (mark,))
    assert any("from the observer's mark" in note for note in takeoff.notes)


def test_excluded_spans_are_not_searched() -> None:
    """A take-off between 'exclude from' and 'exclude to' is left alone."""
    recording = circuits(2).recorded(np.random.default_rng(6))
    assert len(found(recording, "take-off")) == 2
    marks = (TimedMark(0.0, "exclude from"), TimedMark(250.0, "exclude to"))
    assert len(found(recording, "take-off", marks)) == 1


def test_wrong_arguments_are_refused() -> None:
    """A stall speed of nothing, a track of another recording."""
    recording = FLIGHTS.recorded(np.random.default_rng(6))
    track = smooth(recording)
    with pytest.raises(ValueError, match="stall speed"):
        find(recording, track, 0.0)
    with pytest.raises(ValueError, match="other moments"):
        find(FLIGHTS.recorded(np.random.default_rng(6), step=0.4), track, STALL_SPEED)
