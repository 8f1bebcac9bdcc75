"""The tables of a weather description: what a weather file does not say itself."""

from __future__ import annotations

from datetime import datetime, timedelta
from typing import Annotated, Literal

from wringout.dossier.fields import Angle, Fault, Length, Name, PositiveLength, Table, reader
from wringout.dossier.recording_tables import Character, zone_text
from wringout.dossier.weather import STANDARD_MAST, Site
from wringout.problems import InputError, Problem
from wringout.quantity.dimensions import Dimension
from wringout.quantity.units import find_unit

WEATHER_COLUMNS: dict[str, Dimension] = {
    "temperature": Dimension.TEMPERATURE,
    "dew_point": Dimension.TEMPERATURE,
    "humidity": Dimension.RATIO,
    "pressure": Dimension.PRESSURE,
    "qnh": Dimension.PRESSURE,
    "wind_speed": Dimension.SPEED,
    "wind_from": Dimension.ANGLE,
    "gust": Dimension.SPEED,
}
_REQUIRED = ("temperature", "wind_speed", "wind_from")


class WeatherColumn(Table):
    column: Name
    unit: Name


def _month(value: object) -> str:
    try:
        if isinstance(value, str):
            datetime.strptime(value, "%Y-%m")  # noqa: DTZ007 (a month has no zone)
            return value
    except ValueError:
        pass
    raise InputError(Problem("a month is expected", 'write it like "2026-05"'))


class WeatherFile(Table):
    """One description: `file` beside it, its site, and for a CSV the meaning of its columns."""

    file: Name
    name: Name
    source: Name = "not told"
    elevation: Length
    zone: Annotated[str, reader(zone_text)]
    mast: PositiveLength = STANDARD_MAST
    latitude: Angle | None = None
    longitude: Angle | None = None
    month: Annotated[str, reader(_month)] | None = None  # of airport reports without a date
    time_column: Name | None = None
    hour_marks: Literal["start", "end", "moment"] | None = None
    delimiter: Character = ","
    decimal: Character = "."
    missing: tuple[Name, ...] = ()
    columns: dict[str, WeatherColumn] | None = None

    def faults(self) -> tuple[Fault, ...]:
        found: list[Fault] = []
        if (self.latitude is None) != (self.longitude is None):
            found.append((("latitude",), Problem("latitude and longitude go together", "give both")))
        if self.columns is None:
            return tuple(found)
        for key, example in (("time_column", "Time"), ("hour_marks", "end")):
            if getattr(self, key) is None:
                mend = f'add it, like {key} = "{example}"'
                found.append((("columns",), Problem(f"'{key}' is missing", mend)))
        return (*found, *_column_faults(self.columns))

    def site(self) -> Site:
        """Where it was measured."""
        sign = -1.0 if self.zone[0] == "-" else 1.0
        hours, minutes = self.zone[1:].split(":")
        zone = sign * timedelta(hours=int(hours), minutes=int(minutes)).total_seconds()
        return Site(self.name, self.source, self.elevation, self.mast, self.latitude, self.longitude, zone)


def _column_faults(columns: dict[str, WeatherColumn]) -> list[Fault]:
    from wringout.airplane.lookups import unknown_name

    found: list[Fault] = []
    for name, column in columns.items():
        if name not in WEATHER_COLUMNS:
            found.append((("columns", name), unknown_name("weather column", name, list(WEATHER_COLUMNS))))
            continue
        try:
            find_unit(column.unit, WEATHER_COLUMNS[name])
        except InputError as error:
            found += [(("columns", name, "unit"), problem) for problem in error.problems]
    found += [
        (("columns",), Problem(f"'{name}' is missing", "name its column and unit"))
        for name in _REQUIRED
        if name not in columns
    ]
    if ("pressure" in columns) == ("qnh" in columns):
        what = "either the pressure at the station or that reduced to sea level (qnh) is needed"
        found.append((("columns",), Problem(what, "name the one that the file holds")))
    return found
