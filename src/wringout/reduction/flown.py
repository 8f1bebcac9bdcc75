"""A flight as reduction takes it up: its card, its recording, and the manoeuvres found in it."""

from dataclasses import dataclass
from datetime import UTC, datetime, timedelta

from wringout.dossier.card import Card, CardPoint
from wringout.manoeuvres.manoeuvre import Manoeuvre
from wringout.quantity.estimate import Estimate
from wringout.recordings.recording import Recording, Track
from wringout.reduction.points import Conditions, Origin


@dataclass(frozen=True, slots=True)
class Flight:
    """One flight: its card, recording, smoothed track and the manoeuvres found in it."""

    card: Card
    recording: Recording
    track: Track
    manoeuvres: tuple[Manoeuvre, ...]


@dataclass(frozen=True, slots=True)
class Flown:
    """A card point as flown: one manoeuvre, in the conditions of its middle."""

    flight: Flight
    point: CardPoint
    manoeuvre: Manoeuvre
    conditions: Conditions

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
        )

    @property
    def span(self) -> str:
        """The manoeuvre's span in words, for the source of an estimate."""
        return span(self.flight, self.manoeuvre)

    def measure(self, name: str) -> Estimate | None:
        """A measure of the manoeuvre, None where the recording has no such channel."""
        found = self.manoeuvre.measures.get(name)
        return found if found is not None and found.sd is not None and found.value == found.value else None


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
