"""Weather from airport reports (METAR): wind, temperature and dew point, altimeter setting."""

from __future__ import annotations

import re
from datetime import UTC, datetime, timedelta

import numpy as np

from wringout.dossier.weather import Hours, Weather, day_of_year, judged
from wringout.dossier.weather_tables import WeatherFile
from wringout.physics.atmosphere import pressure_at
from wringout.problems import InputError, Problem
from wringout.quantity.units import to_si

_REPORT = re.compile(r"\b(?:METAR |SPECI )?(?:COR )?([A-Z][A-Z0-9]{3}) (\d{2})(\d{2})(\d{2})Z\b(.*)")
_WIND = re.compile(r"\b(\d{3}|VRB)(\d{2,3})(?:G(\d{2,3}))?(KT|MPS|KMH)\b")
_AIR = re.compile(r"(?<!\S)(M?\d{2})/(M?\d{2})?(?!\S)")
_EXACT_AIR = re.compile(r"\bT([01]\d{3})([01]\d{3})?\b")  # tenths of a degree, in the remarks
_SETTING = re.compile(r"(?<!\S)(?:A(\d{4})|Q(\d{4}))(?!\S)")
_DATED = re.compile(r"^(\d{4})-?(\d{2})-?(\d{2})")
_UNITS = {"KT": "kt", "MPS": "m/s", "KMH": "km/h"}


def is_report(head: str) -> bool:
    """Whether one of the first lines is an airport report."""
    return any(_REPORT.search(line) for line in head.splitlines()[:20] if not line.startswith("#"))


def read_reports(file: str, text: str, described: WeatherFile) -> Weather:
    """Weather of reports, one a line; lines that begin with # are words.

    Parameters
    ----------
    file : str
        For the problems.
    text : str
    described : WeatherFile
        Its site, and the month where the lines begin with no date.

    Raises
    ------
    InputError
        No line is a report, or neither a line nor the description tells month and year.

    Notes
    -----
    The station's pressure follows from the altimeter setting by its definition. Of a variable wind the
    direction is not known. Wind is taken as of the description's mast.
    """
    site = described.site()
    problems: list[Problem] = []
    found: list[tuple[int, datetime, str]] = []
    for number, line in enumerate(text.splitlines(), start=1):
        if not line.strip() or line.startswith("#"):
            continue
        match = _REPORT.search(line)
        if match is None:
            problems.append(_left("this is no airport report", file, number))
            continue
        moment = _moment(line, match, described, file, number)
        if moment is None:
            problems.append(_left(f"there is no day {match[2]} at {match[3]}:{match[4]}", file, number))
            continue
        found.append((number, moment + timedelta(seconds=site.zone), match[5]))
    if not found:
        raise InputError(Problem("no line is an airport report", "paste them, one a line", file), *problems)
    figures = np.array([_figures(report, site.elevation) for _, _, report in found])
    variable = np.array([bool(re.search(r"\bVRB\d", report)) for _, _, report in found])
    month = np.array([moment.month for _, moment, _ in found], dtype=np.int64)
    day = np.array([moment.day for _, moment, _ in found], dtype=np.int64)
    temperature, dew_point, pressure, wind_speed, wind_from, gust = figures.T
    hours = Hours(
        np.array([number for number, _, _ in found], dtype=np.int64),
        month,
        day_of_year(month, day),
        np.array([moment.hour for _, moment, _ in found], dtype=np.int64),
        temperature,
        dew_point,
        pressure,
        wind_speed,
        wind_from,
        gust,
        variable,
    )
    return judged(site, hours, file, tuple(problems))


def _moment(
    line: str, match: re.Match[str], described: WeatherFile, file: str, number: int
) -> datetime | None:
    dated = _DATED.match(line)
    month = f"{dated[1]}-{dated[2]}" if dated else described.month
    if month is None:
        raise InputError(
            Problem(
                "the reports tell the day and not the month",
                'say month = "2026-05" in the description, or begin each line with its date',
                file,
                number,
            )
        )
    try:
        return datetime(
            int(month[:4]), int(month[5:]), int(match[2]), int(match[3]), int(match[4]), tzinfo=UTC
        )
    except ValueError:
        return None


def _figures(report: str, elevation: float) -> tuple[float, float, float, float, float, float]:
    """Temperature, dew point, pressure, wind speed, direction and gust in SI, NaN what is not told."""
    nan = float("nan")
    body = report.split(" RMK", 1)[0].replace("=", " ")
    wind, air, exact, setting = (
        pattern.search(part)
        for pattern, part in ((_WIND, body), (_AIR, body), (_EXACT_AIR, report), (_SETTING, body))
    )
    temperature, dew_point, pressure, speed, direction, gust = nan, nan, nan, nan, nan, nan
    if air:
        temperature = _celsius(air[1])
        dew_point = _celsius(air[2]) if air[2] else nan
    if exact:
        temperature = _tenths(exact[1])
        dew_point = _tenths(exact[2]) if exact[2] else dew_point
    if setting:
        qnh = to_si(int(setting[1]) / 100.0, "inHg") if setting[1] else to_si(float(setting[2]), "hPa")
        pressure = float(pressure_at(qnh, elevation)) if 85_000.0 < qnh < 110_000.0 else nan
    if wind:
        unit = _UNITS[wind[4]]
        speed = float(to_si(float(wind[2]), unit))
        gust = float(to_si(float(wind[3]), unit)) if wind[3] else nan
        direction = nan if wind[1] == "VRB" else float(np.radians(float(wind[1])))
    return temperature, dew_point, pressure, speed, direction, gust


def _celsius(text: str) -> float:
    return 273.15 + (-float(text[1:]) if text[0] == "M" else float(text))


def _tenths(text: str) -> float:
    return 273.15 + (-1.0 if text[0] == "1" else 1.0) * int(text[1:]) / 10.0


def _left(what: str, file: str, line: int) -> Problem:
    return Problem(what, "the line is left out", file, line, severity="warning")
