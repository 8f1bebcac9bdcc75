"""The camera on the fence post: frames at the marks from the simulated motion, as the card has them."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from datetime import datetime, timedelta
from math import ceil

import numpy as np

from wringout.demo.craft import Runway
from wringout.demo.sensors import FloatArray, column

FRAME_RATE = 50.0
CAMERA_DISTANCE, CAMERA_DISTANCE_SD = 58.0, 0.5  # m from the centre line, on the right
ABEAM, ABEAM_SD = 110.0, 1.0  # m along the strip from its threshold
MARK_SPACING, MARK_SD, MARK_OFFSET = 20.0, 0.05, 14.0  # m; stakes at the edge of the mown strip
LATERAL_SD = 0.3  # m, of the wheel tracks from the centre line, read in the grass
PLACE_SD = 0.2  # m, of where the wheels stood
CLOCK_SD = 0.03  # s
RATE_SD = 5e-5  # relative
JUDGED_SD = {"start of roll": 2.0, "lift-off": 1.0, "touchdown": 1.0, "full stop": 2.0}  # frames
STANDING = ("start of roll", "full stop")
LENGTH_SD = 0.03  # m, of the airplane


@dataclass(frozen=True, slots=True)
class FilmedEvent:
    """Something that happened before the camera [s], and how far off it is judged, in standard deviations."""

    kind: str
    time: float
    misjudged: float


@dataclass(frozen=True, slots=True)
class Film:
    """A take-off or landing that the camera saw."""

    point: str
    events: tuple[FilmedEvent, ...]

    @property
    def span(self) -> tuple[float, float]:
        """From when to when the marks are read [s]: the run, and a little of the air beside it."""
        times = [event.time for event in self.events]
        before = 0.0 if self.events[0].kind == "start of roll" else 2.5
        after = 2.5 if self.events[-1].kind == "lift-off" else 0.0
        return min(times) - before, max(times) + after


class _Motion:
    """Where the main wheels were along the strip at any moment of a film, finer than the samples."""

    def __init__(self, film: Film, runway: Runway, samples: FloatArray) -> None:
        from scipy.interpolate import CubicHermiteSpline

        time = column(samples, "time")
        start, end = film.span
        inside = (time > start - 2.0) & (time < end + 2.0)
        part = samples[inside]
        x, y = runway.direction
        along, right = runway.along(column(part, "east"), column(part, "north"))  # type: ignore[arg-type]
        speed = column(part, "east_speed") * x + column(part, "north_speed") * y
        self.along = CubicHermiteSpline(time[inside], along, speed)
        self.fine = np.arange(start, end, 0.002)
        self.places = np.maximum.accumulate(self.along(self.fine))
        rolling = (time[inside] >= start) & (time[inside] <= end)
        self.lateral = float(np.mean(np.asarray(right)[rolling]))

    def passing(self, place: float, ahead: float = 0.0) -> float | None:
        """When a point so far before the main wheels passes a place [s]; None where not during the film."""
        reached = self.places + ahead
        if not reached[0] + 0.2 < place < reached[-1] - 0.2:
            return None
        return float(np.interp(place, reached, self.fine))


def camera_tables(
    films: list[Film],
    runway: Runway,
    samples: FloatArray,
    reference: datetime,
    generator: np.random.Generator,
    *,
    ends: tuple[float, float],
) -> Iterator[str]:
    """A `[[camera]]` table of each film, with the errors of whoever measured and read it.

    `ends` says how far nose and tail are before the main wheels [m].
    """
    if not films:
        return
    # The post and the stakes stand where they stand for all films of a flight.
    distance = CAMERA_DISTANCE + CAMERA_DISTANCE_SD * generator.standard_normal()
    abeam = ABEAM + ABEAM_SD * generator.standard_normal()
    nominal = np.arange(0.0, 401.0, MARK_SPACING)
    stakes = nominal + MARK_SD * generator.standard_normal(len(nominal))
    for film in films:
        yield _table(
            film,
            _Motion(film, runway, samples),
            reference,
            generator,
            stakes=dict(zip(nominal.tolist(), stakes.tolist(), strict=True)),
            post=(distance, abeam),
            ends=ends,
        )


def _table(
    film: Film,
    motion: _Motion,
    reference: datetime,
    generator: np.random.Generator,
    *,
    stakes: dict[float, float],
    post: tuple[float, float],
    ends: tuple[float, float],
) -> str:
    distance, abeam = post
    rate = FRAME_RATE * (1.0 + RATE_SD * generator.standard_normal())
    zero = film.span[0] - generator.uniform(1.0, 3.0)
    shown = reference + timedelta(seconds=round(zero + CLOCK_SD * generator.standard_normal(), 2))
    lateral = motion.lateral + LATERAL_SD * generator.standard_normal()

    def frame(time: float) -> int:
        return ceil((time - zero) * rate)

    stretch = (distance - motion.lateral) / (distance - MARK_OFFSET)
    seen = {mark: abeam + (stake - abeam) * stretch for mark, stake in stakes.items()}
    marks = [
        f'    {{ distance = "{mark:.0f} m ± {MARK_SD} m", frame = {frame(passed)} }},'
        for mark, place in seen.items()
        if (passed := motion.passing(place)) is not None
    ]
    events = []
    for event in film.events:
        judged = frame(event.time) + round(JUDGED_SD[event.kind] * event.misjudged)
        stood = float(motion.along(event.time)) + PLACE_SD * generator.standard_normal()
        place = f', distance = "{stood:.1f} m ± {PLACE_SD} m"' if event.kind in STANDING else ""
        sd = f"{JUDGED_SD[event.kind]:.0f}"
        events.append(f'    {{ kind = "{event.kind}", frame = {judged}, frames_sd = {sd}{place} }},')
    lines = [
        "# Read off the film frame by frame; distances along the strip from the threshold.",
        "[[camera]]",
        f'point = "{film.point}"',
        f"frame_rate = {FRAME_RATE:.0f}",
        'what_passes = "main wheel"',
        f'camera_distance = "{CAMERA_DISTANCE:.0f} m ± {CAMERA_DISTANCE_SD} m"',
        f'abeam = "{ABEAM:.0f} m ± {ABEAM_SD:.0f} m"',
        f'marks_offset = "{MARK_OFFSET:.0f} m"',
        f'lateral = "{lateral:.1f} m ± {LATERAL_SD} m"  # of the tracks in the grass',
        f"frame_zero = {shown:%Y-%m-%dT%H:%M:%S}.{shown.microsecond // 10000:02d}Z",
        f'frame_zero_sd = "{CLOCK_SD} s"  # a watch set by the receiver was filmed',
        'note = "on the fence post"',
        "mark = [",
        *marks,
        "]",
        *_ruler(film, motion, seen, frame, ends),
        "event = [",
        *events,
        "]",
    ]
    return "\n".join(lines) + "\n"


def _ruler(
    film: Film,
    motion: _Motion,
    seen: dict[float, float],
    frame: Callable[[float], int],
    ends: tuple[float, float],
) -> list[str]:
    """Nose and tail past the stake nearest to lift-off; at touchdown nobody looked."""
    last = film.events[-1]
    if last.kind != "lift-off":
        return []
    left = float(motion.along(last.time))
    place = min(seen.values(), key=lambda place: abs(place - left))
    nose, tail = (motion.passing(place, end) for end in ends)
    if nose is None or tail is None:
        return []
    passed = f"nose_frame = {frame(nose)}, tail_frame = {frame(tail)}"
    return [f'ruler = [{{ length = "{ends[0] - ends[1]:.2f} m ± {LENGTH_SD} m", {passed} }}]']
