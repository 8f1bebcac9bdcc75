"""Weather from a CSV of any layout, by a description that says what its columns mean."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

import numpy as np

from wringout.dossier.weather import FloatArray, Hours, IntArray, Weather, day_of_year, judged
from wringout.dossier.weather_columns import table_of
from wringout.dossier.weather_tables import WEATHER_COLUMNS, WeatherFile
from wringout.physics.atmosphere import pressure_at
from wringout.physics.humidity import dew_point_from_humidity
from wringout.problems import InputError, Problem
from wringout.quantity.units import to_si

_MOST_ROWS = 1_000_000


def read_mapped(file: str, text: str, described: WeatherFile) -> Weather:
    """Weather of a CSV whose first row names the columns.

    Parameters
    ----------
    file : str
        For the problems.
    text : str
    described : WeatherFile
        With its columns.

    Raises
    ------
    InputError
        A column is not there, there is no row, or no row has a time.

    Notes
    -----
    A time without a zone is of the site's clock. Pressure reduced to sea level is brought to the station by
    the definition of QNH.
    """
    columns = described.columns or {}
    table = table_of(file, text, described.delimiter)
    header = [cell.strip() for cell in (table[0][1] if table else [])]
    time_columns = [name.strip() for name in (described.time_column or "").split("+")]
    wanted = [*time_columns, *(column.column for column in columns.values())]
    absent = [name for name in dict.fromkeys(wanted) if header.count(name) != 1]
    if absent:
        found = ", ".join(header[:12])
        raise InputError(
            *(Problem(f"there is no single column '{name}'", f"found {found}", file, 1) for name in absent)
        )
    at = {name: header.index(name) for name in wanted}
    zone = timedelta(seconds=described.site().zone)
    lines: list[int] = []
    moments: list[datetime] = []
    rows: list[list[str]] = []
    odd: list[Problem] = []
    for line, row in table[1:]:
        if not any(cell.strip() for cell in row):
            continue
        if len(row) < len(header):
            odd.append(_left(f"the row has {len(row)} cells, the first has {len(header)}", file, line))
            continue
        written = " ".join(row[at[name]].strip() for name in time_columns)
        moment = _moment(written, zone, described.hour_marks)
        if moment is None:
            odd.append(_left(f"'{written[:40]}' is no time like 2026-05-12 09:00", file, line))
            continue
        lines.append(line)
        moments.append(moment)
        rows.append(row)
        if len(rows) > _MOST_ROWS:
            raise InputError(Problem(f"there are more than {_MOST_ROWS} rows", "split the file", file))
    if not rows:
        raise InputError(Problem("no row has a time", "check time_column", file), *odd[:3])
    si = {
        name: to_si(
            _numbers([row[at[column.column]] for row in rows], described),
            column.unit,
            WEATHER_COLUMNS[name],
        )
        for name, column in columns.items()
    }
    month, day, hour = _calendar(moments)
    site = described.site()
    nothing = np.full(len(rows), np.nan)
    temperature = si["temperature"]
    pressure = si.get("pressure", nothing)
    if "qnh" in si:
        sea = si["qnh"]
        usable = (sea > 80_000.0) & (sea < 110_000.0)
        pressure = np.where(usable, pressure_at(np.where(usable, sea, 101_325.0), site.elevation), sea)
    dew_point = si.get("dew_point", nothing)
    if "humidity" in si:
        share = si["humidity"]
        usable = (share > 0.0) & (share <= 1.0) & (temperature > 230.0) & (temperature < 333.0)
        found_dew = dew_point_from_humidity(
            np.where(usable, temperature, 288.15), np.where(usable, share, 1.0)
        )
        dew_point = np.where(usable, found_dew, np.nan)
    hours = Hours(
        np.array(lines, dtype=np.int64),
        month,
        day,
        hour,
        temperature,
        dew_point,
        pressure,
        si["wind_speed"],
        si["wind_from"],
        si.get("gust"),
    )
    return judged(site, hours, file, tuple(odd))


def _left(what: str, file: str, line: int) -> Problem:
    return Problem(what, "the hour is left out", file, line, severity="warning")


def _moment(written: str, zone: timedelta, marks: str | None) -> datetime | None:
    """The moment that begins the hour, on the site's clock."""
    text = written.replace(" +", "+")
    late = " 24:" in text or "T24:" in text
    try:
        moment = datetime.fromisoformat(text.replace(" 24:", " 00:").replace("T24:", "T00:"))
    except ValueError:
        return None
    moment += timedelta(days=1) if late else timedelta(0)
    if moment.tzinfo is not None:
        local = moment.astimezone(UTC) + zone
        moment = local.replace(tzinfo=None)
    return moment - timedelta(hours=1) if marks == "end" else moment


def _calendar(moments: list[datetime]) -> tuple[IntArray, IntArray, IntArray]:
    month = np.array([moment.month for moment in moments], dtype=np.int64)
    day = np.array([moment.day for moment in moments], dtype=np.int64)
    hour = np.array([moment.hour for moment in moments], dtype=np.int64)
    return month, day_of_year(month, day), hour


def _numbers(cells: list[str], described: WeatherFile) -> FloatArray:
    """Cells as numbers, NaN where empty, named as missing, or no number."""
    missing = {"", *described.missing}

    def read(cell: str) -> float:
        text = cell.strip()
        if text in missing:
            return float("nan")
        try:
            return float(text.replace(",", ".") if described.decimal == "," else text)
        except ValueError:
            return float("nan")

    found = np.array([read(cell) for cell in cells])
    return np.where(np.isfinite(found), found, np.nan)
