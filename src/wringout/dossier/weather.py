"""A year of hours at one place, as an open weather file tells it."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from wringout.problems import Problem

FloatArray = NDArray[np.float64]
IntArray = NDArray[np.int64]

STANDARD_MAST = 10.0  # m at which meteorological services measure wind [WMO8, from memory]
# What a light airplane's weather can be; a figure outside is a fault of the file.
_POSSIBLE: dict[str, tuple[float, float]] = {
    "temperature": (203.15, 333.15),
    "pressure": (45_000.0, 110_000.0),
    "wind_speed": (0.0, 75.0),
    "wind_from": (0.0, 2.0 * np.pi + 1e-9),
}
_WORDS = {
    "temperature": "temperature",
    "pressure": "pressure",
    "wind_speed": "wind speed",
    "wind_from": "wind direction",
}


@dataclass(frozen=True, slots=True)
class Site:
    """Where the weather was measured.

    Position [rad] is None where the file does not say it; `zone` is the offset of its clock from UTC [s],
    `elevation` that of the ground [m], `mast` the height above it at which the wind was measured [m].
    """

    name: str
    source: str
    elevation: float
    mast: float = STANDARD_MAST
    latitude: float | None = None
    longitude: float | None = None
    zone: float = 0.0
    notes: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Weather:
    """Hours of weather at a site; arrays of one length, SI.

    `month` (1 to 12), `day` of the year (1 to 366) and `hour` (0 to 23, the hour that begins then) are of the
    site's standard clock. `wind_from` is NaN where the wind was variable, `dew_point` where it is not known;
    `gust` is the wind speed where no gust was told. `problems` are the hours that were left out.
    """

    site: Site
    month: IntArray
    day: IntArray
    hour: IntArray
    temperature: FloatArray
    dew_point: FloatArray
    pressure: FloatArray
    wind_speed: FloatArray
    wind_from: FloatArray
    gust: FloatArray
    problems: tuple[Problem, ...] = ()

    def only(self, chosen: NDArray[np.bool_]) -> Weather:
        """The hours of a mask, shape (hours,)."""
        arrays = {
            name: getattr(self, name)[chosen]
            for name in (
                "month", "day", "hour", "temperature", "dew_point", "pressure", "wind_speed", "wind_from",
                "gust",
            )
        }  # fmt: skip
        return replace(self, **arrays)


@dataclass(frozen=True, slots=True)
class Hours:
    """Rows as read, before they are judged: the line of each, its moment, and figures in SI, NaN missing.

    `variable` marks rows whose wind has no direction by the file's own word.
    """

    line: IntArray
    month: IntArray
    day: IntArray
    hour: IntArray
    temperature: FloatArray
    dew_point: FloatArray
    pressure: FloatArray
    wind_speed: FloatArray
    wind_from: FloatArray
    gust: FloatArray | None = None
    variable: NDArray[np.bool_] | None = None


def judged(site: Site, hours: Hours, file: str, earlier: tuple[Problem, ...] = ()) -> Weather:
    """Hours without those that lack a figure or hold an impossible one; each of these is told with its line.

    Parameters
    ----------
    site : Site
    hours : Hours
    file : str
        For the problems.
    earlier : tuple of Problem
        Rows that gave no hour at all.

    Notes
    -----
    A calm needs no direction. A dew point that is missing or above the temperature is left out, and the air
    counted as dry.
    """
    calm = hours.wind_speed == 0.0
    variable = np.zeros(len(hours.line), dtype=bool) if hours.variable is None else hours.variable
    undirected = calm | variable
    wind_from = np.where(variable, np.nan, np.where(calm & np.isnan(hours.wind_from), 0.0, hours.wind_from))
    read = replace(hours, wind_from=wind_from)
    good = np.ones(len(hours.line), dtype=bool)
    problems = list(earlier)
    for name, (low, high) in _POSSIBLE.items():
        values = getattr(read, name)
        excused = undirected if name == "wind_from" else np.zeros_like(good)
        missing = np.isnan(values) & ~excused
        outside = ~missing & ~excused & ((values < low) | (values > high))
        problems += [_left(file, line, f"no {_WORDS[name]} is given") for line in hours.line[good & missing]]
        problems += [
            _left(file, line, f"a {_WORDS[name]} of {value:g} (SI) is not possible")
            for line, value in zip(hours.line[good & outside], values[good & outside], strict=True)
        ]
        good &= ~(missing | outside)
    dew_point = np.where(hours.dew_point <= hours.temperature, hours.dew_point, np.nan)
    gust = hours.wind_speed if hours.gust is None else np.fmax(hours.gust, hours.wind_speed)
    return Weather(
        site,
        hours.month[good],
        hours.day[good],
        hours.hour[good],
        hours.temperature[good],
        dew_point[good],
        hours.pressure[good],
        hours.wind_speed[good],
        wind_from[good],
        gust[good],
        tuple(sorted(problems, key=lambda problem: problem.line or 0)),
    )


def _left(file: str, line: int, what: str) -> Problem:
    mend = "the hour is left out; fill in what was measured"
    return Problem(what, mend, file, int(line), severity="warning")


def day_of_year(month: IntArray, day: IntArray) -> IntArray:
    """Day of a common year from month and day of the month; 29 February counts as 1 March."""
    before = np.array([0, 31, 59, 90, 120, 151, 181, 212, 243, 273, 304, 334])
    return np.asarray(before[month - 1] + day)
