"""A form filled with what a file says: the text of every field as typed, and each fault at its field."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from wringout.dossier.dossier import Units
from wringout.dossier.forms import FormField, FormTable
from wringout.dossier.lines import Path
from wringout.dossier.toml import Document
from wringout.problems import InputError, Problem
from wringout.quantity.dimensions import Dimension
from wringout.quantity.money import money_unit
from wringout.quantity.showing import show
from wringout.quantity.text import parse
from wringout.quantity.units import WORDS, find_unit

_NUMBER = re.compile(r"[+\-−]?[0-9 \u00a0\u2009\u202f]*\.?[0-9]+(?:[eE][+\-]?[0-9]+)?")
_UNIT = re.compile(rf"{_NUMBER.pattern}\s*(?P<unit>[^0-9\s±+][^±+]*?)\s*(?:(?:±|\+/-).*)?")
_CALLED_BY = ("name", "wheel", "parameter", "task")  # by which a table calls itself
_IMPERIAL = frozenset({"lb", "ft", "in", "US gal", "imp gal", "US qt", "ft³", "hp", "lb/ft²", "ft²"})


@dataclass(frozen=True, slots=True)
class FilledField:
    """One field: its path in the file, the text in it, and the problems that stand at it.

    `pairs` are the rows of a list of pairs; `unit` what a bare number typed there gets; `also` the same
    quantity in the reader's own system where it was typed in the other.
    """

    form: FormField
    path: Path
    text: str
    pairs: tuple[tuple[str, str], ...]
    unit: str
    also: str
    problems: tuple[Problem, ...]


@dataclass(frozen=True, slots=True)
class FilledTable:
    """One table: its fields and the tables in it, several by a key that the file lists.

    `name` is what it calls itself; `problems` are those that belong to none of its fields.
    """

    form: FormTable
    path: Path
    name: str
    fields: tuple[FilledField, ...]
    tables: Mapping[str, tuple[FilledTable, ...]]
    problems: tuple[Problem, ...]

    def at(self, path: Path) -> FilledTable | None:
        """The table at a path from here such as ('kit', 0, 'off', 2); None where the file has none."""
        if not path:
            return self
        tables = self.tables.get(str(path[0]), ())
        many = len(path) > 1 and isinstance(path[1], int)
        place = path[1] if many else 0
        if not isinstance(place, int) or not 0 <= place < len(tables):
            return None
        return tables[place].at(path[2 if many else 1 :])

    @property
    def faults(self) -> int:
        """How many problems stand in it, those of its tables too."""
        own = len(self.problems) + sum(len(field.problems) for field in self.fields)
        return own + sum(table.faults for tables in self.tables.values() for table in tables)


def filled(form: FormTable, document: Document, problems: Iterable[Problem], units: Units) -> FilledTable:
    """The form of a whole file, filled.

    Parameters
    ----------
    form : FormTable
    document : Document
        The file as read.
    problems : iterable of Problem
        Of the whole dossier; those of other files are left out.
    units : Units
        What a bare number gets where nothing was typed before.
    """
    own = [problem for problem in problems if problem.file == document.file]
    placed = placed_problems(form, document, own)
    return _table(form, (), document.data, placed, units)


def blank(form: FormTable, path: Path, units: Units) -> FilledTable:
    """A table that is yet to be filled in: a new row of a list, or one that the file does not have."""
    return _table(form, path, {}, {}, units)


def placed_problems(
    form: FormTable, document: Document, problems: Iterable[Problem]
) -> dict[Path, tuple[Problem, ...]]:
    """Each problem by the path of the field, or of the nearest table, that it is about."""
    places: dict[tuple[str | None, int | None], Path] = {}
    for path in _paths(form, (), document.data):
        places.setdefault((document.place(path), document.line(path)), path)
        places.setdefault((document.place(path), None), path)
    found: dict[Path, tuple[Problem, ...]] = {}
    for problem in problems:
        path = _place(places, problem)
        found[path] = (*found.get(path, ()), problem)
    return found


def _table(
    form: FormTable, path: Path, data: Any, placed: Mapping[Path, tuple[Problem, ...]], units: Units
) -> FilledTable:
    held = data if isinstance(data, Mapping) else {}
    tables: dict[str, tuple[FilledTable, ...]] = {}
    for inner in form.tables:
        content = held.get(inner.key)
        if inner.many:
            items = content if isinstance(content, list) else []
            tables[inner.key] = tuple(
                _table(inner, (*path, inner.key, number), item, placed, units)
                for number, item in enumerate(items)
            )
        else:
            tables[inner.key] = (
                () if content is None else (_table(inner, (*path, inner.key), content, placed, units),)
            )
    fields = tuple(
        _field(field, (*path, field.key), held.get(field.key), placed, units) for field in form.fields
    )
    name = next((held[key] for key in _CALLED_BY if key in held), "")
    # What is wrong with a list as a whole, or with a table that is not there, is told above it.
    lists = [(*path, inner.key) for inner in form.tables if inner.many or not tables[inner.key]]
    own = tuple(problem for at in (path, *lists) for problem in placed.get(at, ()))
    return FilledTable(form, path, str(name), fields, tables, own)


def _field(
    form: FormField, path: Path, value: Any, placed: Mapping[Path, tuple[Problem, ...]], units: Units
) -> FilledField:
    pairs = _pairs(value) if form.kind == "pairs" else ()
    text = _text(value) if form.kind != "pairs" else ""
    if form.kind == "pairs":
        last = pairs[-1] if pairs else ("", "")
        unit = "|".join(
            _unit(cell, dimension, units) for cell, dimension in zip(last, form.columns, strict=True)
        )
    else:
        unit = money_unit(text) if form.kind == "money" else _unit(text, form.dimension, units)
    own = tuple(problem for at, found in placed.items() if at[: len(path)] == path for problem in found)
    return FilledField(form, path, text, pairs, unit, _also(text, form, units), own)


def _pairs(value: Any) -> tuple[tuple[str, str], ...]:
    rows = value if isinstance(value, list) else []
    return tuple((_text(row[0]), _text(row[1])) for row in rows if isinstance(row, list) and len(row) == 2)


def _text(value: Any) -> str:
    if value is None:
        return ""
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, datetime):
        return value.isoformat().replace("+00:00", "Z")
    if isinstance(value, list):
        return ", ".join(str(item) for item in value)
    return str(value).strip()


def _unit(text: str, dimension: Dimension | None, units: Units) -> str:
    """The unit that stands in a text, or else the one in which people want to see such a figure."""
    if dimension is None or dimension is Dimension.RATIO:
        return ""
    match = _UNIT.fullmatch(text)
    if match:
        try:
            return find_unit(match["unit"].strip(), dimension).symbol
        except InputError:
            pass
    wanted = {
        Dimension.MASS: units.mass,
        Dimension.VOLUME: units.fuel,
        Dimension.SPEED: units.speed,
        Dimension.POWER: units.power,
        Dimension.VOLUME_FLOW: units.fuel_flow,
        Dimension.PRESSURE: units.pressure,
    }
    return wanted.get(dimension) or WORDS[dimension].example.split(" ", 1)[1]


def _also(text: str, form: FormField, units: Units) -> str:
    """The figure in the reader's own system where it was typed in the other one; nothing else needs it."""
    if form.kind != "quantity" or form.dimension is None:
        return ""
    length = "in" if units.arm in _IMPERIAL else "m"
    wanted = {
        Dimension.MASS: units.mass,
        Dimension.VOLUME: units.fuel,
        Dimension.LENGTH: length,
        Dimension.POWER: units.power,
    }.get(form.dimension)
    typed = _unit(text, form.dimension, units)
    if wanted is None or (typed in _IMPERIAL) == (wanted in _IMPERIAL):
        return ""
    try:
        return show(parse(text, form.dimension), wanted)
    except InputError:
        return ""


def _paths(form: FormTable, path: Path, data: Any) -> Iterable[Path]:
    """Every place of the form that a problem may be about, the inner before the outer ones."""
    held = data if isinstance(data, Mapping) else {}
    for inner in form.tables:
        content = held.get(inner.key)
        items = content if isinstance(content, list) else []
        if inner.many:
            for number, item in enumerate(items):
                yield from _paths(inner, (*path, inner.key, number), item)
        elif content is not None:
            yield from _paths(inner, (*path, inner.key), content)
        yield (*path, inner.key)
    for field in form.fields:
        value = held.get(field.key)
        if isinstance(value, list):
            for number, row in enumerate(value):
                if isinstance(row, list):
                    yield from ((*path, field.key, number, place) for place in range(len(row)))
                yield (*path, field.key, number)
        yield (*path, field.key)
    yield path


def _place(places: Mapping[tuple[str | None, int | None], Path], problem: Problem) -> Path:
    """The path whose words the problem tells, on its line where two tables are called the same."""
    words = problem.field
    while words:
        for key in ((words, problem.line), (words, None)):
            if key in places:
                return places[key]
        words = words.rpartition(", ")[0]
    return ()
