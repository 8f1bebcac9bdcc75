"""The invented air of one day: pressure, temperature, wind that grows and veers with height, and gusts.

It is the simulator's own; the fitted model knows of it only what the weather readings on the cards say.
"""

from dataclasses import dataclass
from datetime import datetime
from math import cos, exp, log, radians, sin, sqrt

import numpy as np

# Dry air and the standard atmosphere's lower layer [iso-2533]; the simulator keeps its own copy on purpose.
GAS_CONSTANT = 287.05287
STANDARD_TEMPERATURE = 288.15
STANDARD_PRESSURE = 101325.0
STANDARD_LAPSE = 0.0065
STANDARD_GRAVITY = 9.80665
STANDARD_DENSITY = 1.225
KNOT = 1852.0 / 3600.0

LOGARITHMIC_DEPTH = 100.0  # m above the ground, over which the wind follows the logarithmic law

# No wind is steady: each component wanders, by 0.5 m/s within ten minutes, near the ground by its profile.
# Common practice.
WANDER_SD = 0.8  # m/s
WANDER_TIME = 3000.0  # s
WANDER_STEP = 20.0  # s between the moments at which it is drawn
WANDER_SPAN = 12.0 * 3600.0  # s of the day that is drawn


def standard_pressure(altitude: float) -> float:
    """Pressure [Pa] of the standard atmosphere at a geopotential altitude [m] in the lower layer."""
    base = 1.0 - STANDARD_LAPSE * altitude / STANDARD_TEMPERATURE
    return float(STANDARD_PRESSURE * base ** (STANDARD_GRAVITY / (GAS_CONSTANT * STANDARD_LAPSE)))


@dataclass(frozen=True, slots=True)
class Weather:
    """What the day is like at the field; the wind is the mean at 10 m, `wind_from` true degrees.

    `shear` [m/s per 1000 m] and `veer` [degrees per 1000 m] hold above the logarithmic layer; `veer_per_hour`
    and `rise_per_hour` [m/s] say how the wind changes from `reference`; `gust_sd` and `lift_sd` [m/s] are the
    standard deviations of the horizontal and the vertical gusts.
    """

    reference: datetime
    elevation: float
    qnh: float
    temperature: float
    lapse: float
    dew_point: float
    wind_speed: float
    wind_from: float
    roughness: float
    shear: float
    veer: float
    veer_per_hour: float
    rise_per_hour: float
    gust_sd: float
    lift_sd: float

    def still(self) -> "Weather":
        """The same air without wind or gusts."""
        return still_air(self.elevation, self.temperature, self.qnh, self.reference)


def still_air(elevation: float, temperature: float, qnh: float, reference: datetime) -> Weather:
    """Dry air without wind; `temperature` at the elevation and the standard lapse rate above."""
    return Weather(
        reference,
        elevation,
        qnh,
        temperature,
        STANDARD_LAPSE,
        173.0,
        0.0,
        0.0,
        0.02,
        0.0,
        0.0,
        0.0,
        0.0,
        0.0,
        0.0,
    )


class AirMass:
    """The air of one day by height above sea level [m] and time since the weather's reference [s].

    Without a generator the wind does only what the weather says; with one it wanders beside that.
    """

    def __init__(self, weather: Weather, generator: np.random.Generator | None = None) -> None:
        self.weather = weather
        self._wander = () if generator is None else wandering(generator)
        self.base_height = weather.elevation
        self.base_temperature = weather.temperature
        self.lapse = weather.lapse
        self.exponent = STANDARD_GRAVITY / (GAS_CONSTANT * weather.lapse)
        # QNH: sea-level pressure of the standard atmosphere that has the field's pressure at its elevation.
        qnh_altitude = (STANDARD_TEMPERATURE / STANDARD_LAPSE) * (
            1.0 - (weather.qnh / STANDARD_PRESSURE) ** (GAS_CONSTANT * STANDARD_LAPSE / STANDARD_GRAVITY)
        )
        self.base_pressure = standard_pressure(weather.elevation + qnh_altitude)
        vapour_pressure = vapour_pressure_at(weather.dew_point)
        mixing_ratio = 0.622 * vapour_pressure / (self.base_pressure - vapour_pressure)
        self.moisture = 1.0 + 0.608 * mixing_ratio
        self._log_scale = 1.0 / log(1.0 + 10.0 / weather.roughness)

    def at(self, height: float) -> tuple[float, float, float]:
        """Pressure [Pa], temperature [K] and density [kg/m³]."""
        temperature = self.base_temperature - self.lapse * (height - self.base_height)
        pressure = self.base_pressure * (temperature / self.base_temperature) ** self.exponent
        return pressure, temperature, pressure / (GAS_CONSTANT * temperature * self.moisture)

    def mean_wind(self, height: float, time: float) -> tuple[float, float]:
        """East and north velocity of the air [m/s] without gusts."""
        weather = self.weather
        above = max(height - self.base_height, 0.0)
        hours = time / 3600.0
        profile = self._log_scale * log(1.0 + min(above, LOGARITHMIC_DEPTH) / weather.roughness)
        speed = weather.wind_speed * profile
        direction = weather.wind_from + weather.veer_per_hour * hours
        if above > LOGARITHMIC_DEPTH:
            speed += weather.shear * (above - LOGARITHMIC_DEPTH) / 1000.0
            direction += weather.veer * (above - LOGARITHMIC_DEPTH) / 1000.0
        # The surface layer keeps its profile when the wind rises.
        speed += weather.rise_per_hour * hours * min(profile, 1.0)
        angle = radians(direction)
        east, north = -speed * sin(angle), -speed * cos(angle)
        if self._wander:
            place = max(time / WANDER_STEP, 0.0)
            before = min(int(place), len(self._wander) - 2)
            share = place - before
            grown = min(profile, 1.0)
            (east_before, north_before), (east_after, north_after) = self._wander[before : before + 2]
            east += grown * (east_before + share * (east_after - east_before))
            north += grown * (north_before + share * (north_after - north_before))
        return east, north

    def pressure_altitude(self, height: float) -> float:
        """Standard altitude [m] of the pressure at a height."""
        return standard_altitude(self.at(height)[0])


def wandering(generator: np.random.Generator) -> tuple[tuple[float, float], ...]:
    """East and north [m/s] of a wandering wind every WANDER_STEP: an Ornstein–Uhlenbeck path."""
    keep = exp(-WANDER_STEP / WANDER_TIME)
    kicks = WANDER_SD * sqrt(1.0 - keep**2) * generator.standard_normal((round(WANDER_SPAN / WANDER_STEP), 2))
    path = [tuple(WANDER_SD * generator.standard_normal(2))]
    for east, north in kicks.tolist():
        path.append((keep * path[-1][0] + east, keep * path[-1][1] + north))
    return tuple((float(east), float(north)) for east, north in path)


class UniformAir(AirMass):
    """Still or steadily moving standard-lapse air, for the truth: the same wind at every height."""

    def __init__(self, weather: Weather, wind_east: float, wind_north: float) -> None:
        super().__init__(weather)
        self._wind = (wind_east, wind_north)

    def mean_wind(self, height: float, time: float) -> tuple[float, float]:  # noqa: ARG002 - uniform and steady
        """East and north velocity of the air [m/s]."""
        return self._wind


def standard_altitude(pressure: float) -> float:
    """Pressure altitude [m] in the lower layer of the standard atmosphere."""
    ratio = (pressure / STANDARD_PRESSURE) ** (GAS_CONSTANT * STANDARD_LAPSE / STANDARD_GRAVITY)
    return float((STANDARD_TEMPERATURE / STANDARD_LAPSE) * (1.0 - ratio))


def vapour_pressure_at(dew_point: float) -> float:
    """Vapour pressure [Pa] of air with a dew point [K] [wmo-8]."""
    celsius = dew_point - 273.15
    return 611.2 * exp(17.62 * celsius / (243.12 + celsius))
