"""Mass, CG and air at the time of a manoeuvre."""

from collections.abc import Sequence
from datetime import timedelta

import numpy as np

from wringout.airplane.airplane import Airplane
from wringout.dossier.card import CardPoint
from wringout.dossier.dossier import Strip
from wringout.loading import mass_and_cg, mass_and_cg_sd
from wringout.manoeuvres.manoeuvre import Manoeuvre
from wringout.physics.atmosphere import (
    air_density,
    altitude_of_pressure,
    pressure_at,
    standard_pressure,
)
from wringout.physics.constants import GAS_CONSTANT_AIR, GRAVITY, LAPSE_RATE, TROPOPAUSE
from wringout.problems import InputError, Problem
from wringout.quantity.dimensions import Dimension
from wringout.quantity.estimate import Estimate
from wringout.reduction.assign import Assigned
from wringout.reduction.flown import PLAUSIBLE, Flight, middle, plausible, span
from wringout.reduction.fuel_burn import FuelBurn
from wringout.reduction.points import Conditions
from wringout.reduction.propagation import propagate_scalar
from wringout.reduction.weather import PRESSURE_SD, GroundWeather, weather_at

# Standard uncertainties of what nobody calibrates; common practice.
PRESSURE_ALTITUDE_SD = 10.0  # [m] of an encoder or altimeter and its static source
THERMOMETER_SD = 1.0  # [K] of an outside-air thermometer in flight
LAPSE_SD = 0.002  # [K/m] of the day's lapse rate against the standard one
GPS_HEIGHT_SD = 8.0  # [m]
UNKNOWN_HEIGHT_SD = 35.0  # [m] where nobody says what the heights refer to: the geoid's usual distance
DEW_POINT_LAPSE = 0.0018  # [K/m] of well-mixed air, from memory


def height_offset(flight: Flight, assigned: Assigned, strips: Sequence[Strip]) -> Estimate:
    """What must be added to the recording's heights to give heights above mean sea level.

    Zero where the card says that they already are; else from the heights of strips used, whose elevations
    are known; else from the ground the recording began on, if the airplane stood there and the weather was
    read there; else unknown.
    """
    if flight.card.height_reference == "mean sea level":
        return Estimate(0.0, GPS_HEIGHT_SD, Dimension.LENGTH, "heights above mean sea level as the card says")
    elevations = {strip.name: strip.elevation for strip in strips}
    differences = [
        elevations[point.strip] - height.value
        for point, manoeuvres in assigned
        for manoeuvre in manoeuvres
        if point.strip in elevations and (height := plausible(manoeuvre, "strip_height")) is not None
    ]
    if differences:
        return Estimate(
            float(np.mean(differences)),
            GPS_HEIGHT_SD,
            Dimension.LENGTH,
            f"heights set by the known elevation of the strip at {len(differences)} take-offs and landings",
        )
    track = flight.track
    begin = track.time <= track.time[0] + 5.0 if track.time.size else np.zeros(0, dtype=bool)
    standing = (
        begin.any() and float(np.max(np.hypot(track.east_speed[begin], track.north_speed[begin]))) < 3.0
    )
    if standing and flight.card.weather:
        return Estimate(
            flight.card.weather[0].elevation - float(np.mean(track.up[begin])),
            1.5 * GPS_HEIGHT_SD,
            Dimension.LENGTH,
            "heights set by the elevation of the weather reading, where the recording began standing",
        )
    return Estimate(
        0.0,
        UNKNOWN_HEIGHT_SD,
        Dimension.LENGTH,
        "heights with unknown reference, taken as above mean sea level",
    )


def conditions(
    flight: Flight,
    airplane: Airplane,
    point: CardPoint,
    manoeuvre: Manoeuvre,
    *,
    burn: FuelBurn,
    offset: Estimate,
    strip: Strip | None = None,
) -> Conditions:
    """State of airplane and air in the middle of a manoeuvre.

    On the ground (take-off, landing) the air is that of the weather reading at the strip's elevation; in
    flight that of the recorded pressure altitude and outside-air temperature, else the reading carried up
    by hydrostatics and the standard lapse rate.

    Raises InputError where neither recording nor card says anything of pressure or temperature, or the
    loading is wrong.
    """
    time = middle(manoeuvre)
    weather = weather_at(flight.card.weather, flight.recording.start + timedelta(seconds=time))
    height = _height(flight, manoeuvre, offset, strip)
    ground = manoeuvre.kind in {"take-off", "landing"}
    temperature = _temperature(flight, manoeuvre, weather, height, ground)
    pressure = _pressure(flight, manoeuvre, weather, height, ground)
    dew_point = None
    if weather is not None and weather.dew_point is not None:
        lifted = weather.dew_point - DEW_POINT_LAPSE * (height.value - weather.elevation)
        dew_point = min(lifted, temperature.value)
    density, density_sd = propagate_scalar(
        lambda x: air_density(x[0], x[1], None if dew_point is None else min(dew_point, float(x[1]))),
        [pressure.value, temperature.value],
        [pressure.sd or 0.0, temperature.sd or 0.0],
    )
    mass, cg = _mass(flight, airplane, burn, time)
    return Conditions(
        configuration=flight.card.configuration,
        flap=point.flap,
        mass=mass,
        cg=cg,
        pressure=pressure,
        temperature=temperature,
        density=Estimate(
            density,
            density_sd,
            Dimension.DENSITY,
            f"pressure and temperature of {span(flight, manoeuvre)}, {'moist' if dew_point else 'dry'} air",
        ),
    )


def pressure_altitude(air: Conditions) -> float:
    """Pressure altitude [m] of a manoeuvre's air."""
    return float(altitude_of_pressure(air.pressure.value))


def channel_mean(flight: Flight, manoeuvre: Manoeuvre, channel: str) -> Estimate | None:
    """Mean of a channel over a manoeuvre.

    Its measure where there is one, else from the recording's samples.
    """
    measure = plausible(manoeuvre, channel)
    if measure is not None:
        return measure
    values = flight.recording.channels.get(channel)
    if values is None:
        return None
    low, high = PLAUSIBLE[channel]
    inside = (
        (flight.recording.time >= manoeuvre.start)
        & (flight.recording.time <= manoeuvre.end)
        & (values >= low)
        & (values <= high)
    )
    if not inside.any():
        return None
    samples = values[inside]
    return Estimate(
        float(np.mean(samples)),
        float(np.std(samples) / np.sqrt(samples.size)),
        _dimension(channel),
        f"mean of {samples.size} samples of {span(flight, manoeuvre)}",
    )


def _dimension(channel: str) -> Dimension:
    from wringout.recordings.recording import CHANNELS

    return CHANNELS[channel]


def _height(flight: Flight, manoeuvre: Manoeuvre, offset: Estimate, strip: Strip | None) -> Estimate:
    if strip is not None and manoeuvre.kind in {"take-off", "landing"}:
        return Estimate(strip.elevation, 2.0, Dimension.LENGTH, f"elevation of {strip.name}")
    for name in ("height", "strip_height"):
        measure = plausible(manoeuvre, name)
        if measure is not None:
            return Estimate(measure.value + offset.value, offset.sd, Dimension.LENGTH, offset.source)
    value = float(np.interp(middle(manoeuvre), flight.track.time, flight.track.up))
    return Estimate(value + offset.value, offset.sd, Dimension.LENGTH, offset.source)


def _temperature(
    flight: Flight, manoeuvre: Manoeuvre, weather: GroundWeather | None, height: Estimate, ground: bool
) -> Estimate:
    recorded = channel_mean(flight, manoeuvre, "outside_air_temperature")
    from_weather = None
    if weather is not None:
        climb = height.value - weather.elevation
        from_weather = Estimate(
            weather.temperature - LAPSE_RATE * climb,
            float(np.hypot(weather.temperature_sd, LAPSE_SD * climb)),
            Dimension.TEMPERATURE,
            f"reading on the ground {weather.age / 60.0:.0f} min away, standard lapse over {climb:.0f} m",
        )
    in_flight = None
    if recorded is not None:
        in_flight = Estimate(
            recorded.value,
            THERMOMETER_SD,
            Dimension.TEMPERATURE,
            f"outside-air thermometer, {span(flight, manoeuvre)}",
        )
    # On the ground a thermometer on the airplane reads the sun and the engine.
    chosen = (from_weather or in_flight) if ground else (in_flight or from_weather)
    if chosen is None:
        raise InputError(
            Problem(
                "neither the recording nor the card says how warm the air was",
                "write a weather reading with temperature on the card",
                field=f"{flight.card.name}, weather",
            )
        )
    return chosen


def _pressure(
    flight: Flight, manoeuvre: Manoeuvre, weather: GroundWeather | None, height: Estimate, ground: bool
) -> Estimate:
    recorded = channel_mean(flight, manoeuvre, "pressure_altitude")
    if recorded is not None and not (ground and weather is not None):
        value, sd = propagate_scalar(
            lambda x: standard_pressure(x[0]),
            [recorded.value],
            # What a climb's heights differ among themselves is no error of their mean.
            [PRESSURE_ALTITUDE_SD],
        )
        return Estimate(
            value, sd, Dimension.PRESSURE, f"recorded pressure altitude, {span(flight, manoeuvre)}"
        )
    if weather is None:
        raise InputError(
            Problem(
                "neither the recording nor the card says what the air pressure was",
                "write a weather reading with QNH on the card",
                field=f"{flight.card.name}, weather",
            )
        )
    value, sd = propagate_scalar(
        lambda x: _carried_up(x[0], weather.elevation, x[1], x[2]),
        [weather.qnh, weather.temperature, height.value],
        [PRESSURE_SD, float(np.hypot(weather.temperature_sd, 2.0)), height.sd or 0.0],
    )
    return Estimate(
        value,
        sd,
        Dimension.PRESSURE,
        f"QNH {weather.qnh / 100.0:.1f} hPa carried to {height.value:.0f} m; {height.source}",
    )


def _carried_up(qnh: float, elevation: float, temperature: float, height: float) -> float:
    """Pressure at a height by hydrostatics from the station's pressure and temperature, standard lapse."""
    if not -1000.0 < height < TROPOPAUSE:
        raise ValueError(f"the recording's height of {height:.0f} m is no height that an airplane reached")
    station = float(pressure_at(qnh, elevation))
    aloft = temperature - LAPSE_RATE * (height - elevation)
    return station * float((aloft / temperature) ** (GRAVITY / (GAS_CONSTANT_AIR * LAPSE_RATE)))


def _mass(flight: Flight, airplane: Airplane, burn: FuelBurn, time: float) -> tuple[Estimate, float]:
    burnt, burnt_sd = burn.at(time)
    burnt = min(burnt, sum(flight.card.loading.fuel.values()))
    arguments = (airplane, flight.card.configuration, flight.card.loading, np.array([burnt]))
    mass, cg = mass_and_cg(*arguments)
    loaded_sd, _ = mass_and_cg_sd(*arguments)
    return (
        Estimate(
            float(mass[0]),
            float(np.hypot(loaded_sd[0], airplane.fuel.density * burnt_sd)),
            Dimension.MASS,
            f"{flight.card.name} as loaded less {airplane.fuel.density * burnt:.1f} kg fuel; {burn.source}",
        ),
        float(cg[0]),
    )
