"""The report on the flights: what was flown, what was found in the recordings."""

from __future__ import annotations

from typing import TYPE_CHECKING

from wringout.quantity.showing import show
from wringout.report.blocks import Block, Cell, Column, clock, lead, table, text
from wringout.report.words import capital, counted, counted_kinds

if TYPE_CHECKING:
    from wringout.dossier.card import Card
    from wringout.dossier.dossier import Units
    from wringout.evaluation.evaluation import Evaluation
    from wringout.manoeuvres.manoeuvre import Manoeuvre


def flight_blocks(evaluation: Evaluation, figures: dict[str, Block]) -> list[Block]:
    """Each flight: recording with its manoeuvres, track, weather, and a row a manoeuvre."""
    units = evaluation.dossier.units
    flights = evaluation.flights
    found = [item for flight in flights for item in flight.manoeuvres]
    if not flights:
        return [lead("No recording was read; this report rests on the description and the priors alone.")]
    blocks: list[Block] = [
        lead(
            f"{capital(counted(len(flights), 'flight'))} gave {counted_kinds(found)}; each found in the "
            "recording, its span kept."
        )
    ]
    for flight in flights:
        card = flight.card
        for name in (f"flight {card.name}", f"track {card.name}"):
            if name in figures:
                block = figures[name]
                block["note"] = (
                    _note(card, units)
                    if name.startswith("track")
                    else [f"{card.name}, {card.day.isoformat()}, {card.pilot}"]
                )
                blocks.append(block)
        if card.notes:
            blocks.append(text(card.notes, f"{card.pilot}'s notes, {card.name}"))
    return blocks


def _note(card: Card, units: Units) -> list[str]:
    lines = [f"{card.name}, {card.configuration}, {card.pilot}"]
    for reading in card.weather:
        degrees = f"{round(reading.wind_direction * 57.29578) % 360:03d}°"
        lines.append(
            f"{reading.time:%H:%M} UTC at {show(reading.elevation, units.height, digits=0)}: QNH "
            f"{show(reading.qnh, units.pressure, digits=0)}, "
            f"{show(reading.temperature, units.temperature, digits=0)}, wind {degrees} "
            f"{show(reading.wind_speed, units.speed, reading.wind_speed_sd, digits=0)} "
            f"at {show(reading.wind_height, 'm', digits=0)}"
        )
    return lines


_FIRST_MEASURES = {
    "take-off": ("ground_roll", "air_distance", "lift_off_ground_speed"),
    "landing": ("air_distance", "ground_roll", "touchdown_ground_speed"),
    "level leg": ("indicated_airspeed", "height"),
    "climb": ("rate_of_climb", "ground_speed", "height"),
    "glide": ("rate_of_climb", "ground_speed", "height"),
    "stall": ("minimum_indicated_airspeed", "minimum_ground_speed", "entry_rate"),
    "turn": ("ground_speed_mean", "turn_rate"),
}
_MEASURE_UNITS = {
    "height": "height",
    "rate_of_climb": "vertical_speed",
    "ground_roll": "distance",
    "air_distance": "distance",
}


def manoeuvre_table(title: str, manoeuvres: tuple[Manoeuvre, ...], units: Units) -> Block:
    """A row a manoeuvre: its span, its moments, its first measures."""
    rows: list[list[Cell]] = []
    for item in sorted(manoeuvres, key=lambda item: item.start):
        measures = []
        for name in _FIRST_MEASURES[item.kind]:
            if name in item.measures:
                estimate = item.measures[name]
                unit = _unit(name, estimate.dimension.value, units)
                measures.append(
                    f"{name.replace('_', ' ')} "
                    f"{show(estimate.value, unit, estimate.sd, dimension=estimate.dimension)}"
                )
        events = ", ".join(
            f"{event.name} {clock(event.time)}" for event in item.events if event.name not in {"start", "end"}
        )
        rows.append([f"{clock(item.start)}–{clock(item.end)}", item.kind, events, "; ".join(measures)])
    columns = (
        Column("from, to", "min:s", "number"),
        Column("manoeuvre"),
        Column("moments", stretch=2),
        Column("first measures, ± one standard uncertainty", stretch=5),
    )
    return table(columns, rows, title=title, dense=True)


def _unit(name: str, si: str, units: Units) -> str:
    if name in _MEASURE_UNITS:
        return str(getattr(units, _MEASURE_UNITS[name]))
    return {
        "m/s": units.speed,
        "m": units.distance,
        "m/s²": "kt/s",
        "rad": "°",
        "1/s": "rpm",
        "slope": "%",
    }.get(si, si)
