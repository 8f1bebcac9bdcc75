"""The next flight as a card: its points as they stand in the file, and why they were chosen."""

from __future__ import annotations

from wringout.airplane.airplane import Airplane
from wringout.dossier.dossier import Units
from wringout.dossier.editing import Content
from wringout.dossier.planning import Sortie
from wringout.evaluation.next_flight import NextFlight
from wringout.evaluation.next_words import HOW, next_sentence, rounded_height
from wringout.evaluation.usual import maximum_mass
from wringout.model.candidates import Candidate
from wringout.quantity.units import convert, to_si

# Half of the band of heights in which a point is flown, in feet and in metres [common practice, no source].
_HALF_BAND = {
    "level": (100.0, 30.0),
    "climb": (500.0, 150.0),
    "glide": (500.0, 150.0),
    "stall": (200.0, 50.0),
}


def planned_sortie(flight: NextFlight, airplane: Airplane, units: Units, what: str) -> Sortie:
    """The sortie for a card: one [[point]] each, speeds and heights as round as they are flown.

    `what` names the answer that it narrows, such as 'the cruise speed'.
    """
    question = flight.answer.question
    mass = (flight.limits.mass if flight.limits else None) or maximum_mass(airplane, question.configuration)
    wanted: dict[str, Content] = {"wanted_mass": _text(mass, units.mass)}
    station = _ballast_station(airplane)
    if station is not None:
        wanted["ballast_station"] = station
    return Sortie(
        [_row(candidate, units) for candidate, _ in flight.steps],
        next_sentence(flight, units, what),
        wanted,
    )


def _row(point: Candidate, units: Units) -> dict[str, Content]:
    row: dict[str, Content] = {
        "kind": point.kind,
        "flap": point.flap,
        "power": point.power or ("full" if point.kind == "take-off" else "idle"),
    }
    if point.speed is not None:
        row["target_speed"] = _text(point.speed, units.speed)
    if point.technique is not None:
        row["technique"] = point.technique
    if point.strip is not None:
        row["strip"] = point.strip
    if point.height is not None:
        feet = units.height == "ft"
        half = float(to_si(_HALF_BAND[point.kind][0 if feet else 1], "ft" if feet else "m"))
        middle = rounded_height(point.height, units)
        row["height_band"] = [_text(middle - half, units.height), _text(middle + half, units.height)]
    return row | {"note": HOW[point.kind]}


def _text(value: float, unit: str) -> str:
    """A value in whole units as a file has it: '95 kt'."""
    return f"{convert(value, unit):.0f} {unit}"


def _ballast_station(airplane: Airplane) -> str | None:
    """Where ballast goes: the station for things that takes most."""
    things = [station for station in airplane.stations if station.holds != "people"]
    return max(things, key=lambda station: station.mass_limit or 0.0).name if things else None
