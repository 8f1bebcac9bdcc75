"""The table of an outside camera on a test card."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

from wringout.dossier.camera import Camera, CameraEvent, CameraEventKind, CameraMark, CameraRuler, Passing
from wringout.dossier.fields import (
    Count,
    Fault,
    Length,
    LengthEstimate,
    Moment,
    Name,
    PositiveLengthEstimate,
    PositiveRatio,
    PositiveRatioEstimate,
    PositiveTime,
    Table,
    Text,
)
from wringout.problems import Problem
from wringout.quantity.dimensions import Dimension
from wringout.quantity.estimate import Estimate

USUAL_LATERAL = Estimate(0.0, 1.0, Dimension.LENGTH, "not stated: within a metre of the centre line")
USUAL_CAMERA_HEIGHT = 1.5  # m, of a fence post or of a tripod
_LONGEST_FILM = 120.0  # s
_SLOWEST_RATE, _FASTEST_RATE = 5.0, 2000.0


def _unstated(key: str, estimate: Estimate | None, example: str) -> list[Fault]:
    """A length that is a ruler of the film needs its uncertainty, as nothing else tells how good it is."""
    if estimate is None or estimate.sd is not None:
        return []
    return [((key,), Problem("needs its uncertainty", f'write it like "{example}"'))]


class CameraMarkTable(Table):
    distance: LengthEstimate
    frame: Count
    offset: Length | None = None
    height: PositiveLengthEstimate | None = None

    def faults(self) -> tuple[Fault, ...]:
        return (
            *_unstated("distance", self.distance, "40 m ± 0.05 m"),
            *_unstated("height", self.height, "6.0 m ± 0.2 m"),
        )

    def made(self, offset: float) -> CameraMark:
        own = offset if self.offset is None else self.offset
        return CameraMark(self.distance, self.frame, own, self.height)


class CameraRulerTable(Table):
    length: PositiveLengthEstimate
    nose_frame: Count
    tail_frame: Count

    def faults(self) -> tuple[Fault, ...]:
        found = _unstated("length", self.length, "7.35 m ± 0.03 m")
        if self.tail_frame <= self.nose_frame:
            problem = Problem("the tail passes after the nose", "exchange the two, or look at the film again")
            found.append((("tail_frame",), problem))
        return tuple(found)

    def made(self) -> CameraRuler:
        return CameraRuler(self.length, self.nose_frame, self.tail_frame)


class CameraEventTable(Table):
    kind: CameraEventKind
    frame: Count
    frames_sd: PositiveRatio = 0.5
    distance: LengthEstimate | None = None

    def faults(self) -> tuple[Fault, ...]:
        return tuple(_unstated("distance", self.distance, "0 m ± 0.2 m"))

    def made(self) -> CameraEvent:
        return CameraEvent(self.kind, self.frame, self.frames_sd, self.distance)


class CameraTable(Table):
    point: Name
    frame_rate: PositiveRatioEstimate
    what_passes: Passing = "main wheel"
    camera_distance: PositiveLengthEstimate | None = None
    abeam: LengthEstimate | None = None
    camera_height: Length = USUAL_CAMERA_HEIGHT
    marks_offset: Length = 0.0
    lateral: LengthEstimate | None = None
    frame_zero: Moment | None = None
    frame_zero_sd: PositiveTime = 0.5
    note: Text = ""
    mark: tuple[CameraMarkTable, ...] = ()
    ruler: tuple[CameraRulerTable, ...] = ()
    event: tuple[CameraEventTable, ...] = ()

    def faults(self) -> tuple[Fault, ...]:
        found = _unstated("lateral", self.lateral, "0 m ± 1 m")
        if not _SLOWEST_RATE <= self.frame_rate.value <= _FASTEST_RATE:
            what = f"no camera takes {self.frame_rate.value:g} frames in a second"
            found.append((("frame_rate",), Problem(what, "write frames in one second, like 50")))
        if len(self.mark) < 2 and not self.ruler:
            what = "fewer than two marks and no ruler: nothing tells how fast the airplane was"
            mend = "add [[camera.mark]] for each mark it passed, or [[camera.ruler]] for its own length"
            found.append(((), Problem(what, mend)))
        return (*found, *self._place_faults(), *self._order_faults(), *self._event_faults())

    def _place_faults(self) -> list[Fault]:
        if not self.mark:
            return []
        found: list[Fault] = []
        for key, given, example in (
            ("camera_distance", self.camera_distance, "60 m ± 0.5 m"),
            ("abeam", self.abeam, "40 m ± 1 m"),
        ):
            if given is None:
                what = f"'{key}' is missing: without it the parallax of the marks is not known"
                found.append(((), Problem(what, f'add {key} = "{example}"')))
            found += _unstated(key, given, example)
        if self.camera_distance is not None:
            if self.lateral is not None and self.lateral.value >= 0.95 * self.camera_distance.value:
                problem = Problem("the airplane ran behind the camera", "check both distances")
                found.append((("lateral",), problem))
            places: list[tuple[tuple[str | int, ...], float]] = [(("marks_offset",), self.marks_offset)]
            places += [
                (("mark", i, "offset"), mark.offset)
                for i, mark in enumerate(self.mark)
                if mark.offset is not None
            ]
            found += [
                (path, Problem("the mark stands behind the camera", "check both distances"))
                for path, offset in places
                if offset >= 0.95 * self.camera_distance.value
            ]
        return found

    def _order_faults(self) -> list[Fault]:
        found: list[Fault] = []
        for i, (before, mark) in enumerate(pairwise(self.mark), 1):
            if mark.distance.value <= before.distance.value:
                what = "is not farther than the mark before"
                mend = "list the marks as the airplane passed them, distances counted the way it went"
                found.append((("mark", i, "distance"), Problem(what, mend)))
            if mark.frame <= before.frame:
                what = "is not after the frame of the mark before"
                found.append((("mark", i, "frame"), Problem(what, "look at the film again")))
        return found

    def _event_faults(self) -> list[Fault]:
        found: list[Fault] = []
        frames = [mark.frame for mark in self.mark] + [event.frame for event in self.event]
        if frames and (max(frames) - min(frames)) / self.frame_rate.value > _LONGEST_FILM:
            what = f"frames {min(frames)} and {max(frames)} are longer apart than a run lasts"
            found.append(((), Problem(what, "look at them again, or correct the frame rate")))
        kinds = [event.kind for event in self.event]
        for i, kind in enumerate(kinds):
            if kind in kinds[:i]:
                found.append((("event", i, "kind"), Problem("stands here twice", "keep one of them")))
        for first, last in (("start of roll", "lift-off"), ("touchdown", "full stop")):
            if first in kinds and last in kinds:
                begin, end = (self.event[kinds.index(kind)].frame for kind in (first, last))
                if end <= begin:
                    problem = Problem(f"{last} is not after {first}", "exchange the two, or look again")
                    found.append((("event", kinds.index(last), "frame"), problem))
        return found

    def made(self) -> Camera:
        return Camera(
            point=self.point,
            frame_rate=self.frame_rate,
            what_passes=self.what_passes,
            marks=tuple(mark.made(self.marks_offset) for mark in self.mark),
            rulers=tuple(ruler.made() for ruler in self.ruler),
            events=tuple(event.made() for event in self.event),
            camera_distance=self.camera_distance,
            abeam=self.abeam,
            lateral=self.lateral or USUAL_LATERAL,
            camera_height=self.camera_height,
            frame_zero=self.frame_zero,
            frame_zero_sd=self.frame_zero_sd,
            note=self.note,
        )


def kind_faults(cameras: Sequence[CameraTable], kinds: dict[str, str]) -> list[Fault]:
    """A film shows a take-off or a landing, and what it shows is what its point is; `kinds` by point id."""
    usual = {"take-off": ("start of roll", "lift-off"), "landing": ("touchdown", "full stop")}
    found: list[Fault] = []
    for i, camera in enumerate(cameras):
        kind = kinds.get(camera.point)
        if kind is None:
            continue
        if kind not in usual:
            problem = Problem(f"'{camera.point}' is a {kind}: a camera films take-offs and landings",
                              "name the point that it filmed")  # fmt: skip
            found.append((("camera", i, "point"), problem))
            continue
        found += [
            (
                ("camera", i, "event", j, "kind"),
                Problem(f"a {kind} has no {event.kind}", f'write "{usual[kind][0]}" or "{usual[kind][1]}"'),
            )
            for j, event in enumerate(camera.event)
            if event.kind not in usual[kind]
        ]
    return found
