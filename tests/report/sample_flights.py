"""Made-up flights for the charts' and the report's tests: smooth paths, manoeuvres where they were put."""

from datetime import UTC, datetime

import numpy as np

from wringout.manoeuvres.manoeuvre import Event, Manoeuvre, ManoeuvreKind
from wringout.quantity import Dimension, Estimate
from wringout.recordings.recording import Exclusion, FloatArray, Recording, Track

RATE = 5.0  # samples a second
KNOT = 1852 / 3600


def flight(
    name: str,
    legs: tuple[tuple[ManoeuvreKind | None, float, float, float, float], ...],
    rng: np.random.Generator,
) -> tuple[Recording, Track, tuple[Manoeuvre, ...]]:
    """Segments (kind, seconds, heading [rad], speed [m/s], climb [m/s]) flown one after the other."""
    spans = []
    clock = 0.0
    for kind, seconds, _, pace, _ in legs:
        if kind is not None:
            spans.append(_manoeuvre(kind, clock + 1.0, clock + seconds - 1.0, pace))
        clock += int(seconds * RATE) / RATE
    counts = [int(leg[1] * RATE) for leg in legs]
    direction = _rounded(np.unwrap(np.repeat([leg[2] for leg in legs], counts)))
    speed = _rounded(np.repeat([leg[3] for leg in legs], counts))
    climb = _rounded(np.repeat([leg[4] for leg in legs], counts))
    time = np.arange(len(speed)) / RATE
    track = _track(time, speed * np.sin(direction), speed * np.cos(direction), climb)
    gust = rng.normal(0.0, 0.4, len(time))
    inches = np.where(climb > 0.5, 27.0, np.where(climb < -0.5, 14.0, 22.0))
    power = inches * 3386.389 + rng.normal(0.0, 300.0, len(time))
    recording = Recording(
        name,
        datetime(2026, 5, 12, 7, 40, tzinfo=UTC),
        time,
        {"height": track.up, "indicated_airspeed": speed + gust, "manifold_pressure": power},
        (Exclusion(431.0, 434.2, 16, None, "positions jump by 140 m and back"),),
        ((f"recordings/{name}.csv", "9f86d081884c7d659a2feaa0c55ad015a3bf4f1b2b0b822cd15d6c15b0f00a08"),),
    )
    return recording, track, tuple(spans)


def _rounded(steps: FloatArray) -> FloatArray:
    """Five seconds' running mean: no airplane steps."""
    return np.convolve(np.pad(steps, 12, mode="edge"), np.ones(25) / 25, mode="valid")


def _track(time: FloatArray, east_speed: FloatArray, north_speed: FloatArray, up_speed: FloatArray) -> Track:
    step = 1.0 / RATE
    east, north = np.cumsum(east_speed + 3.0) * step, np.cumsum(north_speed) * step
    up = 310.0 + np.maximum(np.cumsum(up_speed) * step, 0.0)
    nothing, small = np.zeros_like(time), np.full_like(time, 0.1)
    return Track(
        0.95,
        -0.05,
        time,
        east,
        north,
        up,
        east_speed + 3.0,
        north_speed,
        up_speed,
        nothing,
        nothing,
        nothing,
        small * 10,
        small * 10,
        small,
        small,
        small,
    )


def _manoeuvre(kind: ManoeuvreKind, start: float, end: float, pace: float) -> Manoeuvre:
    measures = {"indicated_airspeed": Estimate(pace, 0.3, Dimension.SPEED, "trimmed mean")}
    events = (Event("lift-off", start + 9.0, 0.4, "height and vertical speed"),) if kind == "take-off" else ()
    return Manoeuvre(kind, start, end, events, measures)


def legs_and_climbs() -> tuple[tuple[ManoeuvreKind | None, float, float, float, float], ...]:
    """Flight 1: take-off, sawtooth climbs, level legs on four headings, landing."""
    plan: list[tuple[ManoeuvreKind | None, float, float, float, float]] = [
        (None, 60, 0.3, 0.1, 0),
        ("take-off", 20, 0.3, 22, 0.8),
        (None, 60, 0.3, 33, 5),
    ]
    for index, knots in enumerate((58, 64, 70, 78)):
        plan += [
            ("climb", 70, 0.3 + index * 1.57, knots * KNOT, 5.5 - index * 0.3),
            (None, 40, 2.2 + index * 1.57, 38, -5),
        ]
    plan.append((None, 150, 1.2, 33, 4.5))
    for knots in (75, 90, 105, 118):
        for quarter in range(4):
            plan += [
                ("level leg", 45, quarter * 1.5708, knots * KNOT, 0),
                (None, 14, quarter * 1.5708 + 0.8, knots * KNOT, 0),
            ]
    plan += [(None, 330, 3.9, 45, -3.9), ("landing", 40, 0.3, 24, -1.5), (None, 60, 0.3, 0.2, 0)]
    return tuple(plan)


def stalls() -> tuple[tuple[ManoeuvreKind | None, float, float, float, float], ...]:
    """Flight 2: stalls in a row."""
    plan: list[tuple[ManoeuvreKind | None, float, float, float, float]] = [
        (None, 40, 1.3, 0.1, 0),
        ("take-off", 20, 1.3, 22, 0.8),
        (None, 300, 1.3, 33, 4.5),
    ]
    for index in range(9):
        plan += [
            (None, 60, 1.3 + index * 0.7, 34, 0.6),
            ("stall", 25, 1.3 + index * 0.7, 22 - index % 3, -0.5),
        ]
    plan += [(None, 330, 4.4, 45, -4.2), ("landing", 40, 1.3, 24, -1.2), (None, 40, 1.3, 0.2, 0)]
    return tuple(plan)


def circuits() -> tuple[tuple[ManoeuvreKind | None, float, float, float, float], ...]:
    """Flight 3: six take-offs and landings round the same strip."""
    plan: list[tuple[ManoeuvreKind | None, float, float, float, float]] = []
    for _ in range(6):
        plan += [
            (None, 30, 0.8, 0.1, 0),
            ("take-off", 18, 0.8, 22, 1.0),
            (None, 30, 0.8, 30, 5.0),
            (None, 25, 2.37, 32, 1.0),
            (None, 70, 3.94, 36, 0),
            (None, 22, 5.51, 32, -2.5),
            (None, 30, 0.8, 27, -4.0),
            ("landing", 28, 0.8, 20, -0.7),
        ]
    return tuple(plan)
