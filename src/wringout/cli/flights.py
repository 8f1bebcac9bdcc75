"""`flights`: manoeuvres found in the recordings."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from wringout.evaluation.readings import Reading


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
    from wringout.evaluation.readings import readings
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

    def tell_one(one: Reading) -> str:
        return "; ".join(
            f"{figure.name} {show(figure.after.value, figure.unit, figure.after.sd)}"
            for figure in one.telling
            if figure.after is not None
        )

    for flight in found:
        table(
            f"{flight.card.name}: {flight.card.title} ({flight.recording.start:%Y-%m-%d %H:%M} UTC)",
            ("at", "manoeuvre", "what it measured"),
            (
                (
                    f"{_clock(one.manoeuvre.start)}–{_clock(one.manoeuvre.end)}",
                    one.manoeuvre.kind,
                    tell_one(one),
                )
                for one in readings(flight, None, dossier.units)
            ),
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
