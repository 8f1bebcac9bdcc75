"""What cameras beside the strip add to take-offs and landings: weighed with the recording, or alone."""

from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import replace
from datetime import datetime, timedelta

import numpy as np

from wringout.airplane.airplane import Airplane
from wringout.dossier.camera import Camera
from wringout.dossier.card import Card, CardPoint
from wringout.dossier.dossier import Strip
from wringout.manoeuvres.manoeuvre import Event, Manoeuvre
from wringout.manoeuvres.mark import TimedMark
from wringout.problems import InputError
from wringout.quantity.dimensions import Dimension
from wringout.quantity.estimate import Estimate
from wringout.recordings.recording import Recording, Track
from wringout.reduction.camera_strip import CameraStrip, Filmed, measure_strip
from wringout.reduction.conditions import conditions
from wringout.reduction.flown import Flight, Flown, seconds
from wringout.reduction.fuel_burn import fuel_burn
from wringout.reduction.points import CameraEvidence, CameraUse, LeftOut
from wringout.reduction.propagation import combine
from wringout.reduction.weather import weather_at

SAME_MOMENT = 10.0  # s within which a thumb and a film of one kind of moment mean the same
AGREEMENT = 3.0  # standard uncertainties within which camera and recording are weighted together
DIRECTION_SD = np.radians(2.0)  # of a roll along a strip whose heading is known
FILMED_KINDS: tuple[Filmed, ...] = ("take-off", "landing")
NO_HEIGHT = Estimate(0.0, 1.0, Dimension.LENGTH, "elevation of the strip")


def with_camera_marks(card: Card, start: datetime, marks: Sequence[TimedMark]) -> tuple[TimedMark, ...]:
    """An observer's marks and the moments that the card's films tell by the clock.

    All in seconds from a recording's start. Films whose frame 0 has no time tell none; where a film tells a
    moment, it takes the place of what the observer's thumb says of the same.
    """
    filmed = tuple(
        TimedMark(
            time=(camera.frame_zero - start).total_seconds() + event.frame / camera.frame_rate.value,
            kind=event.kind,
            time_sd=float(np.hypot(camera.frame_zero_sd, event.frames_sd / camera.frame_rate.value)),
            note="camera beside the strip",
        )
        for camera in card.cameras
        if camera.frame_zero is not None
        for event in camera.events
    )
    seen = tuple(
        mark
        for mark in marks
        if not any(mark.kind == one.kind and abs(mark.time - one.time) < SAME_MOMENT for one in filmed)
    )
    return (*filmed, *seen)


def with_cameras(flown: Sequence[Flown]) -> tuple[list[Flown], list[CameraEvidence]]:
    """Take-offs and landings with what their cameras saw weighed in, and what became of each film.

    A figure of both is their mean weighted by inverse variance where they agree within 3 standard
    uncertainties; where they do not, both are told and the camera's is used: it saw the wheels. What only
    one of them measured is taken from that one.
    """
    result: list[Flown] = []
    told: list[CameraEvidence] = []
    for one in flown:
        alike = [
            other.middle for other in flown if other.flight is one.flight and other.point.id == one.point.id
        ]
        for camera in one.flight.card.cameras:
            kind = _filmed(one.point)
            if camera.point == one.point.id and kind is not None and _is_of(camera, one, alike):
                strip = _measured(camera, kind)
                one, evidence = _weighed(one, camera, strip)  # noqa: PLW2901 - film after film
                told.append(evidence)
        result.append(one)
    return result, told


def _is_of(camera: Camera, one: Flown, alike: Sequence[float]) -> bool:
    """Whether a film shows this manoeuvre of its point's: the nearest by the clock, else the first."""
    if camera.frame_zero is None:
        return one.middle == alike[0]
    middle = 0.5 * sum(camera.frames) / camera.frame_rate.value
    filmed = seconds(one.flight, camera.frame_zero) + middle
    return one.middle == min(alike, key=lambda time: abs(time - filmed))


def weigh(recorded: Estimate | None, filmed: Estimate, shared: float = 0.0) -> tuple[Estimate, CameraUse]:
    """A figure by recording and by camera as one.

    `shared` is the standard uncertainty that both have from one cause: the moment that ends the distance.

    Examples
    --------
    >>> by_gps = Estimate(104.0, 1.2, Dimension.LENGTH, "smoothed positions")
    >>> found, use = weigh(by_gps, Estimate(103.0, 0.5, Dimension.LENGTH, "camera"))
    >>> print(f"{found.value:.2f} m ± {found.sd:.2f} m, {use}")
    103.15 m ± 0.46 m, weighted
    """
    if recorded is None or recorded.sd is None or filmed.sd is None:
        return filmed, "alone"
    common = min(shared, 0.99 * recorded.sd, 0.99 * filmed.sd)
    own = [float(np.sqrt(one.sd**2 - common**2)) for one in (recorded, filmed) if one.sd is not None]
    mean, sd, chi_squared = combine([recorded.value, filmed.value], own)
    unit = filmed.dimension.value
    said = f"{recorded.value:.1f} ± {recorded.sd:.1f} {unit} by {recorded.source}"
    if chi_squared > AGREEMENT**2:
        apart = f"{filmed.source}; {said}, which disagrees and is not used"
        return replace(filmed, source=apart), "preferred"
    source = f"{filmed.source} ({filmed.value:.1f} ± {filmed.sd:.1f} {unit}), weighted with {said}"
    return Estimate(mean, float(np.hypot(sd, common)), filmed.dimension, source), "weighted"


def _measured(camera: Camera, kind: Filmed) -> CameraStrip:
    """What a film measured; nothing where it cannot be reduced, and why."""
    try:
        return measure_strip(camera, kind)
    except ValueError as error:
        first, last = camera.frames
        source = f"camera, frames {first}–{last} at {camera.frame_rate.value:g} frames/s"
        return CameraStrip(source, camera.frames, {}, (), (), (str(error),), 0.0)


def _filmed(point: CardPoint) -> Filmed | None:
    return next((kind for kind in FILMED_KINDS if kind == point.kind), None)


def _weighed(one: Flown, camera: Camera, strip: CameraStrip) -> tuple[Flown, CameraEvidence]:
    by_clock = camera.frame_zero is not None
    measures = dict(one.manoeuvre.measures)
    recorded: dict[str, Estimate] = {}
    uses: dict[str, CameraUse] = {}
    for name, figure in strip.measures.items():
        before = one.measure(name)
        shared = strip.event_sd if by_clock and figure.dimension is Dimension.LENGTH else 0.0
        measures[name], uses[name] = weigh(before, figure, shared)
        if before is not None:
            recorded[name] = before
    evidence = CameraEvidence(
        one.flight.card.name, one.point.id, strip.source, strip.measures, recorded, uses, strip.refused
    )
    return replace(one, manoeuvre=replace(one.manoeuvre, measures=measures)), evidence


def filmed_alone(
    flights: Sequence[Flight],
    unrecorded: Sequence[Card],
    airplane: Airplane,
    strips: Sequence[Strip],
    shown: Collection[tuple[str, str]],
) -> tuple[list[Flown], list[CameraEvidence], list[LeftOut]]:
    """Take-offs and landings that only a camera shows, in their conditions.

    Parameters
    ----------
    flights : sequence of Flight
    unrecorded : sequence of Card
        Cards without a recording.
    airplane : Airplane
    strips : sequence of Strip
    shown : collection of (card, point)
        Points that a recording shows.
    """
    by_name = {strip.name: strip for strip in strips}
    flaps = {flap.name for flap in airplane.flaps}
    flown: list[Flown] = []
    told: list[CameraEvidence] = []
    left: list[LeftOut] = []
    for card, camera, point, kind, flight in _unshown(flights, unrecorded, shown):
        measured = _measured(camera, kind)
        evidence = CameraEvidence(
            card.name,
            point.id,
            measured.source,
            measured.measures,
            {},
            dict.fromkeys(measured.measures, "alone"),
            measured.refused,
        )
        told.append(evidence)
        moment = _moment(camera, point)
        strip = by_name.get(point.strip or "")
        if point.flap not in flaps:
            reason = f"flap setting '{point.flap}' is not one of the airplane's"
            left.append(LeftOut(card.name, point.id, reason))
            continue
        if moment is None or strip is None:
            lacking = (
                "when it was: write the camera's frame_zero or the point's start"
                if moment is None
                else "which strip it was: name one of the dossier's strips"
            )
            reason = f"only a camera shows it, and nothing says {lacking}"
            left.append(LeftOut(card.name, point.id, reason))
            continue
        filmed = flight or _standing_in(card, moment, camera)
        filmed = replace(filmed, recording=replace(filmed.recording, name=measured.source))
        try:
            burn = fuel_burn(filmed, airplane)
            manoeuvre = _manoeuvre(filmed, camera, measured, kind, strip=strip, moment=moment)
            air = conditions(filmed, airplane, point, manoeuvre, burn=burn, offset=NO_HEIGHT, strip=strip)
        except (InputError, ValueError) as error:
            reason = error.problems[0].sentence() if isinstance(error, InputError) else str(error)
            left.append(LeftOut(card.name, point.id, f"{measured.source}: {reason}"))
            continue
        flown.append(Flown(filmed, point, manoeuvre, air, by_camera_alone=True))
    return flown, told, left


def _unshown(
    flights: Sequence[Flight], unrecorded: Sequence[Card], shown: Collection[tuple[str, str]]
) -> Iterator[tuple[Card, Camera, CardPoint, Filmed, Flight | None]]:
    """The first film of each take-off or landing that no recording shows."""
    found: set[tuple[str, str]] = set(shown)
    pairs = [*((flight.card, flight) for flight in flights), *((card, None) for card in unrecorded)]
    for card, flight in pairs:
        points = {point.id: point for point in card.points}
        for camera in card.cameras:
            point = points.get(camera.point)
            kind = None if point is None else _filmed(point)
            if point is None or kind is None or (card.name, point.id) in found:
                continue
            found.add((card.name, point.id))
            yield card, camera, point, kind, flight


def _moment(camera: Camera, point: CardPoint) -> datetime | None:
    """When the first frame read was taken; the start of its point where frame 0 has no time."""
    if camera.frame_zero is not None:
        return camera.frame_zero + timedelta(seconds=camera.frames[0] / camera.frame_rate.value)
    return point.start


def _standing_in(card: Card, moment: datetime, camera: Camera) -> Flight:
    """A flight that no recorder flew along on: two moments without a channel."""
    first, last = camera.frames
    time = np.array([0.0, max((last - first) / camera.frame_rate.value, 0.1)])
    none = np.zeros_like(time)
    track = Track(
        0.0, 0.0, time, none, none, none, none, none, none, none, none, none, none, none, none, none, none
    )
    return Flight(card, Recording("", moment, time, {}, (), ()), track, ())


def _manoeuvre(
    flight: Flight, camera: Camera, measured: CameraStrip, kind: Filmed, *, strip: Strip, moment: datetime
) -> Manoeuvre:
    """What the film shows as a manoeuvre of its flight, along the strip."""
    start = seconds(flight, moment)
    zero = start - camera.frames[0] / camera.frame_rate.value
    end = zero + camera.frames[1] / camera.frame_rate.value
    heading, said = _direction(flight.card, kind, strip, moment)
    measures: Mapping[str, Estimate] = {
        **measured.measures,
        "roll_track": Estimate(heading, float(DIRECTION_SD), Dimension.ANGLE, said),
        "strip_height": Estimate(strip.elevation, 2.0, Dimension.LENGTH, f"elevation of {strip.name}"),
    }
    events = tuple(
        Event(event.kind, zero + event.time.value, event.time.sd or 0.0, event.time.source)
        for event in measured.events
    )
    return Manoeuvre(kind, start, end, events, measures, (said, *measured.refused))


def _direction(card: Card, kind: Filmed, strip: Strip, moment: datetime) -> tuple[float, str]:
    """Which way along the strip [rad] a film that no recording goes with was flown, and why."""
    there, back = strip.heading, (strip.heading + np.pi) % (2.0 * np.pi)
    if strip.one_way:
        heading = there if kind == "take-off" else back
        return heading, f"{strip.name} is flown in one way only"
    weather = weather_at(card.weather, moment)
    if weather is None:
        return there, f"taken as along the heading of {strip.name}"
    tail = float(weather.wind @ np.array([np.sin(there), np.cos(there)]))
    return (there if tail <= 0.0 else back), f"taken as into the wind along {strip.name}"
