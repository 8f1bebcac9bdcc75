"""A flight in the words, rows and numbers that its page shows."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import UTC, datetime
from typing import Any

import numpy as np

from wringout.dossier.card import Card
from wringout.dossier.dossier import Units
from wringout.evaluation.incoming import Incoming
from wringout.evaluation.readings import Edge, Figure, Reading, moment
from wringout.evaluation.traces import (
    Trace,
    path,
    range_of,
    trace_names,
    unit_of_channel,
    usual_traces,
    window,
)
from wringout.quantity import show, show_estimate
from wringout.quantity.estimate import Estimate
from wringout.recordings import health
from wringout.recordings.recording import CHANNELS, FloatArray
from wringout.reduction import Flight
from wringout.reduction.flown import seconds

ROWS = 4
MOST_PATH = 2500  # samples of a track on a page: finer than its paper


def card_file(card: Card) -> str:
    """The file of a card in its dossier."""
    return f"cards/{card.name}.toml"


def clock(flight: Flight, seconds: float) -> str:
    """A time [s] from the recording's start as a UTC time of day, to a tenth of a second."""
    when = moment(flight, round(seconds, 1))
    return f"{when:%H:%M:%S}.{(when.microsecond + 50_000) // 100_000 % 10}"


def row_of(flight: Flight, one: Reading, at: int) -> dict[str, Any]:
    """A manoeuvre as a row of the list, and as a bracket above the traces."""
    by_hand = one.named is not None or any(edge.set_by is not None for edge in one.edges)
    return {
        "at": at,
        "kind": one.manoeuvre.kind,
        "point": one.point,
        "start": round(one.manoeuvre.start, 2),
        "end": round(one.manoeuvre.end, 2),
        "from": clock(flight, one.manoeuvre.start),
        "to": clock(flight, one.manoeuvre.end),
        "lasts": f"{one.manoeuvre.end - one.manoeuvre.start:.0f}",
        "by_hand": by_hand,
        "telling": [_figure(item) for item in one.telling[:2]],
        "edges": [
            {"name": edge.event.name, "time": round(edge.event.time, 2), "sd": edge.event.time_sd}
            for edge in one.edges
        ],
    }


def said_of(flight: Flight, one: Reading, at: int, *, whole: bool = True) -> dict[str, Any]:
    """One manoeuvre with everything that was read off it; `whole` where every flight is found."""
    return {
        **row_of(flight, one, at),
        "named": one.named,
        "whole": whole,
        "steady": all(edge.mark is None for edge in one.edges),
        "moments": [_edge(flight, edge) for edge in one.edges],
        "notes": list(one.manoeuvre.notes),
        "measured": [_figure(item) for item in one.measured],
        "reduced": [_figure(item) for item in one.reduced],
        "changed": any(item.before is not None for item in (*one.measured, *one.reduced)),
        "reasons": one.left_out,
    }


def marks_of(flight: Flight) -> list[dict[str, Any]]:
    """The card's marks: when [s], and of what kind."""
    return [{"time": seconds(flight, one.time), "kind": one.kind} for one in flight.card.marks]


def health_rows(flight: Flight, units: Units) -> list[dict[str, str]]:
    """How good each channel is, in a sentence."""
    return [
        {
            "channel": item.channel.replace("_", " "),
            "samples": f"{item.samples}",
            "rate": f"{item.rate:.2g}",
            "says": _health_words(item.gaps, item.longest_gap, item.missing, _trouble(item)),
        }
        for item in health(flight.recording)
        if units
    ]


def left_out_rows(flight: Flight) -> list[dict[str, str]]:
    """What cleaning left out: from when to when, of what, how much, why."""
    return [
        {
            "from": clock(flight, item.start),
            "to": clock(flight, item.end),
            "channel": (item.channel or "whole samples").replace("_", " "),
            "samples": f"{item.samples}",
            "why": item.reason,
        }
        for item in flight.recording.exclusions
    ]


def first_rows_shown(incoming: Incoming, units: Units) -> dict[str, Any] | None:
    """The first rows as the columns are now read, in the reader's units; None where none can be read."""
    log = incoming.rows
    if log is None or not log.channels:
        return None
    columns = [(name, unit_of_channel(name, units)) for name in log.channels]
    rows = []
    for row in range(min(ROWS, len(log.time))):
        moment = float(log.time[row])
        when = "–" if moment != moment else f"{datetime.fromtimestamp(moment, UTC):%H:%M:%S.%f}"[:-4]  # noqa: PLR0124
        rows.append([when, *(_bare(float(log.channels[name][row]), unit, name) for name, unit in columns)])
    return {
        "headings": ["time, UTC", *(f"{name.replace('_', ' ')}, {unit}" for name, unit in columns)],
        "rows": rows,
    }


def _bare(value: float, unit: str, channel: str) -> str:
    digits = 5 if channel in ("latitude", "longitude") else 1
    return show(value, unit, digits=digits, dimension=CHANNELS[channel]).removesuffix(unit).strip()


def sheet(flight: Flight, whole: Sequence[Trace], between: tuple[float, float], most: int) -> dict[str, Any]:
    """Traces and track between two moments [s], as JSON: null where a line is broken."""
    start, end = between
    recording = flight.recording
    parts = [window(one, start, end, most) for one in whole]
    way = path(flight, start, end, min(most, MOST_PATH))
    return {
        "start": recording.start.timestamp(),
        "from": float(recording.time[0]),
        "to": float(recording.time[-1]),
        "names": trace_names(recording),
        "usual": usual_traces(recording),
        "traces": [
            {
                "name": part.name,
                "unit": part.unit,
                "range": range_of(one),
                "time": _plain(part.time, 2),
                "values": _plain(part.values, _digits(one)),
            }
            for one, part in zip(whole, parts, strict=True)
        ],
        "track": {
            "time": _plain(way.time, 2),
            "east": _plain(way.east, 1),
            "north": _plain(way.north, 1),
        },
    }


def _edge(flight: Flight, edge: Edge) -> dict[str, Any]:
    return {
        "name": edge.event.name,
        "clock": clock(flight, edge.event.time),
        "sd": f"{edge.event.time_sd:.1f}",
        "reason": edge.event.reason,
        "mark": edge.mark,
        "set_by": edge.set_by,
    }


def _figure(item: Figure) -> dict[str, str]:
    return {
        "name": item.name,
        "unit": item.unit,
        "now": _value(item.after, item.unit),
        "before": "" if item.before is None else _value(item.before, item.unit),
        "source": item.after.source if item.after else "",
    }


def _value(estimate: Estimate | None, unit: str) -> str:
    """The value with its uncertainty, without its unit."""
    if estimate is None:
        return "–"
    text = show_estimate(estimate, unit) if unit else show(estimate.value, "", estimate.sd)
    return text.removesuffix(unit).removesuffix("°").strip(" ()") if unit else text


def _trouble(item: Any) -> list[str]:
    counts = (
        (item.jumps, "jumping"),
        (item.frozen, "frozen"),
        (item.repeated, "repeated"),
        (item.unreadable, "unreadable"),
    )
    return [f"{count} {word}" for count, word in counts if count]


def _health_words(gaps: int, longest: float, missing: float, trouble: list[str]) -> str:
    parts = []
    if gaps:
        times = "one gap" if gaps == 1 else f"{gaps} gaps, the longest"
        parts.append(f"{times} of {longest:.0f} s")
    if trouble:
        parts.append(f"left out: {', '.join(trouble)}")
    if missing > 0.02:
        parts.append(f"{missing:.0%} of the rows have none".replace("%", " %"))
    return "; ".join(parts) or "nothing to note"


def _digits(one: Trace) -> int:
    low, high = range_of(one)
    spread = max(high - low, 1e-9)
    return int(np.clip(4 - np.floor(np.log10(spread)), 0, 6))


def _plain(values: FloatArray, digits: int) -> list[float | None]:
    return [None if value != value else value for value in np.round(values, digits).tolist()]  # noqa: PLR0124
