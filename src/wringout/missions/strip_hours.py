"""The weather of one site brought to a strip: its air by the standard lapse, its wind to the wing."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from wringout.dossier.dossier import Strip
from wringout.dossier.weather import Weather
from wringout.missions.daylight import SUNRISE, sun_elevation
from wringout.physics.atmosphere import air_density, altitude_of_density
from wringout.physics.constants import GAS_CONSTANT_AIR, GRAVITY, LAPSE_RATE, OBSTACLE_HEIGHT
from wringout.physics.humidity import saturation_vapour_pressure
from wringout.physics.vehicle import Air

FloatArray = NDArray[np.float64]

ROUGHNESS = 0.03  # m, short grass
LAPSE_WORDS = (
    "The weather is that of {site}, {elevation} above the sea, brought to each strip's elevation by the "
    "standard lapse of 6.5 K a kilometre; its wind is taken as blowing over every strip alike."
)


@dataclass(frozen=True, slots=True)
class StripHours:
    """The hours at one strip, arrays of one length.

    `along` is the wind at wing height against a run along the strip's heading [m/s], NaN where it has no
    direction; `across` the greatest cross wind as reported, gusts counted [m/s]; `speed` the whole wind at
    wing height, which counts where the direction is not known; `gain` how much more of it blows at the
    obstacle height, over what blows at the wing.
    """

    month: NDArray[np.int64]
    hour: NDArray[np.int64]
    air: Air
    along: FloatArray
    across: FloatArray
    speed: FloatArray
    gain: float

    @property
    def density_altitude(self) -> FloatArray:
        """[m]"""
        return altitude_of_density(self.air.density)


def daylight(weather: Weather) -> NDArray[np.bool_]:
    """Hours in whose middle the sun is up, shape (hours,); all of them where the site's place is not told."""
    site = weather.site
    if site.latitude is None or site.longitude is None:
        return np.ones(len(weather.month), dtype=bool)
    seconds = np.asarray((weather.hour + 0.5) * 3600.0 - site.zone, dtype=np.float64)
    day = weather.day.astype(np.float64)
    return np.asarray(sun_elevation(day, seconds, site.latitude, site.longitude) > SUNRISE)


def air_at(weather: Weather, elevation: float) -> Air:
    """Air of each hour at another elevation [m].

    Notes
    -----
    Temperature by 6.5 K/km, pressure by hydrostatic balance at that lapse, p₂ = p₁ (T₂/T₁)^(g/RL) [derived];
    the share of vapour in the air stays. Where no dew point is known the air is dry. The temperature that is
    given is the virtual one, so that wing, propeller and engine all have the moist air's density; the engine
    loses a little more in truth, for vapour does not burn.
    """
    rise = elevation - weather.site.elevation
    temperature = weather.temperature - LAPSE_RATE * rise
    ratio = (temperature / weather.temperature) ** (GRAVITY / (GAS_CONSTANT_AIR * LAPSE_RATE))
    pressure = weather.pressure * ratio
    known = ~np.isnan(weather.dew_point)
    dew_point = np.where(known, np.maximum(weather.dew_point, 228.15), 228.15)
    vapour = np.where(known, saturation_vapour_pressure(dew_point), 0.0)
    # Vapour is lighter than air by 0.378 of its share of the pressure [WMO8].
    virtual = temperature / (1.0 - 0.378 * vapour / weather.pressure)
    return Air(pressure, virtual, air_density(pressure, virtual))


def hours_at(strip: Strip, weather: Weather, wing_height: float) -> StripHours:
    """The hours of a site's weather at a strip.

    Parameters
    ----------
    strip : Strip
    weather : Weather
    wing_height : float
        With the wheels on the ground [m].
    """
    to_wing = wing_share(weather.site.mast, wing_height)
    angle = weather.wind_from - strip.heading
    across = weather.gust * np.abs(np.sin(angle))
    return StripHours(
        weather.month,
        weather.hour,
        air_at(weather, strip.elevation),
        weather.wind_speed * to_wing * np.cos(angle),
        np.where(np.isnan(across), weather.gust, across),
        weather.wind_speed * to_wing,
        _gain(wing_height),
    )


def wing_share(mast: float, wing_height: float) -> float:
    """Wind at wing height over that at the mast, by the logarithmic law over short grass."""
    return float(np.log(wing_height / ROUGHNESS) / np.log(mast / ROUGHNESS))


def _gain(wing_height: float) -> float:
    """How much more wind blows at the obstacle height than at the wing on the ground, over the latter."""
    return float(np.log((wing_height + OBSTACLE_HEIGHT) / ROUGHNESS) / np.log(wing_height / ROUGHNESS) - 1.0)
