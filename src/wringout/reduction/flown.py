"""A flight as reduction takes it up: its card, its recording, and the manoeuvres found in it."""

import math
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta

from wringout.dossier.card import Card, CardPoint
from wringout.manoeuvres.manoeuvre import Manoeuvre
from wringout.quantity.estimate import Estimate
from wringout.recordings.recording import Recording, Track
from wringout.reduction.points import Conditions, Origin

# What a light airplane's figures lie between, SI: wide enough for all of them, too narrow for a fault.
_AIRSPEED = (5.0, 150.0)
_GROUND_SPEED = (1.0, 150.0)
PLAUSIBLE: dict[str, tuple[float, float]] = {
    "indicated_airspeed": _AIRSPEED,
    "minimum_indicated_airspeed": _AIRSPEED,
    "warning_indicated_airspeed": _AIRSPEED,
    "lift_off_ground_speed": _GROUND_SPEED,
    "touchdown_ground_speed": _GROUND_SPEED,
    "obstacle_ground_speed": _GROUND_SPEED,
    "outside_air_temperature": (200.0, 330.0),
    "pressure_altitude": (-1000.0, 11_000.0),
    "height": (-1000.0, 11_000.0),
    "strip_height": (-1000.0, 7000.0),
    "strip_slope": (-0.5, 0.5),
    "ground_roll": (3.0, 5000.0),
    "air_distance": (0.0, 5000.0),
    "roll_track": (-7.0, 7.0),
    "rate_of_climb": (-60.0, 60.0),
    "pressure_altitude_rate": (-60.0, 60.0),
    "entry_rate": (-1.0, 10.0),
    "engine_speed": (1.0, 200.0),
    "manifold_pressure": (5000.0, 300_000.0),
    "fuel_flow": (1e-8, 1e-3),
}


@dataclass(frozen=True, slots=True)
class Flight:
    """One flight: its card, recording, smoothed track and the manoeuvres found in it."""

    card: Card
    recording: Recording
    track: Track
    manoeuvres: tuple[Manoeuvre, ...]


@dataclass(frozen=True, slots=True)
class Flown:
    """A card point as flown: one manoeuvre, in the conditions of its middle.

    `by_camera_alone`: no recording shows it, a camera beside the strip does.
    """

    flight: Flight
    point: CardPoint
    manoeuvre: Manoeuvre
    conditions: Conditions
    by_camera_alone: bool = False

    @property
    def middle(self) -> float:
        """Middle of the manoeuvre, seconds from the recording's start."""
        return middle(self.manoeuvre)

    @property
    def origin(self) -> Origin:
        """Where the point came from."""
        return Origin(
            self.flight.card.name,
            self.point.id,
            self.flight.recording.name,
            self.manoeuvre.start,
            self.manoeuvre.end,
            self.manoeuvre.notes,
        )

    @property
    def span(self) -> str:
        """The manoeuvre's span in words, for the source of an estimate."""
        return span(self.flight, self.manoeuvre)

    def measure(self, name: str) -> Estimate | None:
        """A measure of the manoeuvre, None where there is none to be believed."""
        return plausible(self.manoeuvre, name)


def plausible(manoeuvre: Manoeuvre, name: str) -> Estimate | None:
    """A measure of a manoeuvre with its uncertainty; None where there is none or it is none of an airplane's.

    A needle that rests on zero, a frozen channel's zero kelvin or a distance of nothing measure nothing.
    """
    found = manoeuvre.measures.get(name)
    if found is None or found.sd is None or not math.isfinite(found.sd):
        return None
    low, high = PLAUSIBLE.get(name, (-math.inf, math.inf))
    return found if low <= found.value <= high else None


def middle(manoeuvre: Manoeuvre) -> float:
    """Middle of a manoeuvre, seconds from the recording's start."""
    return 0.5 * (manoeuvre.start + manoeuvre.end)


def seconds(flight: Flight, moment: datetime) -> float:
    """A moment as seconds from the recording's start; a moment without a zone is UTC."""
    return (_utc(moment) - _utc(flight.recording.start)).total_seconds()


def timestamp(flight: Flight, time: float) -> float:
    """Seconds from the recording's start as seconds since 1970 UTC."""
    return _utc(flight.recording.start).timestamp() + time


def clock(flight: Flight, time: float) -> str:
    """Seconds from the recording's start as a UTC clock time.

    Examples
    --------
    A recording that starts at 09:15:00 UTC has `clock(flight, 62.4) == "09:16:02"`.
    """
    return f"{_utc(flight.recording.start) + timedelta(seconds=time):%H:%M:%S}"


def span(flight: Flight, manoeuvre: Manoeuvre) -> str:
    """A manoeuvre's span of the recording in words."""
    return f"{flight.recording.name} {clock(flight, manoeuvre.start)}–{clock(flight, manoeuvre.end)} UTC"


def _utc(moment: datetime) -> datetime:
    return moment.replace(tzinfo=UTC) if moment.tzinfo is None else moment.astimezone(UTC)
