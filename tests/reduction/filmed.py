"""Films of runs whose truth is known: an airplane on a strip, marks beside it, 50 frames a second."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from wringout.dossier.camera import Camera, CameraEvent, CameraEventKind, CameraMark
from wringout.quantity.dimensions import Dimension
from wringout.quantity.estimate import Estimate
from wringout.reduction.camera_strip import Filmed

FloatArray = NDArray[np.float64]
STEP = 0.01  # s


def length(value: float, sd: float | None = None) -> Estimate:
    """A distance written on the card."""
    return Estimate(value, sd, Dimension.LENGTH, "tape")


def rate(value: float = 50.0, sd: float | None = None) -> Estimate:
    """A camera's frame rate."""
    return Estimate(value, sd, Dimension.RATIO, "maker")


@dataclass(frozen=True)
class Run:
    """The true motion [s, m, m/s] and its events [s]."""

    kind: Filmed
    time: FloatArray
    place: FloatArray
    speed: FloatArray
    events: dict[CameraEventKind, float]

    def at(self, time: float) -> tuple[float, float]:
        """Place and speed."""
        return float(np.interp(time, self.time, self.place)), float(np.interp(time, self.time, self.speed))

    @property
    def ground_roll(self) -> float:
        """The true distance between the events [m]."""
        first, last = sorted(self.events.values())
        return self.at(last)[0] - self.at(first)[0]


def take_off_run(rng: np.random.Generator) -> Run:
    """Brakes off at 2 s, throttle opening over some time, thrust that falls with speed, gusts."""
    push, fade, opening = rng.uniform(2.5, 4.5), rng.uniform(40.0, 70.0), rng.uniform(0.1, 2.0)
    lift_off_speed = rng.uniform(17.0, 26.0)
    time = np.arange(0.0, 22.0, STEP)
    gust = _gusts(rng, len(time), 0.25)
    speed = np.zeros_like(time)
    for i in range(1, len(time)):
        since = time[i] - 2.0
        if since > 0.0:
            pull = push * min(since / opening, 1.0) * (1.0 - (speed[i - 1] / fade) ** 2) + gust[i]
            speed[i] = max(speed[i - 1] + pull * STEP, 0.0)
    lifted = float(time[np.argmax(speed >= lift_off_speed)])
    return Run(
        "take-off", time, 20.0 + np.cumsum(speed) * STEP, speed, {"start of roll": 2.0, "lift-off": lifted}
    )


def landing_run(rng: np.random.Generator) -> Run:
    """In the flare until 3 s, some free roll, brakes that bite within some tenths of a second, full stop."""
    free, bite, brakes = rng.uniform(0.5, 1.8), rng.uniform(0.2, 0.6), rng.uniform(1.5, 4.0)
    time = np.arange(0.0, 30.0, STEP)
    gust = _gusts(rng, len(time), 0.25)
    speed = np.full_like(time, rng.uniform(17.0, 24.0) + 3.0)
    for i in range(1, len(time)):
        rolling = time[i] - 3.0
        slowing = 1.0 if rolling < 0.0 else 0.8
        slowing += brakes * float(np.clip((rolling - free) / bite, 0.0, 1.0))
        speed[i] = max(speed[i - 1] + (gust[i] - slowing) * STEP, 0.0)
        if speed[i] == 0.0 or speed[i - 1] == 0.0:
            speed[i:] = 0.0
            break
    stopped = float(time[np.argmax(speed == 0.0)])
    place = 10.0 + np.cumsum(speed) * STEP
    return Run("landing", time, place, speed, {"touchdown": 3.0, "full stop": stopped})


def _gusts(rng: np.random.Generator, count: int, sd: float) -> FloatArray:
    """Accelerations that change within a second or so."""
    knots = rng.normal(0.0, sd, count // 100 + 2)
    gusts: FloatArray = np.interp(np.arange(count) * STEP, np.arange(len(knots)) * 1.0, knots)
    return gusts


def film(
    run: Run,
    rng: np.random.Generator,
    *,
    spacing: float = 20.0,
    frames_sd: float = 1.0,
    mark_sd: float = 0.05,
    lateral_sd: float = 1.0,
    offset: float = 8.0,
    ends_measured: bool = False,
) -> Camera:
    """What somebody reads off the film of a run, with every error that the card states."""
    clock = 50.0 * (1.0 + 1e-4 * rng.standard_normal())
    frame_zero = rng.uniform(0.0, 1.0) / clock
    distance, abeam = 55.0 + 0.5 * rng.standard_normal(), 70.0 + rng.standard_normal()
    lateral = lateral_sd * rng.standard_normal()
    stretch = (distance - lateral) / (distance - offset)
    last = run.at(run.time[-1])[0]
    marks = []
    for stated in np.arange(spacing, 401.0, spacing):
        seen = abeam + (stated + mark_sd * rng.standard_normal() - abeam) * stretch
        if run.place[0] + 0.5 < seen < last - 0.5:
            passed = float(np.interp(seen, run.place, run.time))
            marks.append(CameraMark(length(stated, mark_sd), int((passed + frame_zero) * clock), offset))
    events = []
    for kind, moment in run.events.items():
        frame = int((moment + frame_zero) * clock + frames_sd * rng.standard_normal())
        measured = ends_measured and kind in ("start of roll", "full stop")
        place = length(run.at(moment)[0] + 0.2 * rng.standard_normal(), 0.2) if measured else None
        events.append(CameraEvent(kind, frame, frames_sd, place))
    return Camera(
        point="T1",
        frame_rate=rate(),
        what_passes="main wheel",
        marks=tuple(marks),
        rulers=(),
        events=tuple(events),
        camera_distance=length(55.0, 0.5),
        abeam=length(70.0, 1.0),
        lateral=length(0.0, lateral_sd),
        camera_height=1.5,
    )
