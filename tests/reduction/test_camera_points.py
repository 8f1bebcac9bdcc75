"""Films weighed with recordings, preferred to them, or alone; and what is said of each."""

import math
from dataclasses import replace
from datetime import timedelta

import numpy as np
import pytest

from tests.reduction.filmed import length, rate
from tests.reduction.handmade import (
    FIELD_ELEVATION,
    START,
    STRIP,
    airplane,
    flight,
    manoeuvre,
    point,
    weather,
)
from wringout.dossier.camera import Camera, CameraEvent, CameraMark
from wringout.dossier.card import CardPoint
from wringout.dossier.dossier import Strip
from wringout.manoeuvres.manoeuvre import Manoeuvre
from wringout.manoeuvres.mark import TimedMark
from wringout.quantity.dimensions import Dimension
from wringout.quantity.estimate import Estimate
from wringout.reduction import Flight, reduce
from wringout.reduction.camera_points import weigh, with_camera_marks
from wringout.reduction.points import Points

FRAMES = ((20.0, 224), (40.0, 316), (60.0, 387), (80.0, 447), (100.0, 500), (120.0, 548))
FILM = Camera(
    point="T1",
    frame_rate=rate(),
    what_passes="main wheel",
    marks=tuple(CameraMark(length(distance, 0.05), frame, 0.0) for distance, frame in FRAMES),
    rulers=(),
    events=(CameraEvent("start of roll", 0, 1.0, length(0.0, 0.2)), CameraEvent("lift-off", 500, 1.0)),
    camera_distance=length(50.0, 0.5),
    abeam=length(60.0, 1.0),
    lateral=length(0.0, 0.3),
    camera_height=1.5,
    frame_zero=START + timedelta(seconds=102.0),
    frame_zero_sd=0.05,
)
MEASURES = {
    "ground_roll": (101.0, 1.5),
    "air_distance": (90.0, 5.0),
    "lift_off_ground_speed": (20.1, 0.2),
    "obstacle_ground_speed": (22.0, 0.2),
    "roll_track": (math.radians(90.0), 0.01),
    "strip_height": (FIELD_ELEVATION, 3.0),
}


def take_off(start: float = 100.0, **more: tuple[float, float]) -> Manoeuvre:
    """What the recording shows of the filmed take-off."""
    return manoeuvre("take-off", start, start + 20.0, {**MEASURES, **more})


def filmed(manoeuvres: list[Manoeuvre], camera: Camera = FILM, **more: object) -> Flight:
    """A flight whose card has the film of its one take-off."""
    found = flight([more.pop("point", None) or planned()], manoeuvres, **more)  # type: ignore[arg-type, list-item]
    return replace(found, card=replace(found.card, cameras=(camera,)))


def planned(**more: object) -> CardPoint:
    """The take-off on the card."""
    whole = point("T1", "take-off", 90.0, 140.0, strip="Tarn Meadow", technique="normal")
    return replace(whole, **more)  # type: ignore[arg-type]  # a test's shorthand


def reduced(one: Flight, strips: tuple[Strip, ...] = (STRIP,)) -> Points:
    """The flight reduced."""
    return reduce([one], airplane(), strips)


def test_agreeing_film_and_recording_are_weighted() -> None:
    """101.0 ± 1.5 m by the recording and 100 m ± 0.6 m by the film: between them, surer than both."""
    found = reduced(filmed([take_off()]))
    (off,), (evidence,) = found.takeoffs, found.cameras
    by_film = evidence.measures["ground_roll"]
    assert by_film.value == pytest.approx(100.0, abs=0.3)
    assert off.ground_roll.sd is not None
    assert by_film.sd is not None
    assert by_film.value < off.ground_roll.value < 101.0
    assert off.ground_roll.sd < by_film.sd
    assert evidence.use == {"ground_roll": "weighted", "lift_off_ground_speed": "weighted"}
    assert "camera, frames 0–548 at 50 frames/s, main wheel past 6 marks" in off.ground_roll.source
    assert "weighted with 101.0 ± 1.5 m by hand-made" in off.ground_roll.source
    assert evidence.recorded["ground_roll"].value == 101.0
    assert off.air_distance.value == 90.0


def test_what_disagrees_is_told_and_the_film_is_used() -> None:
    """A recording that is 20 m longer than the film: the film's roll, and both in its source."""
    found = reduced(filmed([take_off(ground_roll=(120.0, 2.0))]))
    (off,), (evidence,) = found.takeoffs, found.cameras
    assert off.ground_roll.value == pytest.approx(100.0, abs=0.3)
    assert evidence.use["ground_roll"] == "preferred"
    assert "120.0 ± 2.0 m by hand-made, which disagrees and is not used" in off.ground_roll.source


def test_a_film_supplies_what_the_recording_lacks() -> None:
    """A record that begins late has no ground roll; the film has."""
    measures = {name: pair for name, pair in MEASURES.items() if name != "ground_roll"}
    found = reduced(filmed([manoeuvre("take-off", 100.0, 120.0, measures)]))
    assert found.cameras[0].use["ground_roll"] == "alone"
    assert found.takeoffs[0].ground_roll.value == pytest.approx(100.0, abs=0.3)


def test_a_shared_moment_is_not_counted_twice() -> None:
    """Half a metre that both figures owe to one moment stays in their mean."""
    one, other = (Estimate(100.0, 1.0, Dimension.LENGTH, "hand-made") for _ in range(2))
    assert weigh(one, other)[0].sd == pytest.approx(1.0 / 2**0.5)
    assert weigh(one, other, 0.6)[0].sd == pytest.approx((0.8**2 / 2 + 0.6**2) ** 0.5)


def test_of_two_take_offs_in_a_point_the_film_is_of_the_one_at_its_time() -> None:
    """A point that was flown twice: the clock of the film says which run it saw."""
    found = reduced(filmed([take_off(92.0), take_off(98.0)]))
    sources = [off.ground_roll.source for off in found.takeoffs]
    assert ["camera" in source for source in sources] == [False, True]
    assert len(found.cameras) == 1


def test_a_take_off_that_only_the_camera_saw_is_a_point() -> None:
    """No recording shows it: roll, lift-off speed and conditions are there, the air distance is not known."""
    found = reduced(filmed([]))
    (off,) = found.takeoffs
    assert off.origin.recording == "camera, frames 0–548 at 50 frames/s, main wheel past 6 marks"
    assert (off.origin.start, off.origin.end) == pytest.approx((102.0, 102.0 + 548 / 50))
    assert off.ground_roll.value == pytest.approx(100.0, abs=0.3)
    # The mast is at the height of the wing: 4 m/s from the east, along the strip.
    assert off.head_wind.value == pytest.approx(4.0, abs=0.1)
    assert off.lift_off_speed.value == pytest.approx(24.0, abs=0.3)
    assert off.slope.value == STRIP.slope
    assert off.conditions.mass.value < 668.0 + 160.0 + 0.140 * 720.0
    assert math.isnan(off.air_distance.value)
    assert math.isnan(off.obstacle_speed.value)
    assert "not measured" in off.air_distance.source
    assert off.standard_ground_roll is not None
    assert found.left_out == ()
    assert found.cameras[0].use["ground_roll"] == "alone"


def test_a_card_without_any_recording_gives_its_filmed_point() -> None:
    """Nothing flew along but the pilot: the card, the weather and the film are enough."""
    card = filmed([]).card
    found = reduce([], airplane(), (STRIP,), (card,))
    (off,) = found.takeoffs
    assert off.ground_roll.value == pytest.approx(100.0, abs=0.3)
    assert off.conditions.temperature.value == pytest.approx(288.15)
    assert "half" not in off.conditions.mass.source
    assert off.conditions.mass.sd is not None


def test_the_wind_says_which_way_a_filmed_run_went() -> None:
    """A strip flown both ways is flown into the wind; a one-way strip is left one way, whatever blows."""
    west = reduced(filmed([], readings=[weather(from_degrees=270.0)])).takeoffs[0]
    assert west.head_wind.value == pytest.approx(4.0, abs=0.1)
    assert west.slope.value == -STRIP.slope
    one_way = replace(STRIP, one_way=True)
    assert reduced(filmed([]), (one_way,)).takeoffs[0].slope.value == STRIP.slope
    with_tail_wind = reduced(filmed([], readings=[weather(from_degrees=270.0)]), (one_way,)).takeoffs[0]
    assert with_tail_wind.head_wind.value == pytest.approx(-4.0, abs=0.1)


@pytest.mark.parametrize(
    ("camera", "place", "says"),
    [
        (FILM, planned(strip=None), "which strip it was"),
        (replace(FILM, frame_zero=None), planned(start=None, end=None), "when it was"),
        (replace(FILM, events=FILM.events[1:]), planned(), "no plausible ground roll"),
        (FILM, planned(flap="37"), "flap setting '37' is not one"),
    ],
)
def test_a_film_alone_that_does_not_say_enough_is_left_out(
    camera: Camera, place: CardPoint, says: str
) -> None:
    """Without its strip, its time, its start of roll or its flap it is no point, and the reason is told."""
    found = reduced(filmed([], camera, point=place))
    assert found.takeoffs == ()
    assert any(says in one.reason for one in found.left_out), found.left_out


def test_a_film_without_a_clock_takes_the_time_of_its_point() -> None:
    """Weather and fuel follow from the point's own start."""
    found = reduced(filmed([], replace(FILM, frame_zero=None)))
    assert found.takeoffs[0].origin.start == pytest.approx(90.0)


def test_filmed_moments_take_the_place_of_the_observers() -> None:
    """A thumb's mark of the same lift-off goes, its mark of another moment stays; no clock, no moment."""
    card = filmed([]).card
    thumb = TimedMark(112.4, "lift-off", 0.5)
    other = TimedMark(900.0, "touchdown", 0.5)
    marks = with_camera_marks(card, START, (thumb, other))
    assert [(mark.kind, mark.time) for mark in marks] == [
        ("start of roll", pytest.approx(102.0)),
        ("lift-off", pytest.approx(112.0)),
        ("touchdown", 900.0),
    ]
    assert marks[1].time_sd == pytest.approx(math.hypot(0.05, 0.02))
    silent = replace(card, cameras=(replace(FILM, frame_zero=None),))
    assert with_camera_marks(silent, START, (thumb,)) == (thumb,)


def test_a_filmed_landing_from_the_camera_alone() -> None:
    """Touchdown at 20 m/s, 2 m/s² to the stop 100 m on: half of what the brakes hold back is in g."""
    frames = [(distance, round(50.0 * (10.0 - (100.0 - distance) ** 0.5))) for distance in range(5, 100, 15)]
    camera = replace(
        FILM,
        point="D1",
        marks=tuple(CameraMark(length(float(distance), 0.05), frame, 0.0) for distance, frame in frames),
        events=(CameraEvent("touchdown", 0, 1.0), CameraEvent("full stop", 500, 2.0, length(100.0, 0.2))),
    )
    place = point("D1", "landing", 90.0, 140.0, strip="Tarn Meadow", technique="normal")
    (down,) = reduced(filmed([], camera, point=place)).landings
    assert down.ground_roll.value == pytest.approx(100.0, abs=0.5)
    assert down.mean_braking.value == pytest.approx(2.0 / 9.80665 - np.sin(np.arctan(0.02)), abs=0.004)
    assert math.isnan(down.approach_speed.value)
