"""The air on the ground at a moment, from the readings written on the card."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC, datetime

import numpy as np
from numpy.typing import NDArray

from wringout.dossier.card import WeatherReading

# How fast a reading ages: wind speed grows uncertain with the root of time, temperature in proportion.
# Common practice.
WIND_SD_IN_TEN_MINUTES = 0.7  # [m/s]
TEMPERATURE_SD_AN_HOUR = 1.0  # [K]
TEMPERATURE_SD = 0.5  # [K] of a thermometer read in the shade
PRESSURE_SD = 30.0  # [Pa] of an altimeter setting, and its change between readings


@dataclass(frozen=True, slots=True)
class GroundWeather:
    """Weather at one moment.

    `wind` is the velocity of the air (east, north) [m/s], each component with `wind_sd`. `age` [s] is the
    time to the nearest reading; `dew_point` [K] None where not read.
    """

    elevation: float
    qnh: float
    temperature: float
    temperature_sd: float
    dew_point: float | None
    wind: NDArray[np.float64]
    wind_sd: float
    wind_height: float
    age: float


def weather_at(readings: Sequence[WeatherReading], moment: datetime) -> GroundWeather | None:
    """Weather at a moment, linear in time between the readings and the nearest reading beyond them.

    The wind is interpolated as a vector. Its uncertainty is that of the two readings, each with its share,
    and of a random walk that is tied to both [derived]; beyond them it grows with the time to the nearest.
    None without readings.
    """
    if not readings:
        return None
    ordered = sorted(readings, key=lambda reading: reading.time)
    times = np.array([_stamp(reading.time) for reading in ordered])
    now = _stamp(moment)

    def between(values: Sequence[float]) -> float:
        return float(np.interp(now, times, values))

    age = float(np.min(np.abs(times - now)))
    blown = np.array([_air_velocity(reading) for reading in ordered])
    dew_points = [reading.dew_point for reading in ordered if reading.dew_point is not None]
    nearest = ordered[int(np.argmin(np.abs(times - now)))]
    return GroundWeather(
        elevation=between([reading.elevation for reading in ordered]),
        qnh=between([reading.qnh for reading in ordered]),
        temperature=between([reading.temperature for reading in ordered]),
        temperature_sd=float(np.hypot(TEMPERATURE_SD, TEMPERATURE_SD_AN_HOUR * age / 3600.0)),
        dew_point=between(dew_points) if len(dew_points) == len(ordered) else nearest.dew_point,
        wind=np.array([between(blown[:, 0].tolist()), between(blown[:, 1].tolist())]),
        wind_sd=_wind_sd(ordered, times, now),
        wind_height=between([reading.wind_height for reading in ordered]),
        age=age,
    )


def _wind_sd(ordered: Sequence[WeatherReading], times: NDArray[np.float64], now: float) -> float:
    """Standard deviation of one component of the interpolated wind [m/s]."""
    after = int(np.searchsorted(times, now, side="right"))
    if after in {0, len(times)}:
        nearest = ordered[max(after - 1, 0)]
        apart = abs(now - times[max(after - 1, 0)])
        return float(np.hypot(nearest.wind_speed_sd, WIND_SD_IN_TEN_MINUTES * np.sqrt(apart / 600.0)))
    since, until = now - times[after - 1], times[after] - now
    share = since / (since + until)
    read = np.hypot((1.0 - share) * ordered[after - 1].wind_speed_sd, share * ordered[after].wind_speed_sd)
    # a walk that starts at one reading and ends at the other: the Brownian bridge
    walked = WIND_SD_IN_TEN_MINUTES * np.sqrt(since * until / (since + until) / 600.0)
    return float(np.hypot(read, walked))


def _air_velocity(reading: WeatherReading) -> tuple[float, float]:
    return (
        -reading.wind_speed * float(np.sin(reading.wind_direction)),
        -reading.wind_speed * float(np.cos(reading.wind_direction)),
    )


def _stamp(moment: datetime) -> float:
    return (moment.replace(tzinfo=UTC) if moment.tzinfo is None else moment).timestamp()
