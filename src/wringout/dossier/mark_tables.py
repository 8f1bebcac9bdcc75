"""What the observer marked and the evaluator named, and what of it contradicts the rest of the card."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from itertools import pairwise

from wringout.dossier.card import Mark, MarkKind, NamedKind, NamedManoeuvre, PointKind
from wringout.dossier.fields import Fault, Moment, Name, PositiveTime, Table, Text
from wringout.problems import Problem

# The moments that a point's kind has; spans that do not count belong to any.
_MOMENTS_OF: dict[PointKind, tuple[MarkKind, ...]] = {
    "take-off": ("start of roll", "lift-off", "obstacle"),
    "landing": ("obstacle", "touchdown", "full stop"),
    "stall": ("stall warning", "stall break"),
}
_NAMED_OF: dict[PointKind, NamedKind] = {"level": "level leg", "climb": "climb", "glide": "glide"}


class MarkTable(Table):
    time: Moment
    kind: MarkKind
    point: Name | None = None
    time_sd: PositiveTime = 0.5
    note: Text = ""

    def made(self) -> Mark:
        return Mark(self.time, self.kind, self.point, self.time_sd, self.note)


class ManoeuvreTable(Table):
    start: Moment
    end: Moment
    kind: NamedKind
    point: Name | None = None
    note: Text = ""

    def faults(self) -> tuple[Fault, ...]:
        if self.end <= self.start:
            return ((("end",), Problem("is not after its start", "exchange the two, or check them")),)
        if self.kind in ("none", "turn") and self.point is not None:
            problem = Problem(f"no point is made of '{self.kind}'", "remove the point, or correct the kind")
            return ((("point",), problem),)
        return ()

    def made(self) -> NamedManoeuvre:
        return NamedManoeuvre(self.start, self.end, self.kind, self.point, self.note)


def mark_faults(marks: Sequence[MarkTable], kinds: Mapping[str, PointKind]) -> list[Fault]:
    """Marks of moments that their point's kind does not have; `kinds` by point id."""
    found: list[Fault] = []
    for i, mark in enumerate(marks):
        kind = kinds.get(mark.point or "")
        if kind is None or mark.kind in ("exclude from", "exclude to"):
            continue
        moments = _MOMENTS_OF.get(kind, ())
        if mark.kind not in moments:
            mend = f"it has {', '.join(moments)}" if moments else "name no point, or another"
            found.append((("mark", i, "point"), Problem(f"a {kind} point has no {mark.kind}", mend)))
    return found


def named_faults(manoeuvres: Sequence[ManoeuvreTable], kinds: Mapping[str, PointKind]) -> list[Fault]:
    """Named spans that overlap, or are not of their point's kind; `kinds` by point id."""
    found: list[Fault] = []
    ordered = sorted(range(len(manoeuvres)), key=lambda i: manoeuvres[i].start)
    for first, second in pairwise(ordered):
        if manoeuvres[second].start < manoeuvres[first].end:
            what = f"begins before the {manoeuvres[first].kind} ends that began before it"
            mend = "let one end where the other begins"
            found.append((("manoeuvre", second, "start"), Problem(what, mend)))
    for i, one in enumerate(manoeuvres):
        kind = kinds.get(one.point or "")
        if kind is not None and _NAMED_OF.get(kind) != one.kind:
            what = f"a {one.kind} cannot be of '{one.point}', which is a {kind} point"
            mend = "correct the kind or the point"
            if kind not in _NAMED_OF:
                mend += f"; the moments of a {kind} are set by marks"
            found.append((("manoeuvre", i, "point"), Problem(what, mend)))
    return found
