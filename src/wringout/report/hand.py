"""What was written down at the points by hand, beside what the recordings gave."""

from __future__ import annotations

from datetime import UTC
from typing import TYPE_CHECKING

from wringout.quantity.showing import show
from wringout.report.blocks import Block, Cell, Column, table

if TYPE_CHECKING:
    from wringout.dossier.card import FlightTimes, HandReadings
    from wringout.dossier.dossier import Units
    from wringout.evaluation.evaluation import Evaluation

# Reading, its word, and the dossier's kind of unit or the unit itself, with the digits that are read.
_READINGS = (
    ("indicated_airspeed", "IAS", "speed", 0),
    ("engine_speed", "engine", "rpm", 0),
    ("manifold_pressure", "manifold", "pressure", 0),
    ("fuel_flow", "fuel", "fuel_flow", 0),
    ("power", "power", "power", 0),
    ("from_height", "from", "height", 0),
    ("to_height", "to", "height", 0),
    ("outside_air_temperature", "air", "temperature", 0),
    ("warning_speed", "warning", "speed", 0),
    ("break_speed", "break", "speed", 0),
    ("height_lost", "lost", "height", 0),
    ("wind_direction", "wind from", "°", 0),
    ("wind_speed", "at", "speed", 0),
    ("ground_roll", "roll", "distance", 0),
    ("distance", "over 15 m", "distance", 0),
)


def hand_blocks(evaluation: Evaluation) -> list[Block]:
    """A row a flight whose clock was written down and a point at which something was read, if any was."""
    rows: list[list[Cell]] = []
    for card in evaluation.dossier.cards:
        clock = times_words(card.times)
        if clock:
            rows.append([card.name, clock])
        rows += [
            [f"{card.name}, {point.id}", read_words(point.read, evaluation.dossier.units)]
            for point in card.points
            if point.read is not None
        ]
    if not rows:
        return []
    columns = (Column("card, point"), Column("as read in flight, in no figure", stretch=1))
    return [table(columns, rows, title="Read by hand")]


def times_words(times: FlightTimes) -> str:
    """Clock times of a flight in UTC."""
    named = (
        ("start-up", times.start_up),
        ("take-off", times.take_off),
        ("landing", times.landing),
        ("shut-down", times.shut_down),
    )
    told = [f"{word} {moment.astimezone(UTC):%H:%M}" for word, moment in named if moment is not None]
    return f"{', '.join(told)} UTC" if told else ""


def read_words(read: HandReadings, units: Units) -> str:
    """Readings in the reader's units, in the order of the printed card."""
    words = []
    for name, word, kind, digits in _READINGS:
        value = getattr(read, name)
        if value is not None:
            words.append(f"{word} {show(value, getattr(units, kind, kind), digits=digits)}")
    if read.charge is not None:
        words.append(f"charge {read.charge:.0%}")
    if read.wing is not None:
        words.append("no wing dropped" if read.wing == "none" else f"the {read.wing} wing dropped")
    return ", ".join(words)
