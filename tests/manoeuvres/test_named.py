"""What the card says by hand: marks of every kind, and spans named or taken out, against the truth flown."""

from collections import Counter

import numpy as np
import pytest

from tests.manoeuvres.flying import STALL_SPEED, Flight, circuit
from wringout.manoeuvres import Manoeuvre, TimedMark, TimedSpan, find
from wringout.manoeuvres.named import EDGE_SD, REASON
from wringout.recordings import Recording, Track, smooth

LEG = (60.0, 150.0)
CLIMB = (170.0, 260.0)


@pytest.fixture(scope="module")
def steady() -> tuple[Recording, Track]:
    """A minute of bends, a leg of 90 s, a climb of 90 s at 3 m/s, two circles of 48 s, a leg again."""
    flight = Flight(speed=36.0, height=600.0, flying=True)
    flight.fly(60.0, turn=np.radians(1.3))
    flight.fly(110.0)
    flight.fly(90.0, climb=3.0)
    flight.fly(96.0, turn=np.radians(7.5))
    flight.fly(80.0)
    recording = flight.recorded(np.random.default_rng(1))
    return recording, smooth(recording)


def searched(steady: tuple[Recording, Track], *spans: TimedSpan) -> tuple[Manoeuvre, ...]:
    """Everything found, with spans named by hand."""
    return find(*steady, STALL_SPEED, spans=spans)


def of_kind(manoeuvres: tuple[Manoeuvre, ...], kind: str) -> list[Manoeuvre]:
    """Those of one kind."""
    return [each for each in manoeuvres if each.kind == kind]


def test_a_boundary_set_by_hand_stands(steady: tuple[Recording, Track]) -> None:
    """A leg and a climb are measured from edge to edge as said, and nothing else takes their place."""
    leg, climb = TimedSpan(70.0, 140.0, "level leg", "steady by then"), TimedSpan(180.0, 240.0, "climb")
    bare, edited = searched(steady), searched(steady, leg, climb)
    assert Counter(each.kind for each in edited) == Counter(each.kind for each in bare)
    first, risen = of_kind(edited, "level leg")[0], of_kind(edited, "climb")[0]
    for made, span in ((first, leg), (risen, climb)):
        assert (made.start, made.end) == (span.start, span.end)
        assert [(event.time, event.time_sd, event.reason) for event in made.events] == [
            (span.start, EDGE_SD, REASON),
            (span.end, EDGE_SD, REASON),
        ]
    assert first.notes[:2] == ("its span is set by hand on the card", "steady by then")
    rate = risen.measures["rate_of_climb"]
    assert rate.sd is not None
    assert rate.value == pytest.approx(3.0, abs=3 * rate.sd)
    north = first.measures["north_speed"]
    assert np.hypot(north.value, first.measures["east_speed"].value) == pytest.approx(36.0, abs=0.1)


def test_a_kind_named_by_hand_replaces_what_was_found(steady: tuple[Recording, Track]) -> None:
    """The evaluator calls the climb a leg, or part of the leg a glide: his word stands, the finder's goes."""
    renamed = searched(steady, TimedSpan(*CLIMB, "level leg"))
    assert of_kind(renamed, "climb") == []
    assert len(of_kind(renamed, "level leg")) == 3
    sunk = searched(steady, TimedSpan(65.0, 160.0, "glide"))
    assert len(of_kind(sunk, "level leg")) == 1
    (glide,) = of_kind(sunk, "glide")
    rate = glide.measures["rate_of_climb"]
    assert rate.sd is not None
    assert rate.value == pytest.approx(0.0, abs=3 * rate.sd)


def test_a_turn_named_by_hand_is_measured_if_it_is_round(steady: tuple[Recording, Track]) -> None:
    """A circle of its own length inside two; half a circle shows no wind and gives nothing."""
    (turn,) = of_kind(searched(steady, TimedSpan(270.0, 330.0, "turn")), "turn")
    assert (turn.start, turn.end) == (270.0, 330.0)
    assert turn.measures["turn_rate"].value == pytest.approx(np.radians(7.5), abs=0.005)
    assert of_kind(searched(steady, TimedSpan(270.0, 290.0, "turn")), "turn") == []


def test_a_span_that_does_not_count_is_not_searched(steady: tuple[Recording, Track]) -> None:
    """Taken out whole the climb is gone; of a leg half taken out the other half remains."""
    assert of_kind(searched(steady, TimedSpan(*CLIMB, "none")), "climb") == []
    (first, _) = of_kind(searched(steady, TimedSpan(110.0, 165.0, "none")), "level leg")
    assert first.start < 75.0
    assert 100.0 < first.end <= 111.0


def test_several_spans_that_do_not_count_stand_beside_marks(steady: tuple[Recording, Track]) -> None:
    """Spans may overlap the marks' own and one another: the union is left out."""
    spans = (TimedSpan(0.0, 120.0, "none"), TimedSpan(100.0, 175.0, "none"))
    marks = (TimedMark(150.0, "exclude from"), TimedMark(265.0, "exclude to"))
    found = find(*steady, STALL_SPEED, marks, spans)
    assert {each.kind for each in found} == {"turn", "level leg"}
    assert all(each.start > 264.0 for each in found)


def test_what_cannot_be_measured_is_not_invented(steady: tuple[Recording, Track]) -> None:
    """Beyond the record, across an excluded part, or of eight seconds: nothing."""
    bare = len(searched(steady))
    assert len(searched(steady, TimedSpan(2000.0, 2100.0, "climb"))) == bare
    assert len(searched(steady, TimedSpan(165.0, 173.0, "climb"))) in {bare, bare - 1}
    blocked = searched(steady, TimedSpan(80.0, 150.0, "level leg"), TimedSpan(60.0, 160.0, "none"))
    assert len(of_kind(blocked, "level leg")) == 1


@pytest.fixture(scope="module")
def rolls() -> tuple[Flight, Recording, Track]:
    """One circuit with full stop."""
    flight = Flight()
    flight.stand(40.0)
    flight.take_off()
    circuit(flight)
    flight.land(100.0)
    flight.stand(20.0)
    recording = flight.recorded(np.random.default_rng(2))
    return flight, recording, smooth(recording)


def test_the_obstacle_is_moved_by_its_mark(rolls: tuple[Flight, Recording, Track]) -> None:
    """Of take-off and landing: the moment stands, and the air distance ends or begins there."""
    flight, recording, track = rolls
    high, low = flight.events["take-off obstacle"][0] + 0.5, flight.events["landing obstacle"][0] - 0.5
    marks = (TimedMark(high, "obstacle", 0.2), TimedMark(low, "obstacle", 0.2))
    found = find(recording, track, STALL_SPEED, marks)
    bare = find(recording, track, STALL_SPEED)
    for kind, at in (("take-off", high), ("landing", low)):
        (one,), (other,) = of_kind(found, kind), of_kind(bare, kind)
        event = next(each for each in one.events if each.name == "obstacle")
        plain = next(each for each in other.events if each.name == "obstacle")
        assert (event.time, event.time_sd, event.reason) == (at, 0.2, "observer's mark")
        moved = (at - plain.time) * (1 if kind == "take-off" else -1)
        distance = one.measures["air_distance"].value - other.measures["air_distance"].value
        assert distance == pytest.approx(
            moved * other.measures["obstacle_ground_speed"].value, rel=0.1, abs=0.5
        )


def test_wheels_that_only_the_observer_saw_make_a_landing_and_a_take_off() -> None:
    """A touch on a hill far from known ground, too fast to be told from a low pass: his marks make it."""
    flight = Flight()
    flight.stand(40.0)
    flight.take_off()
    flight.fly(60.0, climb=4.0)
    flight.to_speed(38.0)
    flight.fly(200.0)
    flight.fly((flight.height - 260.0) / 2.0, climb=-2.0)
    flight.to_speed(30.0)
    flight.touch_and_go(200.0, rolling=4.0)
    flight.fly(60.0, climb=4.0)
    recording = flight.recorded(np.random.default_rng(3))
    track = smooth(recording)
    bare = Counter(each.kind for each in find(recording, track, STALL_SPEED))
    assert (bare["take-off"], bare["landing"]) == (1, 0)
    touch, off = flight.events["touchdown"][0], flight.events["lift-off"][1]
    marks = (TimedMark(touch, "touchdown", 0.3), TimedMark(off, "lift-off", 0.3))
    found = find(recording, track, STALL_SPEED, marks)
    (landing,), (_, takeoff) = of_kind(found, "landing"), of_kind(found, "take-off")
    assert {event.name: event.time for event in landing.events}["touchdown"] == touch
    assert {event.name: event.time for event in takeoff.events}["lift-off"] == off
    height = landing.measures["strip_height"]
    assert height.value == pytest.approx(200.0, abs=10.0)
    alone = find(recording, track, STALL_SPEED, marks[:1])
    assert len(of_kind(alone, "landing")) == 1


def test_an_excluded_mark_makes_nothing() -> None:
    """Wheels marked inside a span that does not count are not sought."""
    flight = Flight(speed=36.0, height=600.0, flying=True)
    flight.fly(120.0, climb=-2.0)
    flight.fly(120.0, climb=2.0)
    recording = flight.recorded(np.random.default_rng(4))
    mark, span = TimedMark(120.0, "touchdown"), TimedSpan(100.0, 140.0, "none")
    found = find(recording, smooth(recording), STALL_SPEED, (mark,), (span,))
    assert of_kind(found, "landing") == []


def test_one_event_marked_twice_is_one_event(rolls: tuple[Flight, Recording, Track]) -> None:
    """Two thumbs on one lift-off and on one stall: the more certain one counts."""
    flight, recording, track = rolls
    off = flight.events["lift-off"][0]
    marks = (TimedMark(off - 0.4, "lift-off", 0.6), TimedMark(off + 0.1, "lift-off", 0.2))
    (takeoff,) = of_kind(find(recording, track, STALL_SPEED, marks), "take-off")
    assert {event.name: event.time for event in takeoff.events}["lift-off"] == off + 0.1
    breaks = (TimedMark(300.0, "stall break", 0.3), TimedMark(301.0, "stall break", 0.5))
    (stall,) = of_kind(find(recording, track, STALL_SPEED, breaks), "stall")
    assert {event.name: event.time for event in stall.events}["break"] == 300.0


def test_a_landing_that_does_not_count_is_not_found_from_the_stop_after_it(
    rolls: tuple[Flight, Recording, Track],
) -> None:
    """Its approach and roll are taken out, the airplane stands there all the same: no landing."""
    flight, recording, track = rolls
    start, end = flight.events["landing obstacle"][0] - 20.0, flight.events["full stop"][0] + 5.0
    for span in (TimedSpan(start, end, "none"), TimedSpan(start + 25.0, end - 10.0, "none")):
        found = find(recording, track, STALL_SPEED, (), (span,))
        assert of_kind(found, "landing") == []
        assert len(of_kind(found, "take-off")) == 1
