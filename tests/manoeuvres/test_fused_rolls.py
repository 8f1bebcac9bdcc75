"""Rolls that an accelerometer told too, through the finders: start, distance and speed as well as stated."""

from collections import defaultdict
from datetime import UTC, datetime

import numpy as np

from tests.manoeuvres.flying import (
    GRAVITY,
    LATITUDE,
    LONGITUDE,
    METRES_A_RADIAN,
    STALL_SPEED,
    TICK,
    Flight,
    circuit,
)
from wringout.manoeuvres import Manoeuvre, TimedMark, find
from wringout.recordings import Recording, smooth
from wringout.recordings.recording import FloatArray

STEP = 0.1  # s between the accelerometer's samples; the receiver gives one fix a second
POSITION_SD, SPEED_SD = 0.8, 0.1  # m, m/s


def flown() -> Flight:
    """One circuit to a full stop."""
    flight = Flight()
    flight.stand(40.0)
    flight.take_off()
    circuit(flight)
    flight.land(100.0, coasting=1.5)
    flight.stand(20.0)
    return flight


FLIGHT = flown()


def recorded(seed: int) -> Recording:
    """A receiver at 1 Hz beside a tilted accelerometer with an error of its own at 10 Hz."""
    generator = np.random.default_rng([19, seed])
    rows = np.array(FLIGHT.rows)
    along: FloatArray = np.hypot(np.gradient(rows[:, 0], TICK), np.gradient(rows[:, 1], TICK))
    climb = np.gradient(rows[:, 2], TICK)
    # felt along the path: what speeds it up, and its share of gravity in a climb
    felt = np.gradient(along, TICK) + GRAVITY * climb / np.maximum(along, 1.0)
    rows, along, felt = (each[:: round(STEP / TICK)] for each in (rows, along, felt))
    count = len(rows)
    tilt, error = generator.normal(0.0, 0.05), generator.normal(0.0, 0.2)
    bumps = GRAVITY + np.where(along > 0.5, generator.normal(0.0, 0.8, count), 0.0)
    fixed = np.arange(count) % round(1.0 / STEP) == 3

    def at_fixes(values: FloatArray, sd: float) -> FloatArray:
        seen: FloatArray = np.where(fixed, values + generator.normal(0.0, sd, count), np.nan)
        return seen

    drift = np.cumsum(generator.normal(0.0, 0.1 * np.sqrt(STEP), count))
    channels = {
        "latitude": LATITUDE + at_fixes(rows[:, 1], POSITION_SD) / METRES_A_RADIAN,
        "longitude": LONGITUDE + at_fixes(rows[:, 0], POSITION_SD) / (METRES_A_RADIAN * np.cos(LATITUDE)),
        "height": at_fixes(rows[:, 2] + drift, 0.3),
        "ground_speed": np.abs(at_fixes(along, SPEED_SD)),
        "longitudinal_acceleration": felt * np.cos(tilt)
        + bumps * np.sin(tilt)
        + error
        + generator.normal(0.0, 0.3, count),
        "normal_acceleration": bumps * np.cos(tilt) - felt * np.sin(tilt) + generator.normal(0.0, 0.3, count),
    }
    time: FloatArray = np.linspace(0.0, (count - 1) * STEP, count)
    return Recording(
        "flight.csv", datetime(2026, 5, 2, 8, tzinfo=UTC), time, channels, (), (("flight.csv", "0"),)
    )


def rolls(recording: Recording) -> tuple[Manoeuvre, Manoeuvre]:
    """Take-off and landing, the wheels' moments filmed."""
    track = smooth(recording)
    assert len(track.rolls) == 2, "an accelerometer told both rolls"
    marks = (
        TimedMark(FLIGHT.events["lift-off"][0], "lift-off", 0.02),
        TimedMark(FLIGHT.events["touchdown"][0], "touchdown", 0.02),
    )
    found = find(recording, track, STALL_SPEED, marks)
    (takeoff,) = (each for each in found if each.kind == "take-off")
    (landing,) = (each for each in found if each.kind == "landing")
    return takeoff, landing


def test_fused_rolls_are_as_long_as_they_were() -> None:
    """Over twelve recordings: start of roll, both ground rolls and both speeds, none surer than it is."""
    errors: dict[str, list[float]] = defaultdict(list)
    stated: dict[str, list[float]] = defaultdict(list)
    for seed in range(12):
        takeoff, landing = rolls(recorded(seed))
        start = takeoff.events[0]
        assert start.name == "start of roll"
        assert start.reason == "last moment at rest before the run"
        errors["start of roll"].append((start.time - FLIGHT.events["start of roll"][0]) / start.time_sd)
        for name, manoeuvre, measure, true in (
            ("ground roll", takeoff, "ground_roll", FLIGHT.distances["ground roll"][0]),
            ("landing roll", landing, "ground_roll", FLIGHT.distances["landing roll"][0]),
            ("lift-off speed", takeoff, "lift_off_ground_speed", 26.0),
            ("touchdown speed", landing, "touchdown_ground_speed", FLIGHT.distances["touchdown speed"][0]),
        ):
            estimate = manoeuvre.measures[measure]
            assert estimate.sd is not None
            errors[name].append((estimate.value - true) / estimate.sd)
            stated[name].append(estimate.sd)
    for name, each in errors.items():
        assert np.sqrt(np.mean(np.square(each))) < 1.35, (name, np.mean(each), np.std(each))
    # with the moments filmed, what is left is the receiver's own
    assert np.median(stated["ground roll"]) < 2.0
    assert np.median(stated["landing roll"]) < 2.0
    for name in ("ground roll", "landing roll", "lift-off speed", "touchdown speed"):
        assert np.std(errors[name]) > 0.2, name
