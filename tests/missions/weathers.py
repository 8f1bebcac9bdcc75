"""Weather and a strip for tests."""

from math import radians

import numpy as np

from wringout.dossier.dossier import Strip
from wringout.dossier.weather import Site, Weather

STRIP = Strip("Test Strip", 0.0, 600.0, radians(238.0), 0.0, "dry grass")


def weather(
    *,
    hours: int = 1,
    temperature: float = 288.15,
    dew_point: float = float("nan"),
    pressure: float = 101_325.0,
    wind_speed: float = 0.0,
    wind_from: float = 0.0,
    gust: float | None = None,
    mast: float = 10.0,
    elevation: float = 0.0,
) -> Weather:
    """Hours from 1 January on, all alike."""
    every = np.arange(hours)
    day = every // 24 + 1
    ends = np.array([31, 59, 90, 120, 151, 181, 212, 243, 273, 304, 334, 365])
    site = Site("test mast", "made up", elevation, mast, radians(57.24), radians(0.0))

    def all_of(value: float) -> np.ndarray:
        return np.full(hours, value)

    return Weather(
        site,
        np.searchsorted(ends, day) + 1,
        day,
        every % 24,
        all_of(temperature),
        all_of(dew_point),
        all_of(pressure),
        all_of(wind_speed),
        all_of(wind_from),
        all_of(max(wind_speed, gust or 0.0)),
    )
