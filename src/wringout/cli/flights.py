"""`flights`: manoeuvres found in the recordings."""

from __future__ import annotations

from pathlib import Path

from wringout.manoeuvres.manoeuvre import Manoeuvre
from wringout.quantity.estimate import Estimate

# The one or two measures that tell most about a manoeuvre, in the order a reader asks for them.
TELLING: dict[str, tuple[tuple[str, str], ...]] = {
    "take-off": (
        ("ground_roll", "distance"),
        ("air_distance", "distance"),
        ("lift_off_ground_speed", "speed"),
    ),
    "landing": (
        ("air_distance", "distance"),
        ("ground_roll", "distance"),
        ("touchdown_ground_speed", "speed"),
    ),
    "level leg": (("indicated_airspeed", "speed"), ("height", "height")),
    "climb": (("rate_of_climb", "vertical_speed"), ("indicated_airspeed", "speed")),
    "glide": (("rate_of_climb", "vertical_speed"), ("indicated_airspeed", "speed")),
    "stall": (("minimum_indicated_airspeed", "speed"), ("entry_rate", "entry_rate")),
    "turn": (("ground_speed_mean", "speed"),),
}


def flights(folder: Path = Path(), /, *, card: str | None = None, json: bool = False) -> int:
    """Manoeuvres found in the recordings, with the reason for each boundary.

    Parameters
    ----------
    folder
        The dossier.
    card
        Only this card's flight.
    json
        Answer as JSON, in SI, with every event and measure.
    """
    from wringout.cli.output import print_json, progress, say, table
    from wringout.evaluation import find_flights
    from wringout.quantity import as_json, show

    with progress(quiet=json) as tell:
        dossier, found = find_flights(folder, tell)
    if card is not None:
        found = tuple(flight for flight in found if flight.card.name == card)
    if json:
        print_json(
            {
                flight.card.name: {
                    "recording_start": flight.recording.start.isoformat(),
                    "left_out": [
                        {
                            "from": e.start,
                            "to": e.end,
                            "samples": e.samples,
                            "channel": e.channel,
                            "reason": e.reason,
                        }
                        for e in flight.recording.exclusions
                    ],
                    "notes": list(flight.recording.notes),
                    "manoeuvres": [
                        {
                            "kind": m.kind,
                            "start": m.start,
                            "end": m.end,
                            "events": [
                                {"name": e.name, "time": e.time, "time_sd": e.time_sd, "reason": e.reason}
                                for e in m.events
                            ],
                            "measures": {name: as_json(value) for name, value in m.measures.items()},
                            "notes": list(m.notes),
                        }
                        for m in flight.manoeuvres
                    ],
                }
                for flight in found
            }
        )
        return 0
    if not found:
        say("No flight is found: no card, or not this card, names a recording.")
    units = {"entry_rate": "kt/s"} | {name: getattr(dossier.units, name) for name in dossier.units.__slots__}

    def tell_one(m: Manoeuvre) -> str:
        parts = []
        for name, figure in TELLING[m.kind]:
            measure: Estimate | None = m.measures.get(name)
            if measure is not None:
                parts.append(f"{name.replace('_', ' ')} {show(measure.value, units[figure], measure.sd)}")
        return "; ".join(parts)

    for flight in found:
        table(
            f"{flight.card.name}: {flight.card.title} ({flight.recording.start:%Y-%m-%d %H:%M} UTC)",
            ("at", "manoeuvre", "what it measured"),
            ((f"{_clock(m.start)}–{_clock(m.end)}", m.kind, tell_one(m)) for m in flight.manoeuvres),
            words=3,
        )
        for note in flight.recording.notes:
            say(f"Note: {note}.")
    return 0


def _clock(seconds: float) -> str:
    """Hours, minutes and seconds from the recording's start; a roll may have begun before it."""
    whole = abs(round(seconds))
    sign = "−" if seconds < -0.5 else ""
    return f"{sign}{whole // 3600}:{whole // 60 % 60:02d}:{whole % 60:02d}"
