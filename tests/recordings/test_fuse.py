"""A roll by accelerometer and receiver together is as well known as stated, and what contradicts is said."""

from dataclasses import dataclass
from datetime import UTC, datetime

import numpy as np
import pytest

from tests.recordings.real import real
from wringout.recordings import ChannelColumn, ColumnMapping, Recording, merge, read, smooth
from wringout.recordings.fuse import PRIOR_MEAN, PRIOR_SD, FusedRoll
from wringout.recordings.projection import EQUATORIAL_RADIUS
from wringout.recordings.recording import FloatArray

GRAVITY = 9.80665
START = 20.0  # s at which the simulated roll begins
RATE = 100.0  # Hz of the accelerometer
POSITION_SD, SPEED_SD = 1.5, 0.1


@dataclass(frozen=True)
class Simulated:
    """A take-off run as it was, and as a tilted accelerometer and a receiver once a second saw it."""

    time: FloatArray
    along: FloatArray
    speed: FloatArray
    longitudinal: FloatArray
    normal: FloatArray
    fix_time: FloatArray
    fix: FloatArray
    fix_speed: FloatArray

    def roll(self) -> FusedRoll:
        """The roll from what was seen."""
        return FusedRoll(
            self.time,
            self.longitudinal,
            self.normal - GRAVITY,
            self.fix_time,
            self.fix,
            self.fix_time,
            self.fix_speed,
            POSITION_SD,
            SPEED_SD,
        )


def simulated(seed: int, rate: float = RATE, end: float = 45.0) -> Simulated:
    """Standing, then 2.6 m/s² that fades as drag grows, with gusts, bumps, vibration, a tilt and an error."""
    generator = np.random.default_rng(seed)
    time: FloatArray = np.arange(0.0, end, 1 / rate)
    since = np.maximum(time - START, 0.0)
    push = 2.6 * np.exp(-since / 20.0) * np.clip(since / 1.5, 0.0, 1.0)
    push += np.where(since > 0.0, 0.15 * np.sin(4.4 * since), 0.0)
    speed = np.concatenate(([0.0], np.cumsum((push[1:] + push[:-1]) / 2 / rate)))
    along = np.concatenate(([0.0], np.cumsum((speed[1:] + speed[:-1]) / 2 / rate)))
    tilt, error = generator.normal(0.0, 0.1), generator.normal(0.0, 0.3)
    bumps = GRAVITY + np.where(since > 0.0, generator.normal(0.0, 1.0, len(time)), 0.0)
    longitudinal = push * np.cos(tilt) + bumps * np.sin(tilt) + error + generator.normal(0.0, 0.5, len(time))
    normal = bumps * np.cos(tilt) - push * np.sin(tilt) + generator.normal(0.0, 0.3, len(time))
    fix_time: FloatArray = np.arange(0.3, end - 0.5, 1.0)
    fix = np.interp(fix_time, time, along) + generator.normal(0.0, POSITION_SD, len(fix_time))
    fix_speed = np.interp(fix_time, time, speed) + generator.normal(0.0, SPEED_SD, len(fix_time))
    return Simulated(time, along, speed, longitudinal, normal, fix_time, fix, fix_speed)


def test_speeds_and_distances_are_as_uncertain_as_stated() -> None:
    """Over a hundred rolls the errors of speed, acceleration and distance spread as their deviations say."""
    moments = np.array([22.0, 27.0, 32.5, 40.0])
    errors: dict[str, list[float]] = {"speed": [], "distance": [], "constant error": []}
    for seed in range(100):
        truth = simulated(seed)
        roll = truth.roll()
        speed, sd = roll.speed(moments)
        errors["speed"].extend((speed - np.interp(moments, truth.time, truth.speed)) / sd)
        distance, distance_sd = roll.distance(START, 38.0)
        errors["distance"].append((distance - np.interp(38.0, truth.time, truth.along)) / distance_sd)
        assert sd.max() < 0.08, "better known than by the receiver alone"
        assert distance_sd < 0.6
    for name in ("speed", "distance"):
        assert 0.85 < np.std(errors[name]) < 1.15, name
        assert abs(np.mean(errors[name])) < 0.25, name


def test_equals_the_dense_system() -> None:
    """As from one matrix over every sample: places, speeds, the three constants, each step's noise in its own
    row."""
    truth = simulated(3, rate=10.0, end=26.0)
    roll = truth.roll()
    step = np.diff(truth.time)
    count = len(truth.time)
    # unknowns: s and v at every sample, then c, d, e; the noise of a step moves speed and place together
    size = 2 * count + 3
    precision, side = np.zeros((size, size)), np.zeros(size)

    def add(rows: FloatArray, values: FloatArray, covariance: FloatArray) -> None:
        nonlocal precision, side
        weight = np.linalg.inv(covariance)
        precision += rows.T @ weight @ rows
        side += rows.T @ weight @ values

    signals = (roll.longitudinal, np.ones(count), roll.normal)
    for k, h in enumerate(step):
        rows = np.zeros((2, size))
        rows[0, [2 * k + 2, 2 * k, 2 * k + 1]] = 1.0, -1.0, -h
        rows[1, [2 * k + 3, 2 * k + 1]] = 1.0, -1.0
        for place, signal in enumerate(signals):
            rows[0, 2 * count + place] = -(2 * signal[k] + signal[k + 1]) * h**2 / 6
            rows[1, 2 * count + place] = -(signal[k] + signal[k + 1]) * h / 2
        noise = roll.density**2 * np.array([[h**3 / 3, h**2 / 2], [h**2 / 2, h]])
        add(rows, np.zeros(2), noise)
    first = np.zeros((5, size))
    first[[0, 1, 2, 3, 4], [0, 1, 2 * count, 2 * count + 1, 2 * count + 2]] = 1.0
    add(first, PRIOR_MEAN, np.diag(PRIOR_SD**2))
    at = np.round(truth.fix_time * 10).astype(int)
    np.testing.assert_allclose(truth.time[at], truth.fix_time, atol=1e-9)
    for place, values, sd in ((0, truth.fix, POSITION_SD), (1, truth.fix_speed, SPEED_SD)):
        rows = np.zeros((len(at), size))
        rows[np.arange(len(at)), 2 * at + place] = 1.0
        add(rows, values, sd**2 * np.eye(len(at)))
    mean, covariance = np.linalg.solve(precision, side), np.linalg.inv(precision)
    sds = np.sqrt(np.diag(covariance) * roll.misfit)
    for (value, told_sd), place in ((roll.along(truth.time), 0), (roll.speed(truth.time), 1)):
        np.testing.assert_allclose(value, mean[place : 2 * count : 2], atol=1e-5)
        np.testing.assert_allclose(told_sd, sds[place : 2 * count : 2], rtol=1e-4)
    step_row = np.zeros(size)
    step_row[[2 * 200, 2 * 250]] = -1.0, 1.0
    distance, distance_sd = roll.distance(float(truth.time[200]), float(truth.time[250]))
    assert distance == pytest.approx(step_row @ mean, abs=1e-5)
    assert distance_sd == pytest.approx(np.sqrt(step_row @ covariance @ step_row * roll.misfit), rel=1e-4)


def test_positions_and_speeds_that_contradict_are_said() -> None:
    """Positions that fall a tenth short: both distances in a sentence, and the truth within the deviation."""
    truth = simulated(5)
    short = FusedRoll(
        truth.time,
        truth.longitudinal,
        truth.normal - GRAVITY,
        truth.fix_time,
        0.9 * truth.fix,
        truth.fix_time,
        truth.fix_speed,
        POSITION_SD,
        SPEED_SD,
    )
    assert truth.roll().note == ""
    assert "positions give" in short.note
    distance, sd = short.distance(START, 38.0)
    assert abs(distance - np.interp(38.0, truth.time, truth.along)) < 2 * sd
    assert sd > 5.0


def logged(truth: Simulated) -> list[Recording]:
    """The run towards the north-east as a receiver's log and an accelerometer's, with a climb after it."""
    start = datetime(2026, 5, 2, 7, 31, tzinfo=UTC)
    place = truth.fix / np.sqrt(2) / EQUATORIAL_RADIUS
    receiver = Recording(
        "receiver",
        start,
        truth.fix_time,
        {
            "latitude": np.radians(0.1) + place,
            "longitude": np.radians(-1.0) + place / np.cos(np.radians(0.1)),
            "height": 100.0 + np.random.default_rng(1).normal(0.0, 1.0, len(place)),
            "ground_speed": np.abs(truth.fix_speed),
            "track": np.full(len(place), np.pi / 4),
        },
        (),
        (),
    )
    accelerometer = Recording(
        "phone",
        start,
        truth.time,
        {"longitudinal_acceleration": truth.longitudinal, "normal_acceleration": truth.normal},
        (),
        (),
    )
    return [receiver, accelerometer]


def test_smoothing_uses_the_accelerometer() -> None:
    """The smoothed track of the merged logs follows the truth several times closer than the receiver's."""
    ratios: list[float] = []
    fused: list[float] = []
    alone: list[float] = []
    for seed in range(12):
        truth = simulated(seed, end=60.0)
        logs = logged(truth)
        for errors, recording in ((fused, merge(logs)), (alone, logs[0])):
            track = smooth(recording)
            inside = (track.time > START + 1.0) & (track.time < 40.0)
            speed = np.hypot(track.east_speed, track.north_speed)[inside]
            true = np.interp(track.time[inside], truth.time, truth.speed)
            errors.extend(speed - true)
            assert bool(track.rolls) == (recording is not logs[0])
            if track.rolls:
                ratios.extend(((speed - true) / track.speed_sd[inside])[::150])
    assert np.std(fused) < 0.6 * np.std(alone)
    assert 0.7 < np.std(ratios) < 1.3


def test_a_real_take_off_by_telephone() -> None:
    """A telephone's positions and speeds contradict each other over its take-off, and that is said.

    48 kt were reached after 670 ft by the positions of the run, 957 ft by the speeds of the whole record, in
    which the airplane taxied first.
    """
    location = real("takeoff_phone/location_b.csv")
    accelerometer = real("takeoff_phone/accelerometer_b.csv")
    begins = "2026-01-01T00:00:00Z"  # the record has no date
    receiver = read(
        location,
        ColumnMapping(
            "Time (s)",
            "elapsed",
            {
                "latitude": ChannelColumn("Latitude (°)", "°"),
                "longitude": ChannelColumn("Longitude (°)", "°"),
                "height": ChannelColumn("Height (m)", "m"),
                "ground_speed": ChannelColumn("Velocity (m/s)", "m/s"),
                "track": ChannelColumn("Direction (°)", "°"),
            },
            elapsed_start=begins,
        ),
    )
    felt = read(
        accelerometer,
        ColumnMapping(
            "Time (s)",
            "elapsed",
            {
                "longitudinal_acceleration": ChannelColumn("Acceleration y (m/s^2)", "m/s²"),
                "normal_acceleration": ChannelColumn("Acceleration z (m/s^2)", "m/s²"),
            },
            elapsed_start=begins,
        ),
    )
    track = smooth(merge([receiver, felt]))
    assert len(track.rolls) == 1
    assert "positions give" in track.rolls[0].note
    speed = np.hypot(track.east_speed, track.north_speed)
    in_roll = (track.time > track.rolls[0].start + 2.0) & (track.time < track.rolls[0].end - 2.0)
    first = np.flatnonzero(in_roll)[np.argmin(speed[in_roll])]
    fast = first + int(np.argmax(speed[first:] > 48 * 1852 / 3600))
    rolled = np.hypot(track.east[fast] - track.east[first], track.north[fast] - track.north[first]) / 0.3048
    assert 600 < rolled < 700
