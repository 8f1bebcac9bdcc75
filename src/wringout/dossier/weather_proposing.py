"""What a weather table's columns seem to mean: a description to look at, and what it leaves to be said."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from wringout.dossier.weather_tables import WEATHER_COLUMNS
from wringout.recordings.sniffing import sniff
from wringout.recordings.vocabulary import split_name, unit_of

_NAMES: dict[str, tuple[str, ...]] = {
    "temperature": ("temperature", "air temperature", "temp", "dry bulb", "dry bulb temperature", "t", "oat"),
    "dew_point": ("dew point", "dewpoint", "dew point temperature", "td"),
    "humidity": ("relative humidity", "humidity", "rh", "rel hum", "rhum"),
    "pressure": ("station pressure", "pressure", "p", "pres", "atmospheric pressure"),
    "qnh": ("qnh", "altimeter", "altimeter setting", "sea level pressure", "mslp", "slp"),
    "wind_speed": ("wind speed", "windspeed", "wspd", "ws", "ff", "wind"),
    "wind_from": ("wind direction", "wind from", "wdir", "wd", "dd", "wind dir"),
    "gust": ("gust", "wind gust", "gusts", "gust speed", "fx"),
}
_TIMES = ("time", "date", "datetime", "timestamp", "date time", "valid", "utc", "date utc", "time utc", "day")


@dataclass(frozen=True, slots=True)
class WeatherProposal:
    """A description as far as the table tells it; `asked` are sentences on what is still to be said."""

    columns: tuple[tuple[str, str, str], ...]  # (what, column, unit or '')
    asked: tuple[str, ...]
    unknown: tuple[str, ...]
    toml: str


def propose_weather(path: Path) -> WeatherProposal:
    """What the columns of a CSV of weather seem to mean, from their names and units.

    Raises InputError where its layout cannot be told.
    """
    layout = sniff(path)
    found: dict[str, tuple[int, str, str]] = {}
    times, unknown = [], []
    for heading, below in zip(layout.header, layout.units, strict=True):
        words, written = split_name(heading)
        plain = words.replace("-", " ")
        if plain in _TIMES:
            times.append(heading)
            continue
        what = next((name for name, names in _NAMES.items() if plain in names), None)
        if what is None:
            unknown.append(heading)
            continue
        unit = unit_of(written or below, WEATHER_COLUMNS[what]) or ""
        rank = _NAMES[what].index(plain)
        if what not in found or rank < found[what][0]:
            found[what] = (rank, heading, unit)
    if "pressure" in found and "qnh" in found:
        del found["qnh"]
    columns = tuple((what, found[what][1], found[what][2]) for what in _NAMES if what in found)
    asked = [
        "name, elevation and position of the station, and the zone of its clock",
        "whether a time begins its hour, ends it, or is a moment (hour_marks)",
        "how high above the ground the wind was measured (mast)",
    ]
    asked += [f"the unit of '{column}'" for _, column, unit in columns if not unit]
    needed = ("temperature", "wind_speed", "wind_from")
    asked += [f"which column is the {name.replace('_', ' ')}" for name in needed if name not in found]
    if not {"pressure", "qnh"} & set(found):
        asked.append("which column is the pressure, or the pressure reduced to sea level (qnh)")
    if not times:
        asked.append("which column is the time")
    return WeatherProposal(
        columns, tuple(asked), tuple(unknown), _toml(path, layout.delimiter, times, columns)
    )


def _toml(path: Path, delimiter: str, times: list[str], columns: tuple[tuple[str, str, str], ...]) -> str:
    lines = [
        f'file = "{path.name}"',
        'name = "?"',
        'elevation = "? m"',
        'zone = "+00:00"  # of the station\'s standard clock',
        '# latitude = "? °"',
        '# longitude = "? °"',
        '# mast = "10 m"',
        f'time_column = "{" + ".join(times) or "?"}"',
        'hour_marks = "?"  # start, end or moment',
    ]
    if delimiter != ",":
        lines.append(f'delimiter = "{delimiter}"')
    lines += ["", "[columns]"]
    lines += [f'{what} = {{ column = "{column}", unit = "{unit or "?"}" }}' for what, column, unit in columns]
    return "\n".join(lines) + "\n"
