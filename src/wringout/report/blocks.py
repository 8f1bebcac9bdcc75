"""The few kinds of block of which the report is made, as plain data for the template."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from math import floor, isfinite, log10
from typing import Any, Literal

from wringout.dossier.dossier import Units
from wringout.quantity.dimensions import Dimension
from wringout.quantity.estimate import Estimate
from wringout.quantity.showing import show
from wringout.quantity.units import difference_factor, find_unit
from wringout.reduction.points import Origin

Block = dict[str, Any]
Cell = str | float | dict[str, Any] | None
NOT_KNOWN = "–"


def lead(text: str, *note: str) -> Block:
    """The sentence with which a section opens."""
    return {"type": "lead", "text": text, "note": list(note)}


def text(body: str, *note: str) -> Block:
    """A paragraph of running text."""
    return {"type": "text", "text": body, "note": list(note)}


def heading(words: str, level: int = 2) -> Block:
    """A heading below that of the section."""
    return {"type": "heading", "text": words, "level": level}


def caution(body: str) -> Block:
    """One quiet paragraph with a rust rule beside it."""
    return {"type": "caution", "text": body}


def numbered(figures: Mapping[str, Block], key: str) -> list[Block]:
    """The figure of that key and those that go on with it ('stall', 'stall 2', …)."""
    return [block for name, block in figures.items() if name == key or name.startswith(f"{key} ")]


def stack(*blocks: Block, note: Sequence[str] = ()) -> Block:
    """Blocks one under the other in the text column, with one note beside them all."""
    return {"type": "stack", "blocks": list(blocks), "note": list(note)}


def together(*blocks: Block) -> Block:
    """Blocks that are not to be parted by the end of a page."""
    return {"type": "together", "blocks": list(blocks)}


@dataclass(frozen=True, slots=True)
class Column:
    """A column of a table: the unit stands once, in its heading."""

    title: str
    unit: str = ""
    kind: Literal["text", "number", "estimate", "rule"] = "text"
    stretch: float = 0.0


def table(
    columns: Sequence[Column],
    rows: Iterable[Sequence[Cell]],
    *note: str,
    title: str = "",
    wide: bool = True,
    dense: bool = False,
) -> Block:
    """A table; rows hold one cell a column."""
    listed = [list(row) for row in rows]
    for row in listed:
        if len(row) != len(columns):
            raise ValueError(f"a row of {len(row)} cells in a table of {len(columns)} columns: {row}")
    heads = [
        {"title": column.title, "unit": column.unit, "kind": column.kind, "stretch": column.stretch}
        for column in columns
    ]
    return {
        "type": "table",
        "columns": heads,
        "rows": listed,
        "note": list(note),
        "title": title,
        "wide": wide,
        "dense": dense,
    }


def fail(words: str) -> Cell:
    """A cell in the accent: what binds or fails."""
    return {"text": words, "fail": True}


def number(value: float | None, unit: str, digits: int, dimension: Dimension | None = None) -> str:
    """An SI value in `unit` without the unit: the column's heading says it."""
    if value is None or not isfinite(value):
        return NOT_KNOWN
    return bare(show(value, unit, digits=digits, dimension=dimension), unit)


def bare(shown: str, unit: str) -> str:
    """What `show` wrote, its unit taken off."""
    return shown.removesuffix(unit).rstrip() if unit else shown


def estimates(values: Sequence[Estimate | None], unit: str, digits: int | None = None) -> list[Cell]:
    """A column of estimates with one number of digits: their decimal points stand under one another."""
    known = [value for value in values if value is not None and isfinite(value.value)]
    if not known:
        return [NOT_KNOWN] * len(values)
    dimension = known[0].dimension
    found = find_unit(unit, dimension) if unit else None

    def spread(value: Estimate) -> float | None:
        if value.sd is None or not isfinite(value.sd):
            return None
        return value.sd / (difference_factor(found, value.value) if found else 1.0)

    spreads = [size for size in map(spread, known) if size]
    places = digits if digits is not None else first_digit(min(spreads)) if spreads else 1
    cells: list[Cell] = []
    for value in values:
        if value is None or not isfinite(value.value):
            cells.append(NOT_KNOWN)
            continue
        size = spread(value)
        shown = number(value.value, unit, places, dimension)
        cells.append({"text": shown, "sd": "" if size is None else f"± {_plain(size, places)}"})
    return cells


def first_digit(spread: float) -> int:
    """Digits after the point at which `spread` shows its first significant one; at least none."""
    return max(0, -floor(log10(spread) + 1e-9))


def digits_of(low: float, high: float, unit: str, dimension: Dimension) -> int:
    """Digits after the point that a figure deserves: two of half its 90 % interval, at most one.

    Negative digits round before the point.
    """
    found = find_unit(unit, dimension) if unit else None
    half = abs(high - low) / 2 / (difference_factor(found, (low + high) / 2) if found else 1.0)
    return min(1, 1 - floor(log10(half))) if half > 0 and isfinite(half) else 0


def _plain(value: float, places: int) -> str:
    return f"{value:.{places}f}" if round(value, places) > 0 else f"<{10.0**-places:.{places}f}"


def interval(low: float, high: float, unit: str, digits: int) -> str:
    """'280 to 333 m'."""
    return f"{number(low, unit, digits)} to {show(high, unit, digits=digits)}"


def clock(seconds: float) -> str:
    """Seconds from a recording's start as minutes and seconds: '12:05', '−0:03' before it."""
    whole = abs(round(seconds))
    return f"{'−' if seconds < -0.5 else ''}{whole // 60}:{whole % 60:02d}"


def origin_words(origin: Origin) -> str:
    """Where a figure came from: card, point and the span of the recording."""
    return f"{origin.card}, {origin.point}: {clock(origin.start)}–{clock(origin.end)}"


def unit_of(dimension: Dimension, units: Units) -> str:
    """The unit in which the dossier shows figures of a dimension; lengths as field lengths."""
    return {
        Dimension.LENGTH: units.distance,
        Dimension.SPEED: units.speed,
        Dimension.MASS: units.mass,
        Dimension.VOLUME: units.fuel,
        Dimension.VOLUME_FLOW: units.fuel_flow,
        Dimension.TEMPERATURE: units.temperature,
        Dimension.PRESSURE: units.pressure,
        Dimension.POWER: units.power,
        Dimension.TIME: "min",
        Dimension.ANGLE: "°",
        Dimension.SLOPE: "%",
        Dimension.RATIO: "",
        Dimension.AREA: "m²",
        Dimension.ACCELERATION: "g",
    }.get(dimension, dimension.value)
