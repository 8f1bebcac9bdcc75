"""What was read off a manoeuvre: its point, its figures in the reader's units, what they were before."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, fields
from datetime import UTC, datetime, time, timedelta

from wringout.dossier.card import CardPoint
from wringout.dossier.dossier import Units
from wringout.manoeuvres.manoeuvre import Event, Manoeuvre
from wringout.manoeuvres.named import REASON
from wringout.problems import InputError, Problem
from wringout.quantity.dimensions import Dimension
from wringout.quantity.estimate import Estimate
from wringout.reduction import Flight
from wringout.reduction.assign import assign
from wringout.reduction.by_hand import EVENT_OF, SAME_EDGE, SAME_MOMENT
from wringout.reduction.points import Point, Points

STEADY = ("level leg", "climb", "glide", "turn")  # the kinds whose span a card can name

# The kind of unit that a figure is read in, by its name where its dimension leaves it open.
_BY_NAME = {
    "height": "height",
    "strip_height": "height",
    "pressure_altitude": "height",
    "rate_of_climb": "vertical_speed",
    "pressure_altitude_rate": "vertical_speed",
    "mean_deceleration": "m/s²",
    "peak_deceleration": "m/s²",
    "normal_acceleration": "g",
    "longitudinal_acceleration": "g",
    "strip_slope": "%",
    "turn_rate": "",  # rad/s in a field of turns: no reader's unit fits it
}
_BY_DIMENSION = {
    Dimension.LENGTH: "distance",
    Dimension.SPEED: "speed",
    Dimension.MASS: "mass",
    Dimension.PRESSURE: "pressure",
    Dimension.TEMPERATURE: "temperature",
    Dimension.POWER: "power",
    Dimension.VOLUME_FLOW: "fuel_flow",
    Dimension.ACCELERATION: "kt/s",
    Dimension.ROTATION: "rpm",
    Dimension.ANGLE: "°",
    Dimension.SLOPE: "%",
    Dimension.RATIO: "",
    Dimension.TIME: "s",
}
# What tells most about each kind, in the order in which a reader asks for it; what there is comes first.
_TELLING = {
    "take-off": ("ground_roll", "air_distance", "lift_off_ground_speed"),
    "landing": ("air_distance", "ground_roll", "touchdown_ground_speed"),
    "level leg": ("indicated_airspeed", "height"),
    "climb": ("rate_of_climb", "indicated_airspeed"),
    "glide": ("rate_of_climb", "indicated_airspeed"),
    "stall": ("minimum_indicated_airspeed", "entry_rate"),
    "turn": ("ground_speed_mean",),
}


@dataclass(frozen=True, slots=True)
class Figure:
    """One figure in words, its value in SI and the unit to show it in; `before` is what it was, if known."""

    name: str
    unit: str
    after: Estimate | None
    before: Estimate | None = None


@dataclass(frozen=True, slots=True)
class Edge:
    """A moment of a manoeuvre that can be moved [s], by a mark of a kind, or as an end of a named span.

    `set_by` is the card's mark or manoeuvre that set it, None where the finder did.
    """

    event: Event
    mark: str | None  # the kind of mark that moves it
    set_by: int | None


@dataclass(frozen=True, slots=True)
class Reading:
    """One manoeuvre as the card and the recording tell it.

    `point` is the id of the card's point that it belongs to, '' for none; `named` the card's [[manoeuvre]]
    that it was made by; `telling` the few of the `measured` figures that say most; `reduced` those of the
    test point, which other manoeuvres may share; `left_out` why there is none.
    """

    manoeuvre: Manoeuvre
    point: str
    named: int | None
    edges: tuple[Edge, ...]
    telling: tuple[Figure, ...]
    measured: tuple[Figure, ...]
    reduced: tuple[Figure, ...]
    left_out: tuple[str, ...]


def readings(flight: Flight, points: Points | None, units: Units) -> tuple[Reading, ...]:
    """Every manoeuvre of a flight in order of time, with its figures.

    Parameters
    ----------
    flight : Flight
    points : Points or None
        Reduced from this flight and others; None where they are not at hand.
    units : Units
        The reader's.
    """
    belongs = {
        (one.kind, one.start, one.end): point.id for point, members in assign(flight)[0] for one in members
    }
    return tuple(
        _reading(flight, one, belongs.get((one.kind, one.start, one.end), ""), points, units)
        for one in flight.manoeuvres
    )


def compared(after: Reading, before: Reading | None) -> Reading:
    """A reading whose figures carry what they were before an edit."""
    if before is None:
        return after
    return Reading(
        after.manoeuvre,
        after.point,
        after.named,
        after.edges,
        after.telling,
        _beside(after.measured, before.measured),
        _beside(after.reduced, before.reduced if before.point == after.point else ()),
        after.left_out,
    )


def nearest(among: tuple[Reading, ...], kind: str, start: float, end: float) -> int | None:
    """The place of the reading of a kind that shares most time with a span [s]; None where none does."""
    shared = [
        (min(one.manoeuvre.end, end) - max(one.manoeuvre.start, start), -place)
        for place, one in enumerate(among)
        if one.manoeuvre.kind == kind
    ]
    best = max(shared, default=(-1.0, 0))
    return -best[1] if best[0] >= 0 else None


def moment(flight: Flight, seconds: float) -> datetime:
    """The moment of a time [s] from the recording's start."""
    return flight.recording.start + timedelta(seconds=seconds)


def moving_mark(kind: str, event: str) -> str | None:
    """The kind of mark that moves an event of a manoeuvre of a kind; None for the ends of steady flight."""
    if kind in STEADY:
        return None
    return next((mark for mark, made in EVENT_OF.items() if made == event), None)


def _reading(flight: Flight, one: Manoeuvre, point: str, points: Points | None, units: Units) -> Reading:
    named = _named(flight, one)
    edges = tuple(
        Edge(event, moving_mark(one.kind, event.name), _set_by(flight, one, event)) for event in one.events
    )
    planned = next((item for item in flight.card.points if item.id == point), None)
    return Reading(
        one,
        point,
        named,
        edges,
        tuple(_figures({key: one.measures[key] for key in _TELLING[one.kind] if key in one.measures}, units)),
        tuple(_figures(one.measures, units)),
        _reduced(flight, planned, points, units),
        tuple(
            item.reason
            for item in (points.left_out if points and point else ())
            if (item.card, item.point) == (flight.card.name, point)
        ),
    )


def _named(flight: Flight, one: Manoeuvre) -> int | None:
    if one.kind not in STEADY or not one.events or one.events[0].reason != REASON:
        return None
    for index, named in enumerate(flight.card.manoeuvres):
        start = (named.start - flight.recording.start).total_seconds()
        end = (named.end - flight.recording.start).total_seconds()
        if named.kind == one.kind and max(abs(start - one.start), abs(end - one.end)) < SAME_EDGE:
            return index
    return None


def _set_by(flight: Flight, one: Manoeuvre, event: Event) -> int | None:
    kind = moving_mark(one.kind, event.name)
    if kind is None or not event.reason.startswith("observer"):
        return None
    near = [
        (abs((mark.time - flight.recording.start).total_seconds() - event.time), index)
        for index, mark in enumerate(flight.card.marks)
        if mark.kind == kind
    ]
    best = min(near, default=None)
    return best[1] if best is not None and best[0] < SAME_MOMENT else None


def _reduced(
    flight: Flight, point: CardPoint | None, points: Points | None, units: Units
) -> tuple[Figure, ...]:
    if point is None or points is None:
        return ()
    for kind in (points.stalls, points.levels, points.climbs, points.takeoffs, points.landings):
        for made in kind:
            if (made.origin.card, made.origin.point) == (flight.card.name, point.id):
                return tuple(_figures(_estimates(made), units))
    return ()


def _estimates(point: Point) -> dict[str, Estimate]:
    """The figures of a reduced point, its mass first."""
    found = {
        item.name: value for item in fields(point) if isinstance(value := getattr(point, item.name), Estimate)
    }
    return {"mass": point.conditions.mass, **found}


def _figures(estimates: Mapping[str, Estimate], units: Units) -> Iterator[Figure]:
    for name, estimate in estimates.items():
        kind = _BY_NAME.get(name, _BY_DIMENSION.get(estimate.dimension))
        if kind is not None and (kind or estimate.dimension is Dimension.RATIO):
            yield Figure(name.replace("_", " "), str(getattr(units, kind, kind)), estimate)


def _beside(after: tuple[Figure, ...], before: tuple[Figure, ...]) -> tuple[Figure, ...]:
    was = {figure.name: figure.after for figure in before}
    now = {figure.name for figure in after}
    gone = tuple(Figure(item.name, item.unit, None, item.after) for item in before if item.name not in now)
    return (*(Figure(item.name, item.unit, item.after, was.get(item.name)) for item in after), *gone)


def typed_moment(flight: Flight, text: str) -> datetime:
    """A time of day in UTC as typed ('07:20:30.5'), or a whole moment, as the moment of the flight it means.

    Raises InputError where it is neither.
    """
    typed = text.strip().upper().removesuffix("UTC").strip()
    start = flight.recording.start.astimezone(UTC)
    try:
        if len(typed) > 14:
            found = datetime.fromisoformat(typed)
            return found if found.tzinfo else found.replace(tzinfo=UTC)
        clock = time.fromisoformat(typed.removesuffix("Z"))
    except ValueError:
        raise InputError(
            Problem(f"'{text[:40]}' is no time of day", "write it like 07:20:30.5, in UTC")
        ) from None
    zone = clock.tzinfo or UTC
    days = (datetime.combine(start.date() + timedelta(days=day), clock, zone) for day in (-1, 0, 1))
    middle = start + timedelta(seconds=float(flight.recording.time[-1]) / 2)
    return min(days, key=lambda moment: abs(moment - middle))
