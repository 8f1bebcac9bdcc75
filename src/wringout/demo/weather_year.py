"""An invented year of hours at the demo's own strip, for its strips' heat maps."""

from __future__ import annotations

import gzip

import numpy as np
from numpy.typing import NDArray

from wringout.demo.sensors import BASE_LATITUDE, BASE_LONGITUDE
from wringout.physics.atmosphere import standard_pressure

FloatArray = NDArray[np.float64]

ELEVATION = 310.0  # m, as strips.csv has it
MAST = 10.0
HOURS = 8760
TABLE = "weather/corran-mill.csv.gz"
DESCRIPTION = "weather/corran-mill.toml"
DESCRIBED = f"""# An invented year of hours at Corran Mill, drawn from the demo's seed: nobody measured it.

file = "corran-mill.csv.gz"
name = "Corran Mill, an invented year"
source = "the demo's simulator"
elevation = "{ELEVATION:.0f} m"
latitude = "{BASE_LATITUDE:.4f} °"
longitude = "{BASE_LONGITUDE:.4f} °"
zone = "+00:00"
mast = "{MAST:.0f} m"
time_column = "time"
hour_marks = "start"

[columns]
temperature = {{ column = "temperature", unit = "°C" }}
dew_point = {{ column = "dew_point", unit = "°C" }}
pressure = {{ column = "pressure", unit = "hPa" }}
wind_speed = {{ column = "wind_speed", unit = "m/s" }}
wind_from = {{ column = "wind_from", unit = "°" }}
gust = {{ column = "gust", unit = "m/s" }}
"""


def weather_table(seed: int) -> bytes:
    """A year of hours as a CSV packed with gzip; the same bytes for the same seed.

    Parameters
    ----------
    seed : int

    Notes
    -----
    Lows pass every few days, oftener and deeper in winter; the wind turns and freshens with them, by day it
    freshens too. Temperature has its year and its day. All of it is made up.
    """
    rng = np.random.default_rng([seed, 3650])
    hour = np.arange(HOURS)
    year = 2.0 * np.pi * (hour / 24.0 - 15.0) / 365.0  # coldest in mid January
    day = 2.0 * np.pi * (hour % 24 - 15.0) / 24.0  # warmest at three
    winter = 0.5 * (1.0 + np.cos(year))
    low = _wander(rng, 40.0)
    temperature = (
        9.5 - 7.0 * np.cos(year) + (1.2 + 2.8 * (1.0 - winter)) * np.cos(day) + 2.6 * _wander(rng, 60.0)
    )
    spread = np.abs(3.2 - 1.5 * winter + 1.6 * np.cos(day) + 1.2 * _wander(rng, 12.0)) + 0.2
    pressure = float(standard_pressure(ELEVATION)) / 100.0 + (6.0 + 5.0 * winter) * low
    driven = (1.6 + 1.45 * winter) * np.exp(0.45 * _wander(rng, 14.0) - 0.25 * low)
    speed = driven * (1.0 + 0.22 * (1.0 - 0.6 * winter) * np.cos(day))
    turned = 235.0 + 55.0 * _wander(rng, 36.0) + 18.0 * low + 6.0 * rng.standard_normal(HOURS)
    gust = speed * (1.0 + np.abs(0.18 + 0.12 * rng.standard_normal(HOURS)))
    start = np.datetime64("2025-01-01T00:00")
    moments = np.datetime_as_string(start + hour.astype("timedelta64[h]"), unit="m")
    rows = [
        f"{moment}Z,{t:.1f},{t - d:.1f},{p:.1f},{v:.1f},{a:.0f},{g:.1f}"
        for moment, t, d, p, v, a, g in zip(
            moments, temperature, spread, pressure, speed, np.round(turned) % 360.0, gust, strict=True
        )
    ]
    text = "\n".join(("time,temperature,dew_point,pressure,wind_speed,wind_from,gust", *rows, ""))
    return gzip.compress(text.encode(), compresslevel=6, mtime=0)


def _wander(rng: np.random.Generator, hours: float) -> FloatArray:
    """A first-order random walk of unit variance that forgets itself in so many hours."""
    from scipy.signal import lfilter

    keep = float(np.exp(-1.0 / hours))
    shocks = rng.standard_normal(HOURS) * np.sqrt(1.0 - keep**2)
    shocks[0] = rng.standard_normal()
    return np.asarray(lfilter([1.0], [1.0, -keep], shocks))
