"""What a pilot noted of the handling beside the ratings: forces, trim changes, stalls, impressions."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

Control = Literal["stick", "rudder", "trim wheel", "flap lever", "brake", "throttle", "other"]
Direction = Literal["pull", "push", "left", "right"]
StallBreak = Literal["none", "mushing", "gentle", "sharp"]
Subject = Literal["visibility", "noise", "vibration", "cabin", "controls", "ground handling", "other"]


@dataclass(frozen=True, slots=True)
class StickForce:
    """A force read off a spring scale [N], at an indicated airspeed [m/s]; `trimmed_at` [m/s], likewise."""

    control: Control
    force: float
    direction: Direction
    speed: float
    flap: str
    power: Literal["full", "idle", "part"]
    trimmed_at: float | None = None
    note: str = ""


@dataclass(frozen=True, slots=True)
class TrimChange:
    """What flaps moved at one speed do to the trim: the force that holds that speed [N], or where it settles.

    Speeds are indicated [m/s]; `settles_at` is with hands off and the trim left alone.
    """

    speed: float
    from_flap: str
    to_flap: str
    power: Literal["full", "idle", "part"]
    force: float | None = None
    direction: Direction | None = None
    settles_at: float | None = None
    note: str = ""


@dataclass(frozen=True, slots=True)
class StallNote:
    """How a stall announced itself, broke and was recovered; `bank` is the most on the way [rad]."""

    flap: str
    power: Literal["full", "idle", "part"]
    warning: str
    stall_break: StallBreak
    wing: Literal["left", "right", "none"]
    point: str | None = None
    bank: float | None = None
    recovery: str = ""
    note: str = ""


@dataclass(frozen=True, slots=True)
class Impression:
    """What somebody saw, heard or felt; `measured` is a reading as written, in no figure."""

    subject: Subject
    note: str
    phase: str = ""
    measured: str = ""


@dataclass(frozen=True, slots=True)
class HandlingNotes:
    """The notes of one card; `resolution` is the spring scale's smallest step [N], None without a scale."""

    resolution: float | None = None
    stick_forces: tuple[StickForce, ...] = ()
    trim_changes: tuple[TrimChange, ...] = ()
    stalls: tuple[StallNote, ...] = ()
    impressions: tuple[Impression, ...] = ()
