"""The next flight as a card: its points as they stand in the file, and why they were chosen."""

from __future__ import annotations

from wringout.airplane.airplane import Airplane
from wringout.dossier.dossier import Units
from wringout.dossier.editing import Content
from wringout.dossier.planning import Sortie
from wringout.evaluation.next_flight import NextFlight
from wringout.evaluation.next_words import HOW, next_sentence, rounded_height
from wringout.model.candidates import Candidate, Kind
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
    wanted: dict[str, Content] = {}
    mass = flight.limits.mass if flight.limits else None
    if mass is not None:
        station = _ballast_station(airplane)
        wanted = {"wanted_mass": _text(mass, units.mass)}
        wanted |= {} if station is None else {"ballast_station": station}
    rows: list[dict[str, Content]] = []
    told: set[Kind] = set()
    for candidate, _ in flight.steps:
        # How it is flown is said once for each kind.
        note: dict[str, Content] = {} if candidate.kind in told else {"note": HOW[candidate.kind]}
        rows.append(_row(candidate, units) | note)
        told.add(candidate.kind)
    return Sortie(rows, next_sentence(flight, units, what), wanted)


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
    return row


def _text(value: float, unit: str) -> str:
    """A value in whole units as a file has it: '95 kt'."""
    return f"{convert(value, unit):.0f} {unit}"


def _ballast_station(airplane: Airplane) -> str | None:
    """Where ballast goes: the station for things that takes most."""
    things = [station for station in airplane.stations if station.holds != "people"]
    return max(things, key=lambda station: station.mass_limit or 0.0).name if things else None
