"""What was read off the film of an outside camera: frames at marks along the strip, and at what happened."""

from dataclasses import dataclass
from datetime import datetime
from typing import Literal

from wringout.quantity.estimate import Estimate

CameraEventKind = Literal["start of roll", "lift-off", "touchdown", "full stop"]
Passing = Literal["main wheel", "nose", "tail"]


@dataclass(frozen=True, slots=True)
class CameraMark:
    """In `frame` the airplane passed a mark that stands at `distance` [m] along the strip.

    `offset` [m] is the mark's place off the strip's centre line, positive towards the camera. `height` [m] is
    where on the mark, above its foot, the wheels were seen.
    """

    distance: Estimate
    frame: int
    offset: float
    height: Estimate | None = None


@dataclass(frozen=True, slots=True)
class CameraRuler:
    """Nose and tail, `length` [m] apart, passed one and the same mark in these frames."""

    length: Estimate
    nose_frame: int
    tail_frame: int


@dataclass(frozen=True, slots=True)
class CameraEvent:
    """In `frame` ± `frames_sd` this was seen; `distance` [m] along the strip where it was measured there."""

    kind: CameraEventKind
    frame: int
    frames_sd: float = 0.5
    distance: Estimate | None = None


@dataclass(frozen=True, slots=True)
class Camera:
    """One film of one take-off or landing.

    `frame_rate` [1/s]; the camera stands `camera_distance` [m] off the strip's centre line, abeam the place
    `abeam` [m] along it, `camera_height` [m] above it; the airplane ran `lateral` [m] off the centre line,
    positive towards the camera. `frame_zero` is when frame 0 was taken, ± `frame_zero_sd` [s], if known.
    """

    point: str
    frame_rate: Estimate
    what_passes: Passing
    marks: tuple[CameraMark, ...]
    rulers: tuple[CameraRuler, ...]
    events: tuple[CameraEvent, ...]
    camera_distance: Estimate | None
    abeam: Estimate | None
    lateral: Estimate
    camera_height: float
    frame_zero: datetime | None = None
    frame_zero_sd: float = 0.5
    note: str = ""

    @property
    def frames(self) -> tuple[int, int]:
        """The first and the last frame that was read."""
        read = [
            *(mark.frame for mark in self.marks),
            *(frame for ruler in self.rulers for frame in (ruler.nose_frame, ruler.tail_frame)),
            *(event.frame for event in self.events),
        ]
        return min(read), max(read)
