"""What was typed into a form → what stands in the file: a quantity with its unit, as the person wrote it."""

from __future__ import annotations

import re
from collections.abc import Mapping
from datetime import date, datetime

from wringout.dossier.dossier import Units
from wringout.dossier.editing import Content
from wringout.dossier.filled import FilledField, FilledTable, blank
from wringout.dossier.forms import FormField
from wringout.quantity.dimensions import Dimension

_NUMBER = r"[+\-−]?[0-9 \u00a0\u2009\u202f]*\.?[0-9]+(?:[eE][+\-]?[0-9]+)?"
_BARE = re.compile(rf"{_NUMBER}(?:\s*(?:±|\+/-)\s*{_NUMBER})?")


def typed_values(table: FilledTable, typed: Mapping[str, str]) -> dict[str, Content]:
    """What was typed into the fields of one table, where it differs from what the file says, by key.

    `typed` is by key, and of a list of pairs by 'key.row.column'; a field that is not there is left as it is.
    """
    values: dict[str, Content] = {}
    for field in table.fields:
        key = field.form.key
        if field.form.kind == "pairs":
            rows = _typed_pairs(field, typed)
            if rows is not None and rows != [list(row) for row in field.pairs]:
                values[key] = rows or None
        elif key in typed and typed[key].strip().replace("\r\n", "\n") != field.text:
            value = typed_value(field.form, typed[key], field.unit)
            if value != field.text:  # a bare number that stands there with its unit already
                values[key] = value
    return values


def typed_tables(
    table: FilledTable, typed: Mapping[str, str], units: Units, rows: int = 0
) -> dict[str, Content]:
    """What was typed into a table and, where it is new, into the tables in it, as `typed_values`.

    Keys of an inner table are 'table.key', of one that is listed 'table.row.key', at most `rows` of them.
    """
    values = typed_values(table, typed)
    for form in table.form.tables:
        for number in range(rows if form.many else 1):
            start = f"{form.key}.{number}." if form.many else f"{form.key}."
            inner = {key.removeprefix(start): text for key, text in typed.items() if key.startswith(start)}
            row = typed_values(blank(form, (), units), inner) if inner else {}
            if row and form.many:
                held = values.setdefault(form.key, [])
                assert isinstance(held, list)
                held.append(row)  # type: ignore[arg-type]
            elif row:
                values[form.key] = row
    return values


def typed_value(form: FormField, text: str, unit: str = "") -> Content:
    """What was typed as it stands in the file; None for nothing.

    A bare number gets the unit; what cannot be read goes in as text, so that the dossier's own check says
    what is wrong with it.

    Examples
    --------
    >>> mass = FormField("mass", "quantity", True, Dimension.MASS)
    >>> typed_value(mass, "95 lb", "kg"), typed_value(mass, "95", "kg"), typed_value(mass, "heavy", "kg")
    ('95 lb', '95 kg', 'heavy')
    """
    text = text.strip().replace("\r\n", "\n")
    if not text:
        return None
    match form.kind:
        case "quantity" if form.dimension is Dimension.RATIO:
            value: Content = _number(text)
        case "quantity" | "estimate" | "money":
            value = _quantity(text, unit)
        case "count":
            value = _number(text)
        case "flag":
            value = {"true": True, "false": False}.get(text, text)
        case "names":
            value = [part.strip() for part in text.split(",") if part.strip()]
        case "day":
            value = _day(text)
        case "moment":
            value = _moment(text)
        case _:
            value = text
    return value


def _quantity(text: str, unit: str) -> str:
    return f"{text} {unit}" if unit and _BARE.fullmatch(text) else text


def _number(text: str) -> int | float | str:
    for read in (int, float):
        try:
            return read(text)
        except ValueError:
            continue
    return text


def _day(text: str) -> date | str:
    try:
        return date.fromisoformat(text)
    except ValueError:
        return text


def _moment(text: str) -> datetime | str:
    """A day with a time, as it is typed or as a browser's own field sends it."""
    try:
        return datetime.fromisoformat(text)
    except ValueError:
        return text


def _typed_pairs(field: FilledField, typed: Mapping[str, str]) -> list[list[str]] | None:
    """The rows of a list of pairs that were typed, empty ones left out; None where the form sent none."""
    units = field.unit.split("|")
    rows: dict[int, list[str]] = {}
    for name, text in typed.items():
        match = re.fullmatch(rf"{re.escape(field.form.key)}\.([0-9]{{1,4}})\.([01])", name)
        if match:
            place = int(match[2])
            rows.setdefault(int(match[1]), ["", ""])[place] = _quantity(text.strip(), units[place])
    if not rows:
        return None
    return [row for _, row in sorted(rows.items()) if any(row)]
