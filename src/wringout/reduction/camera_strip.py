"""The film of an outside camera → places, times, ground speeds and distances of a take-off or landing."""

from collections.abc import Mapping
from dataclasses import dataclass
from itertools import pairwise
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from wringout.dossier.camera import Camera, CameraEvent, CameraEventKind, CameraMark, CameraRuler
from wringout.physics.constants import GRAVITY, OBSTACLE_HEIGHT
from wringout.quantity.dimensions import Dimension
from wringout.quantity.estimate import Estimate
from wringout.reduction.smooth_motion import Moment, Seen, Unrest, log_evidence, smooth_motion

FloatArray = NDArray[np.float64]
Filmed = Literal["take-off", "landing"]

FRAME_SD = 1.0 / np.sqrt(12.0)  # frames: a moment lies anywhere within its frame, a rectangle
# Common practice, no source.
CLOCK_SD = 1e-4  # relative, of a camera's frame rate that nobody measured
STANDING_SD = 0.1  # [m/s] left over when an airplane is seen to stand or to begin to move
LARGEST_ACCELERATION = 5.0  # [m/s²] by which a noted standstill's time error becomes one of speed
# How much the acceleration of a run may wander [m/s² after a second], as throttles open, lift unloads the
# wheels and brakes bite: which of these the film tells, about a usual one and within a factor of it.
UNRESTS = (0.3, 0.5, 0.8, 1.2, 1.8, 2.7, 4.0)
USUAL_UNREST, UNREST_FACTOR = 1.2, 1.8
# More of it while a throttle opens after the start of roll, or brakes come to bite after touchdown [s].
EARLY_UNREST: dict[Filmed, float] = {"take-off": 2.5, "landing": 1.2}
EARLY_TIME = 2.5
# [m] by which what passes moves against the wheels as the airplane changes its attitude
PITCH_SD = {"main wheel": 0.0, "nose": 0.2, "tail": 0.4}
BEND = 0.15 * GRAVITY  # [m/s²] by which a path may bend between two heights that were read
LONGEST_FILM = 120.0  # s from the first to the last frame read; no run lasts longer
MOST_RELATIVE_SD = 0.15  # a figure that the frames leave more uncertain than this is not told as one
WORDS = {
    "ground_roll": "ground roll",
    "air_distance": "air distance",
    "lift_off_ground_speed": "ground speed at lift-off",
    "touchdown_ground_speed": "ground speed at touchdown",
    "obstacle_ground_speed": "ground speed at 15.24 m",
}


@dataclass(frozen=True, slots=True)
class FilmedEvent:
    """Something seen on the film: when after frame 0 [s], where along the strip [m], how fast [m/s].

    Place and speed are None where the frames do not determine them.
    """

    kind: CameraEventKind | Literal["obstacle"]
    time: Estimate
    place: Estimate | None
    ground_speed: Estimate | None


@dataclass(frozen=True, slots=True)
class CameraStrip:
    """What one film measured: figures by the names that manoeuvres give them, and what it could not say."""

    source: str
    frames: tuple[int, int]
    measures: Mapping[str, Estimate]
    events: tuple[FilmedEvent, ...]
    mark_speeds: tuple[Estimate, ...]
    refused: tuple[str, ...]
    event_sd: float  # [m] of distances by the frame of lift-off or touchdown alone


def mean_speed(distance: Estimate, frames: int, frame_rate: Estimate) -> Estimate:
    """Mean ground speed [m/s] over a distance [m] that took so many whole frames.

    Serves for two marks and for an airplane as its own ruler: its length over the frames from nose to tail
    past one mark. Raises ValueError where the number of frames is not positive.

    Notes
    -----
    v = d f/n [derived]. Each end lies anywhere within its frame, so n has the standard uncertainty √(2/12);
    relative variances of d, f and n add [GUM, 5.1.6].

    Examples
    --------
    An airplane of 7.35 m that passes a post in 18 frames at 50 a second:

    >>> length = Estimate(7.35, 0.02, Dimension.LENGTH, "tape")
    >>> found = mean_speed(length, 18, Estimate(50.0, None, Dimension.RATIO, "maker"))
    >>> print(f"{found.value:.1f} m/s ± {found.sd:.2f} m/s")
    20.4 m/s ± 0.47 m/s
    """
    if frames <= 0:
        raise ValueError("the passage must take at least one frame")
    speed = distance.value * frame_rate.value / frames
    relative = np.sqrt(
        ((distance.sd or 0.0) / distance.value) ** 2
        + _clock_sd(frame_rate) ** 2
        + 2.0 * FRAME_SD**2 / frames**2
    )
    source = f"{distance.value:.2f} m in {frames} frames at {frame_rate.value:g} frames/s"
    return Estimate(speed, float(speed * relative), Dimension.SPEED, source)


def sight_line(camera: Camera, mark: CameraMark) -> tuple[float, float, FloatArray]:
    """Where along the strip the airplane is when it is seen to pass a mark: place, own sd, sensitivities [m].

    The sensitivities are changes of the place by one standard uncertainty of the airplane's lateral place,
    of the camera's distance and of the place that it is abeam of: errors that all marks share.

    Raises ValueError where the camera's place is not known.

    Notes
    -----
    Similar triangles [derived]. The camera C stands D off the centre line abeam x_C, the mark at x off it by
    m, the airplane's track by y, both positive towards the camera. Their line of sight cuts the track at

        p = x_C + (x − x_C) (D − y)/(D − m):

    parallax stretches all distances between marks of one offset by one factor, whatever the angle. Nothing
    of it enters a speed by the airplane's own length, as nose and tail cross the same line of sight.
    """
    if camera.camera_distance is None or camera.abeam is None:
        raise ValueError("without the camera's own place the parallax of its marks is not known")
    distance, abeam, lateral = camera.camera_distance, camera.abeam, camera.lateral
    from_camera = distance.value - mark.offset
    stretch = (distance.value - lateral.value) / from_camera
    away = mark.distance.value - abeam.value
    shared = np.array(
        [
            -away / from_camera * (lateral.sd or 0.0),
            away * (lateral.value - mark.offset) / from_camera**2 * (distance.sd or 0.0),
            (1.0 - stretch) * (abeam.sd or 0.0),
        ]
    )
    return abeam.value + away * stretch, stretch * (mark.distance.sd or 0.0), shared


def measure_strip(camera: Camera, kind: Filmed) -> CameraStrip:
    """Distances, times and ground speeds of a filmed take-off or landing.

    Parameters
    ----------
    camera : Camera
        What was read off the film.
    kind : "take-off" or "landing"

    Returns
    -------
    CameraStrip
        Measures as `Manoeuvre` names them [m, m/s], as far as the frames determine them within 15 %; what
        they do not is refused in words.

    Raises
    ------
    ValueError
        Fewer than two marks and no ruler, marks without the camera's place, or frames minutes apart.

    Notes
    -----
    A smooth motion is laid through every mark's sight line, every passage of nose and tail, every standstill
    and every place measured on the ground (`smooth_motion`), weighted by their errors: of the marks, of
    frames that are 1/f long (a rectangle: sd 1/√12 of one, times the speed), of parallax, which all marks
    share. From it the place and speed at each event; the event's own frame adds v σ_t to its place and a σ_t
    to its speed. The camera's clock stretches all speeds alike and no distance [derived].
    """
    if len(camera.marks) < 2 and not camera.rulers:
        raise ValueError("fewer than two marks and no ruler: nothing tells how fast the airplane was")
    first, last = camera.frames
    if (last - first) / camera.frame_rate.value > LONGEST_FILM:
        raise ValueError(f"frames {first} and {last} are longer apart than a run lasts: look at them again")
    return _Film(camera, kind).measured()


def _clock_sd(frame_rate: Estimate) -> float:
    """Relative standard uncertainty of the frame rate."""
    return CLOCK_SD if frame_rate.sd is None else frame_rate.sd / frame_rate.value


class _Film:
    """The sights of one film and the motion through them."""

    def __init__(self, camera: Camera, kind: Filmed) -> None:
        self.camera, self.kind = camera, kind
        self.rate = camera.frame_rate.value
        self.events = {event.kind: event for event in camera.events}
        first, last = camera.frames
        rulers, marks = len(camera.rulers), len(camera.marks)
        passes = [f"{camera.what_passes} past {marks} mark{'s' if marks > 1 else ''}"] if marks else []
        passes += ["own length as ruler"] if rulers else []
        self.source = f"camera, frames {first}–{last} at {self.rate:g} frames/s, {', '.join(passes)}"
        self.reference = "lift-off" if kind == "take-off" else "touchdown"
        self.still = "start of roll" if kind == "take-off" else "full stop"
        self.unrest = self._unrest(USUAL_UNREST)
        self.seen, self.covariance = self._sights()
        self.unrest = self._likeliest_unrest()

    def seconds(self, frame: float) -> float:
        return frame / self.rate

    def frames_sd(self, event: CameraEvent) -> float:
        """Standard uncertainty of an event's time [s]."""
        return float(np.hypot(FRAME_SD, event.frames_sd)) / self.rate

    def _sights(self) -> tuple[list[Seen], FloatArray]:
        """Everything seen, twice: how far an error in time moves a place is known once the speed is."""
        speeds = np.full(len(self.camera.marks) + len(self.camera.events), self._rough_speed())
        seen, covariance = self._with_speeds(speeds)
        for _ in range(2):
            times = [mark.frame for mark in self.camera.marks] + [event.frame for event in self.camera.events]
            asked = [Moment(self.seconds(frame), 1) for frame in times]
            speeds, _ = smooth_motion(seen, covariance, self.unrest, asked)
            seen, covariance = self._with_speeds(np.abs(speeds))
        return seen, covariance

    def _unrest(self, usual: float) -> Unrest:
        early = self.events.get("start of roll" if self.kind == "take-off" else "touchdown")
        if early is None:
            return Unrest(usual)
        begin = self.seconds(early.frame)
        return Unrest(usual, EARLY_UNREST[self.kind], begin, begin + EARLY_TIME)

    def _likeliest_unrest(self) -> Unrest:
        """The unrest that explains the sights best, with a log-normal belief about the usual one."""

        def score(unrest: Unrest) -> float:
            belief = float(np.log(unrest.usual / USUAL_UNREST) / np.log(UNREST_FACTOR))
            return log_evidence(self.seen, self.covariance, unrest) - 0.5 * belief**2

        return max((self._unrest(usual) for usual in UNRESTS), key=score)

    def _rough_speed(self) -> float:
        marks = self.camera.marks
        if len(marks) > 1:
            apart = marks[-1].distance.value - marks[0].distance.value
            return apart / self.seconds(marks[-1].frame - marks[0].frame)
        ruler = self.camera.rulers[0]
        return mean_speed(ruler.length, ruler.tail_frame - ruler.nose_frame, self.camera.frame_rate).value

    def _with_speeds(self, speeds: FloatArray) -> tuple[list[Seen], FloatArray]:
        camera, blur = self.camera, FRAME_SD / self.rate
        seen: list[Seen] = []
        own: list[float] = []
        shared: list[FloatArray] = []
        nothing = np.zeros(3)

        def add(sight: Seen, sd: float, sensitivities: FloatArray = nothing) -> None:
            seen.append(sight)
            own.append(sd)
            shared.append(sensitivities)

        for mark, speed in zip(camera.marks, speeds, strict=False):
            place, sd, sensitivities = sight_line(camera, mark)
            moment = Moment(self.seconds(mark.frame))
            add(Seen(((1.0, moment),), place), float(np.hypot(sd, speed * blur)), sensitivities)
        for ruler in camera.rulers:
            add(*self._ruler_sight(ruler))
        for event, speed in zip(camera.events, speeds[len(camera.marks) :], strict=True):
            time, time_sd = self.seconds(event.frame), self.frames_sd(event)
            if event.kind == self.still:
                sd = float(np.hypot(STANDING_SD, LARGEST_ACCELERATION * time_sd))
                add(Seen(((1.0, Moment(time, 1)),), 0.0), sd)
                speed = 0.0  # noqa: PLW2901 - at a standstill no error in time moves the place
            if event.distance is not None:
                sd = float(np.hypot(event.distance.sd or 0.0, speed * time_sd))
                add(Seen(((1.0, Moment(time)),), event.distance.value), sd)
        together = np.array(shared)
        return seen, np.diag(np.square(own)) + together @ together.T

    def _ruler_sight(self, ruler: CameraRuler) -> tuple[Seen, float]:
        frames = ruler.tail_frame - ruler.nose_frame
        speed = mean_speed(ruler.length, frames, self.camera.frame_rate)
        nose, tail = (Moment(self.seconds(frame)) for frame in (ruler.nose_frame, ruler.tail_frame))
        blur = float(np.sqrt(2.0)) * FRAME_SD / self.rate
        sd = float(np.hypot(ruler.length.sd or 0.0, speed.value * blur))
        return Seen(((1.0, tail), (-1.0, nose)), ruler.length.value), sd

    def motion(self, asked: list[Moment]) -> tuple[FloatArray, FloatArray]:
        return smooth_motion(self.seen, self.covariance, self.unrest, asked)

    # What the motion says

    def measured(self) -> CameraStrip:
        refused: list[str] = []
        measures: dict[str, Estimate] = {}
        moments: dict[str, tuple[float, float]] = {
            event.kind: (self.seconds(event.frame), self.frames_sd(event)) for event in self.camera.events
        }
        obstacle = self._obstacle(refused)
        if obstacle is not None:
            moments["obstacle"] = obstacle
        names = {
            "ground_roll": (self.still, self.reference),
            "air_distance": (self.reference, "obstacle"),
        }
        for name, ends in names.items():
            if all(end in moments for end in ends):
                self._keep(name, self._distance(name, moments[ends[0]], moments[ends[1]]), measures, refused)
            elif name == "ground_roll":
                absent = " and ".join(end for end in ends if end not in moments)
                refused.append(f"no ground roll: no frame was noted for {absent}")
        speeds = {f"{self.reference.replace('-', '_')}_ground_speed": self.reference}
        speeds["obstacle_ground_speed"] = "obstacle"
        for name, end in speeds.items():
            if end in moments:
                self._keep(name, self._speed(*moments[end], WORDS[name]), measures, refused)
        marks = [
            self._speed(
                self.seconds(mark.frame), FRAME_SD / self.rate, f"at the mark {mark.distance.value:g} m"
            )
            for mark in self.camera.marks
        ]
        return CameraStrip(
            self.source,
            self.camera.frames,
            measures,
            tuple(self._event(kind, *moment) for kind, moment in moments.items()),
            tuple(marks),
            tuple(refused),
            self._event_sd(),
        )

    def _keep(self, name: str, found: Estimate, measures: dict[str, Estimate], refused: list[str]) -> None:
        if found.sd is not None and 0.0 <= found.sd <= MOST_RELATIVE_SD * found.value:
            measures[name] = found
        else:
            refused.append(
                f"no {WORDS[name]}: the frames leave {found.value:.1f} ± {found.sd:.1f} "
                f"{found.dimension.value}; set marks nearer to where it happens"
            )

    def _distance(self, name: str, one: tuple[float, float], other: tuple[float, float]) -> Estimate:
        (start, start_sd), (end, end_sd) = sorted((one, other))
        asked = [Moment(start), Moment(end), Moment(start, 1), Moment(end, 1)]
        value, covariance = self.motion(asked)
        variance = covariance[0, 0] + covariance[1, 1] - 2.0 * covariance[0, 1]
        variance += (value[2] * start_sd) ** 2 + (value[3] * end_sd) ** 2
        variance += PITCH_SD[self.camera.what_passes] ** 2
        sd = float(np.sqrt(max(variance, 0.0)))
        return Estimate(float(value[1] - value[0]), sd, Dimension.LENGTH, f"{self.source}: {WORDS[name]}")

    def _speed(self, time: float, time_sd: float, what: str) -> Estimate:
        value, covariance = self.motion([Moment(time, 1), Moment(time, 2)])
        clock = _clock_sd(self.camera.frame_rate) * value[0]
        sd = float(np.sqrt(max(covariance[0, 0], 0.0) + (value[1] * time_sd) ** 2 + clock**2))
        return Estimate(float(value[0]), sd, Dimension.SPEED, f"{self.source}: {what}")

    def _event(self, kind: str, time: float, time_sd: float) -> FilmedEvent:
        value, covariance = self.motion([Moment(time), Moment(time, 1)])
        place_sd = float(np.sqrt(max(covariance[0, 0], 0.0) + (value[1] * time_sd) ** 2))
        clock = float(np.hypot(time_sd, _clock_sd(self.camera.frame_rate) * time))
        speed = self._speed(time, time_sd, f"ground speed at {kind}")
        known = (speed.sd or 0.0) <= max(MOST_RELATIVE_SD * speed.value, 3.0 * STANDING_SD)
        absolute = place_sd < 0.1 * (abs(value[1]) * 10.0 + 50.0)
        return FilmedEvent(
            kind,  # type: ignore[arg-type]  # the events' own kinds and the obstacle
            Estimate(time, clock, Dimension.TIME, f"{self.source}: time after frame 0 of {kind}"),
            Estimate(float(value[0]), place_sd, Dimension.LENGTH, f"{self.source}: place of {kind}")
            if absolute
            else None,
            speed if known else None,
        )

    def _event_sd(self) -> float:
        event = self.events.get(self.reference)  # type: ignore[call-overload]
        if event is None:
            return 0.0
        value, _ = self.motion([Moment(self.seconds(event.frame), 1)])
        return float(abs(value[0]) * self.frames_sd(event))

    def _obstacle(self, refused: list[str]) -> tuple[float, float] | None:
        """When the wheels were 15.24 m above the strip, by the heights read on the marks [s], and its sd."""
        read = [
            (self.seconds(mark.frame), *_true_height(self.camera, mark))
            for mark in self.camera.marks
            if mark.height is not None
        ]
        if not read:
            return None
        rising = 1.0 if self.kind == "take-off" else -1.0
        for (t0, h0, s0), (t1, h1, s1) in pairwise(read):
            low, high = (h0, h1) if rising > 0 else (h1, h0)
            if low < OBSTACLE_HEIGHT <= high:
                share = (OBSTACLE_HEIGHT - h0) / (h1 - h0)
                bend = 0.5 * BEND * share * (1.0 - share) * (t1 - t0) ** 2
                height_sd = float(np.sqrt(((1.0 - share) * s0) ** 2 + (share * s1) ** 2 + bend**2))
                return t0 + share * (t1 - t0), height_sd * (t1 - t0) / abs(h1 - h0)
        lowest, highest = min(row[1] for row in read), max(row[1] for row in read)
        refused.append(
            f"no air distance: the heights read go from {lowest:.1f} m to {highest:.1f} m and do not show "
            f"where {OBSTACLE_HEIGHT:.2f} m was passed"
        )
        return None


def _true_height(camera: Camera, mark: CameraMark) -> tuple[float, float]:
    """Height of the wheels above the strip [m] from where they were seen on a mark, and its sd.

    The line of sight again [derived]: z = c + (h − c)(D − y)/(D − m), c the camera's height.
    """
    if camera.camera_distance is None or mark.height is None:
        raise ValueError("a height is read on a mark, with the camera's distance known")
    distance, lateral = camera.camera_distance, camera.lateral
    from_camera = distance.value - mark.offset
    stretch = (distance.value - lateral.value) / from_camera
    above = mark.height.value - camera.camera_height
    sd = float(
        np.sqrt(
            (stretch * (mark.height.sd or 0.0)) ** 2
            + (above / from_camera * (lateral.sd or 0.0)) ** 2
            + (above * (lateral.value - mark.offset) / from_camera**2 * (distance.sd or 0.0)) ** 2
        )
    )
    return camera.camera_height + above * stretch, sd
