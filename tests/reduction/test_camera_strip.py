"""Films reduced: hand-computed speeds, parallax, standstills, what is refused, and honest uncertainties."""

from collections.abc import Callable
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.reduction.filmed import Run, film, landing_run, length, rate, take_off_run
from wringout.dossier.camera import Camera, CameraEvent, CameraEventKind, CameraMark, CameraRuler
from wringout.quantity.estimate import Estimate
from wringout.reduction.camera_strip import mean_speed, measure_strip, sight_line

EVEN = Camera(
    point="T1",
    frame_rate=rate(),
    what_passes="main wheel",
    marks=(),
    rulers=(),
    events=(),
    camera_distance=length(50.0, 0.5),
    abeam=length(100.0, 1.0),
    lateral=length(0.0, 1.0),
    camera_height=1.5,
)


def marks(*pairs: tuple[float, int], offset: float = 0.0) -> tuple[CameraMark, ...]:
    """Marks at distances [m], passed in frames."""
    return tuple(CameraMark(length(distance, 0.05), frame, offset) for distance, frame in pairs)


def test_an_airplane_is_its_own_ruler() -> None:
    """7.35 m in 18 frames at 50 a second are 20.42 m/s; √(2/12) of a frame in 18 is 2.3 % of it."""
    found = mean_speed(length(7.35), 18, rate())
    assert found.value == pytest.approx(7.35 * 50 / 18)
    assert f"{found.value:.1f}" == "20.4"
    assert found.sd == pytest.approx(20.4167 * (2 / 12) ** 0.5 / 18, rel=1e-3)
    with pytest.raises(ValueError, match="at least one frame"):
        mean_speed(length(7.35), 0, rate())


def test_a_ruler_alone_gives_the_speed_at_lift_off() -> None:
    """Nose and tail past one post just before lift-off: its speed, no matter where the camera stands."""
    camera = replace(
        EVEN,
        camera_distance=None,
        abeam=None,
        rulers=(CameraRuler(length(7.35, 0.02), 200, 218), CameraRuler(length(7.35, 0.02), 230, 248)),
        events=(CameraEvent("lift-off", 225),),
    )
    found = measure_strip(camera, "take-off")
    speed = found.measures["lift_off_ground_speed"]
    assert speed.value == pytest.approx(20.42, abs=0.1)
    assert speed.sd == pytest.approx(20.42 * 0.0227 / 2**0.5, rel=0.3)
    assert "ground_roll" not in found.measures
    assert found.refused == ("no ground roll: no frame was noted for start of roll",)
    assert found.events[0].place is None


def test_an_even_speed_past_marks() -> None:
    """20 m every 50 frames at 50 a second are 20 m/s at every mark, and the place between them is even."""
    camera = replace(
        EVEN,
        marks=marks((60.0, 100), (80.0, 150), (100.0, 200), (120.0, 250), (140.0, 300)),
        events=(CameraEvent("lift-off", 225),),
    )
    found = measure_strip(camera, "take-off")
    assert [speed.value for speed in found.mark_speeds] == pytest.approx([20.0] * 5, abs=0.01)
    (event,) = found.events
    assert event.time.value == pytest.approx(4.5)
    assert event.place is not None
    assert event.place.value == pytest.approx(110.0, abs=0.05)
    # A metre to either side of the centre line 50 m away is 2 %: of the speed, and of 10 m from abeam.
    assert event.ground_speed is not None
    assert event.ground_speed.sd == pytest.approx(0.02 * 20.0, rel=0.25)


def test_parallax_is_taken_out() -> None:
    """Marks 10 m before a track 50 m from the camera show 25 % too little: the triangles say so."""
    camera = replace(EVEN, marks=marks((60.0, 100), (100.0, 200), (140.0, 300), offset=10.0))
    places = [sight_line(camera, mark)[0] for mark in camera.marks]
    assert places == pytest.approx([50.0, 100.0, 150.0])
    found = measure_strip(camera, "take-off")
    assert found.mark_speeds[1].value == pytest.approx(25.0, abs=0.01)
    with pytest.raises(ValueError, match="parallax"):
        sight_line(replace(camera, camera_distance=None), camera.marks[0])


def test_lateral_place_moves_all_marks_together() -> None:
    """An airplane known to have run 5 m nearer to the camera has gone 10 % less far between sight lines."""
    camera = replace(EVEN, lateral=length(5.0, 0.5), marks=marks((60.0, 100), (140.0, 300)))
    near, far = (sight_line(camera, mark) for mark in camera.marks)
    assert far[0] - near[0] == pytest.approx(80.0 * 45 / 50)
    assert far[2][0] == pytest.approx(-40.0 / 50 * 0.5)
    assert near[2][0] == pytest.approx(40.0 / 50 * 0.5)


def test_a_roll_from_a_measured_standstill() -> None:
    """2 m/s² from rest at 0 m: 20 m after √20 s, lift-off at 20 m/s after 10 s and 100 m."""
    frames = [(distance, round(50.0 * distance**0.5)) for distance in (20.0, 40.0, 60.0, 80.0, 100.0, 120.0)]
    camera = replace(
        EVEN,
        marks=marks(*frames),
        events=(CameraEvent("start of roll", 0, 1.0, length(0.0, 0.1)), CameraEvent("lift-off", 500)),
    )
    found = measure_strip(camera, "take-off").measures
    assert found["ground_roll"].value == pytest.approx(100.0, abs=0.2)
    assert found["lift_off_ground_speed"].value == pytest.approx(20.0, abs=0.2)
    assert "frames 0–548 at 50 frames/s, main wheel past 6 marks: ground roll" in found["ground_roll"].source


def test_heights_on_marks_show_the_obstacle() -> None:
    """Wheels seen 5 m up a pole half-way between camera and track are 8.5 m up: the eye stands at 1.5 m."""
    rows = ((100.0, 200, None), (120.0, 250, 3.0), (140.0, 300, 6.5), (160.0, 350, 10.0))
    camera = replace(
        EVEN,
        marks=tuple(
            CameraMark(
                length(100.0 + (x - 100.0) / 2, 0.05), frame, 25.0, None if h is None else length(h, 0.1)
            )
            for x, frame, h in rows
        ),
        events=(CameraEvent("lift-off", 200),),
    )
    found = measure_strip(camera, "take-off")
    # 6.5 m on the pole are 11.5 m, 10 m are 18.5 m: 15.24 m lies 0.534 of the way from 140 m to 160 m.
    assert found.measures["air_distance"].value == pytest.approx(50.69, abs=0.1)
    assert found.measures["obstacle_ground_speed"].value == pytest.approx(20.0, abs=0.05)
    assert [event.kind for event in found.events] == ["lift-off", "obstacle"]
    low = replace(camera, marks=camera.marks[:3])
    (reason,) = [word for word in measure_strip(low, "take-off").refused if "air distance" in word]
    assert "from 4.5 m to 11.5 m and do not show where 15.24 m was passed" in reason


def test_what_the_frames_leave_open_is_refused() -> None:
    """A standstill far before the first mark, not measured on the ground: no roll, and it says why."""
    camera = replace(
        EVEN,
        marks=marks((300.0, 1000), (320.0, 1040)),
        events=(CameraEvent("start of roll", 0), CameraEvent("lift-off", 1010)),
    )
    found = measure_strip(camera, "take-off")
    assert "ground_roll" not in found.measures
    assert "set marks nearer" in found.refused[0]
    with pytest.raises(ValueError, match="fewer than two marks"):
        measure_strip(replace(EVEN, marks=marks((0.0, 1))), "take-off")


def test_an_unsteady_clock_stretches_speeds_alone() -> None:
    """A frame rate known to 2 % leaves the roll as it was and adds 2 % to the speed."""
    run = take_off_run(np.random.default_rng(1))
    good = film(run, np.random.default_rng(2), ends_measured=True, lateral_sd=0.1)
    loose = replace(good, frame_rate=rate(50.0, 1.0))
    sure, unsure = (measure_strip(camera, "take-off").measures for camera in (good, loose))
    assert unsure["ground_roll"] == sure["ground_roll"]
    before, after = (one["lift_off_ground_speed"] for one in (sure, unsure))
    assert before.sd is not None
    assert after.sd is not None
    assert after.sd**2 - before.sd**2 == pytest.approx((0.02 * before.value) ** 2, rel=1e-3)


FRAMES = st.lists(st.integers(0, 5000), min_size=2, max_size=12, unique=True).map(sorted)


@settings(deadline=None, max_examples=60)
@given(frames=FRAMES, ends=st.tuples(st.integers(0, 5000), st.integers(0, 5000)), step=st.floats(0.5, 200.0))
def test_whatever_was_read_ends_as_a_figure_or_a_reason(
    frames: list[int], ends: tuple[int, int], step: float
) -> None:
    """Frames that no airplane ever flew give figures with an uncertainty, or words; never a bare number."""
    camera = replace(
        EVEN,
        marks=marks(*((20.0 + step * i, frame) for i, frame in enumerate(frames))),
        events=(CameraEvent("start of roll", min(ends)), CameraEvent("lift-off", max(ends) + 1)),
    )
    found = measure_strip(camera, "take-off")
    for figure in found.measures.values():
        assert figure.sd is not None
        assert 0.0 < figure.sd < figure.value
    assert {"ground_roll", "lift_off_ground_speed"} >= set(found.measures)
    assert len(found.measures) + len(found.refused) == 2


def test_frames_minutes_apart_are_refused() -> None:
    """A slip of the pen in a frame number is told, not fitted."""
    camera = replace(EVEN, marks=marks((60.0, 100), (140.0, 90_000)))
    with pytest.raises(ValueError, match="longer apart than a run lasts"):
        measure_strip(camera, "take-off")


@pytest.mark.parametrize(
    ("make", "speed", "event"),
    [
        (take_off_run, "lift_off_ground_speed", "lift-off"),
        (landing_run, "touchdown_ground_speed", "touchdown"),
    ],
)
def test_stated_uncertainties_are_honest(
    make: Callable[[np.random.Generator], Run], speed: str, event: CameraEventKind
) -> None:
    """Over runs that the smooth motion knows nothing of, errors are as large as stated.

    Marks every 20 m, standstill measured on the ground: (measured − true)/sd of roll and speed.
    """
    rolls, speeds = [], []
    for seed in range(200):
        run = make(np.random.default_rng([3, seed]))
        camera = film(run, np.random.default_rng([7, seed]), ends_measured=True, lateral_sd=0.4)
        measured = measure_strip(camera, run.kind).measures
        rolls.append(_deviation(measured["ground_roll"], run.ground_roll))
        speeds.append(_deviation(measured[speed], run.at(run.events[event])[1]))
    for found in (rolls, speeds):
        # About the truth and not about the mean: always a little too large is not honest either.
        assert 0.85 <= float(np.sqrt(np.mean(np.square(found)))) <= 1.15
        assert abs(float(np.mean(found))) < 0.4


def _deviation(measured: Estimate, true: float) -> float:
    assert measured.sd is not None
    return (measured.value - true) / measured.sd
