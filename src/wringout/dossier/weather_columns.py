"""The tables of weather that say themselves what they hold: EPW and TMY3."""

from __future__ import annotations

import csv
import io
from dataclasses import dataclass
from math import radians

import numpy as np

from wringout.dossier.weather import FloatArray, Hours, IntArray, Site, Weather, day_of_year, judged
from wringout.problems import InputError, Problem

_MAST_NOTE = "the file does not say how high its wind was measured: taken as 10 m, the services' standard"
_MOST_ROWS = 1_000_000


@dataclass(frozen=True, slots=True)
class _Columns:
    """Which cell holds what; a figure at or above `missing` stands for none."""

    cells: dict[str, int]
    missing: dict[str, float]


# Field numbers and missing values [EPW].
_EPW = _Columns(
    {"temperature": 6, "dew_point": 7, "pressure": 9, "wind_from": 20, "wind_speed": 21},
    {"temperature": 99.9, "dew_point": 99.9, "pressure": 999_999.0, "wind_from": 999.0, "wind_speed": 999.0},
)
_TMY3 = {
    "temperature": "Dry-bulb (C)",
    "dew_point": "Dew-point (C)",
    "pressure": "Pressure (mbar)",
    "wind_from": "Wdir (degrees)",
    "wind_speed": "Wspd (m/s)",
}


def is_epw(head: str) -> bool:
    """Whether a text begins as an EPW does."""
    return head.startswith("LOCATION,")


def is_tmy3(head: str) -> bool:
    """Whether a text's second line is the header of a TMY3 table."""
    lines = head.split("\n", 2)
    return len(lines) > 1 and lines[1].startswith("Date (MM/DD/YYYY),Time (HH:MM)")


def read_epw(file: str, text: str) -> Weather:
    """Weather of an EPW text: a line of its place, seven more, then a row an hour [EPW].

    Raises
    ------
    InputError
        The first line does not say where it was, or there is no hour.

    Notes
    -----
    Hour 1 ends at 01:00 of the local standard clock. Missing figures are written as 99.9, 999, 999999.
    """
    lines = text.splitlines()
    place = next(csv.reader(lines[:1]), [])
    try:
        latitude, longitude, zone, elevation = (float(cell) for cell in place[6:10])
    except ValueError:
        raise InputError(_no_place(file, "LOCATION,city,region,country,source,number,latitude,…")) from None
    site = Site(
        ", ".join(part for part in (place[1].title(), place[3]) if part.strip(" -")),
        f"EPW, {place[4].strip() or 'source not told'}",
        elevation,
        latitude=radians(latitude),
        longitude=radians(longitude),
        zone=zone * 3600.0,
        notes=(_MAST_NOTE,),
    )
    rows = _Rows(file, lines[8:], 9, max(_EPW.cells.values()) + 1)
    month, day, hour = (rows.whole(index) for index in (1, 2, 3))
    return judged(site, rows.hours(_EPW, month, day, hour - 1), file, tuple(rows.problems))


def read_tmy3(file: str, text: str) -> Weather:
    """Weather of a TMY3-type CSV: a line of its place, a line of names, then a row an hour [TMY3].

    Raises InputError as `read_epw`, and where a column is missing. '01:00' ends the first hour.
    """
    lines = text.splitlines()
    place = next(csv.reader(lines[:1]), [])
    try:
        zone, latitude, longitude, elevation = (float(cell) for cell in place[3:7])
    except ValueError:
        raise InputError(_no_place(file, "number,name,state,zone,latitude,longitude,elevation")) from None
    header = next(csv.reader(lines[1:2]), [])
    absent = [name for name in _TMY3.values() if name not in header]
    if absent:
        raise InputError(
            *(Problem(f"the column '{name}' is missing", "export it again", file, 2) for name in absent)
        )
    site = Site(
        ", ".join(part.title() if len(part) > 2 else part for part in place[1:3]),
        "TMY3",
        elevation,
        latitude=radians(latitude),
        longitude=radians(longitude),
        zone=zone * 3600.0,
        notes=(_MAST_NOTE,),
    )
    cells = {name: header.index(column) for name, column in _TMY3.items()}
    columns = _Columns(
        cells, {"temperature": 99.9, "dew_point": 99.9, "wind_from": 361.0, "wind_speed": 99.9}
    )
    rows = _Rows(file, lines[2:], 3, max(cells.values()) + 1)
    month, day = rows.whole(0, slice(0, 2)), rows.whole(0, slice(3, 5))
    hour = rows.whole(1, slice(0, 2)) - 1
    return judged(site, rows.hours(columns, month, day, hour, pressure=100.0), file, tuple(rows.problems))


class _Rows:
    """Rows of cells whose calendar reads; the others are told."""

    def __init__(self, file: str, lines: list[str], first: int, least: int) -> None:
        self.file = file
        self.problems: list[Problem] = []
        table = table_of(file, "\n".join(lines[:_MOST_ROWS]), first=first)
        widths = [len(row) for _, row in table if row]
        if not widths:
            raise InputError(Problem("there is no hour in the file", "export it again", file))
        usual = max(max(set(widths), key=widths.count), least)
        self.cells: list[list[str]] = []
        numbers = []
        for number, row in table:
            if len(row) < usual:
                if any(cell.strip() for cell in row):
                    what = f"the row has {len(row)} cells, the others have {usual}"
                    self._tell(number, what)
                continue
            self.cells.append(row)
            numbers.append(number)
        self.line = np.array(numbers, dtype=np.int64)

    def whole(self, index: int, part: slice = slice(None)) -> IntArray:
        """A column of whole numbers, −1 where it is none."""

        def read(text: str) -> int:
            return int(text) if text.isdigit() and len(text) < 5 else -1

        return np.array([read(row[index].strip()[part]) for row in self.cells], dtype=np.int64)

    def number(self, index: int, missing: float | None) -> FloatArray:
        """A column of numbers, NaN where missing or no number."""
        found = np.array([_number(row[index]) for row in self.cells])
        return found if missing is None else np.where(found >= missing - 1e-9, np.nan, found)

    def hours(
        self, columns: _Columns, month: IntArray, day: IntArray, hour: IntArray, pressure: float = 1.0
    ) -> Hours:
        """The hours whose calendar reads; `pressure` is the file's unit in Pa."""
        dated = (month >= 1) & (month <= 12) & (day >= 1) & (day <= 31) & (hour >= 0) & (hour <= 23)
        for line in self.line[~dated]:
            self._tell(int(line), "month, day and hour are not those of a year")
        of = {name: self.number(at, columns.missing.get(name))[dated] for name, at in columns.cells.items()}
        return Hours(
            self.line[dated],
            month[dated],
            day_of_year(month[dated], day[dated]),
            hour[dated],
            of["temperature"] + 273.15,
            of["dew_point"] + 273.15,
            of["pressure"] * pressure,
            of["wind_speed"],
            np.radians(of["wind_from"]),
        )

    def _tell(self, line: int, what: str) -> None:
        self.problems.append(Problem(what, "the hour is left out", self.file, line, severity="warning"))


def table_of(file: str, text: str, delimiter: str = ",", first: int = 1) -> list[tuple[int, list[str]]]:
    """Line and cells of each row of a delimited text; InputError where it cannot be split.

    `first` is the line of the text's first row in the file.
    """
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=delimiter)
    try:
        return [(reader.line_num + first - 1, row) for row in reader]
    except csv.Error as error:
        what = f"the rows cannot be split into cells ({error})"
        raise InputError(Problem(what, "look for a quote that is not closed", file)) from None


def _number(text: str) -> float:
    try:
        value = float(text)
    except ValueError:
        return float("nan")
    return value if np.isfinite(value) else float("nan")


def _no_place(file: str, form: str) -> Problem:
    return Problem(
        "the first line does not say position, zone and elevation", f"it is to be '{form}'", file, 1
    )
