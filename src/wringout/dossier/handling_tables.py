"""The tables of a card on how the airplane handled: ratings, forces, trim changes, stalls, impressions."""

from __future__ import annotations

from typing import Literal

from wringout.dossier.card import Rating
from wringout.dossier.fields import (
    Angle,
    Count,
    Fault,
    Flag,
    Force,
    Name,
    PositiveForce,
    PositiveSpeed,
    Table,
    Text,
)
from wringout.dossier.handling import (
    Control,
    Direction,
    Impression,
    StallBreak,
    StallNote,
    StickForce,
    Subject,
    TrimChange,
)
from wringout.dossier.rating_scale import HIGHEST, LOWEST, contradicted
from wringout.problems import Problem


def rating_faults(rating: int | None) -> list[Fault]:
    """A rating outside of the ten-point scale."""
    if rating is None or LOWEST <= rating <= HIGHEST:
        return []
    problem = Problem(f"a rating lies between 1 and 10, found {rating}", "1 is best, 10 uncontrollable")
    return [(("rating",), problem)]


class RatingTable(Table):
    task: Name
    rating: Count | None = None
    controllable: Flag | None = None
    adequate: Flag | None = None
    satisfactory: Flag | None = None
    note: Text = ""

    def faults(self) -> tuple[Fault, ...]:
        found = rating_faults(self.rating)
        if self.rating is None or found:
            return tuple(found)
        wrong = contradicted(self.rating, (self.controllable, self.adequate, self.satisfactory))
        if wrong is not None:
            said = "yes" if getattr(self, wrong.key) else "no"
            words = f"'{wrong.asks}' was answered {said}, which does not lead to {self.rating}"
            found.append(((wrong.key,), Problem(words, "walk the tree again, or correct the rating")))
        return tuple(found)

    def made(self) -> Rating:
        return Rating(self.task, self.rating, self.note)


class SpringScaleTable(Table):
    resolution: PositiveForce


class StickForceTable(Table):
    control: Control = "stick"
    force: Force
    direction: Direction
    speed: PositiveSpeed
    flap: Name
    power: Literal["full", "idle", "part"]
    trimmed_at: PositiveSpeed | None = None
    note: Text = ""

    def made(self) -> StickForce:
        return StickForce(
            self.control,
            self.force,
            self.direction,
            self.speed,
            self.flap,
            self.power,
            self.trimmed_at,
            self.note,
        )


class TrimChangeTable(Table):
    speed: PositiveSpeed
    from_flap: Name
    to_flap: Name
    power: Literal["full", "idle", "part"]
    force: Force | None = None
    direction: Direction | None = None
    settles_at: PositiveSpeed | None = None
    note: Text = ""

    def faults(self) -> tuple[Fault, ...]:
        found: list[Fault] = []
        if self.from_flap == self.to_flap:
            found.append((("to_flap",), Problem("is the setting that it began with", "name the other one")))
        if self.force is None and self.settles_at is None:
            words = "a change of trim says neither a force nor where the speed settles"
            found.append(((), Problem(words, "add force and direction, or settles_at")))
        if self.force and self.direction is None:
            found.append((("force",), Problem("a force has a direction", 'add direction = "push" or "pull"')))
        return tuple(found)

    def made(self) -> TrimChange:
        return TrimChange(
            self.speed,
            self.from_flap,
            self.to_flap,
            self.power,
            self.force,
            self.direction,
            self.settles_at,
            self.note,
        )


class StallNoteTable(Table):
    flap: Name
    power: Literal["full", "idle", "part"]
    warning: Name
    stall_break: StallBreak
    wing: Literal["left", "right", "none"]
    point: Name | None = None
    bank: Angle | None = None
    recovery: Text = ""
    note: Text = ""

    def made(self) -> StallNote:
        return StallNote(
            self.flap,
            self.power,
            self.warning,
            self.stall_break,
            self.wing,
            self.point,
            self.bank,
            self.recovery,
            self.note,
        )


class ImpressionTable(Table):
    subject: Subject
    note: Name
    phase: Text = ""
    measured: Text = ""

    def made(self) -> Impression:
        return Impression(self.subject, self.note, self.phase, self.measured)
