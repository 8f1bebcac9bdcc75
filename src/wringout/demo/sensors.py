"""What the logs make of a flight: a GPS receiver at 5 Hz and an engine monitor at 1 Hz, with their faults.

GPS position errors wander and jitter, height is poorer than position, samples drop out, and a few time stamps
are repeated or run backward. The airspeed system reads wrong by its position error, lags, sticks and is
rounded; every instrument is off by what nobody has calibrated, the same on all flights of an evaluation; the
monitor's clock may be fast.
"""

from dataclasses import dataclass
from datetime import UTC, datetime, timedelta

import numpy as np
from numpy.typing import NDArray
from scipy.signal import lfilter

from wringout.demo.air import KNOT, STANDARD_LAPSE, STANDARD_PRESSURE, STANDARD_TEMPERATURE
from wringout.demo.craft import COLUMNS, SAMPLE_STEP
from wringout.demo.engine import INCH_OF_MERCURY
from wringout.demo.machine import Machine

FloatArray = NDArray[np.float64]

# The invented uplands lie where there is only sea.
BASE_LATITUDE = 57.2400
BASE_LONGITUDE = -17.6200
SEMI_MAJOR = 6378137.0
ECCENTRICITY_SQUARED = 6.69437999014e-3

ANTENNA_HEIGHT = 1.6  # m above the wheels
WANDER = (0.9, 60.0)  # m and s, horizontal
JITTER = 0.12  # m
HEIGHT_WANDER = (2.2, 90.0)
HEIGHT_JITTER = 0.25
SPEED_JITTER = 0.06  # m/s
INSTRUMENT_STREAM = 1000  # beside the streams of the flights
AIRSPEED_LAG = (0.4, 0.15)  # s, mean and sd over airplanes
ALTITUDE_LAG = 0.3
THERMOMETER_LAG = 6.0
STICKING = (0.2, 8.0)  # m/s and s, of the airspeed indicator's friction
# Of instruments that nobody has calibrated, standard deviations over airplanes; common practice.
THERMOMETER_SD = 1.0  # K
ALTIMETER_SD = 10.0  # m
FUEL_METER_SD = 0.03
TACHOMETER_SD = 0.005
MANIFOLD_SD = 0.2 * INCH_OF_MERCURY


@dataclass(frozen=True, slots=True)
class GpsLog:
    """Fixes in the order in which the receiver wrote them; angles in degrees."""

    time: FloatArray  # s after the weather's reference
    latitude: FloatArray
    longitude: FloatArray
    height: FloatArray
    speed: FloatArray
    course: FloatArray


@dataclass(frozen=True, slots=True)
class Channel:
    """A column of the monitor's CSV, what it is called in the trade, its unit and digits."""

    name: str
    column: str
    unit: str
    digits: int


CHANNELS = {
    "ias": Channel("indicated_airspeed", "ias_kt", "kt", 1),
    "altitude": Channel("pressure_altitude", "pressure_altitude_ft", "ft", 0),
    "oat": Channel("outside_air_temperature", "oat_c", "°C", 1),
    "rpm": Channel("engine_speed", "rpm", "rpm", 0),
    "manifold": Channel("manifold_pressure", "manifold_inhg", "inHg", 1),
    "flow": Channel("fuel_flow", "fuel_flow_lph", "L/h", 1),
}


@dataclass(frozen=True, slots=True)
class Instruments:
    """By how much the instruments of one airplane are off: SI, scales as factors."""

    airspeed_lag: float
    thermometer: float
    altimeter: float
    fuel_meter: float
    tachometer: float
    manifold: float


def instruments(seed: int) -> Instruments:
    """The instruments of one evaluation."""
    drawn = np.random.default_rng([seed, INSTRUMENT_STREAM]).standard_normal(6).tolist()
    return Instruments(
        max(AIRSPEED_LAG[0] + AIRSPEED_LAG[1] * drawn[0], 0.1),
        THERMOMETER_SD * drawn[1],
        ALTIMETER_SD * drawn[2],
        1.0 + FUEL_METER_SD * drawn[3],
        1.0 + TACHOMETER_SD * drawn[4],
        MANIFOLD_SD * drawn[5],
    )


def column(samples: FloatArray, name: str) -> FloatArray:
    """One column of the samples."""
    return samples[:, COLUMNS.index(name)]


def wander(generator: np.random.Generator, count: int, sd: float, time: float, step: float) -> FloatArray:
    """An Ornstein–Uhlenbeck path of `count` samples."""
    keep = float(np.exp(-step / time))
    kicks = sd * np.sqrt(1.0 - keep**2) * generator.standard_normal(count)
    kicks[0] = sd * generator.standard_normal()
    path: FloatArray = lfilter([1.0], [1.0, -keep], kicks)
    return path


def geographic(east: FloatArray, north: FloatArray) -> tuple[FloatArray, FloatArray]:
    """Latitude and longitude [degrees] of a path in local metres, by steps along the ellipsoid."""
    latitude = np.radians(BASE_LATITUDE) + north / _meridian_radius(np.radians(BASE_LATITUDE))
    middle = np.concatenate(([latitude[0]], 0.5 * (latitude[1:] + latitude[:-1])))
    normal = SEMI_MAJOR / np.sqrt(1.0 - ECCENTRICITY_SQUARED * np.sin(middle) ** 2)
    steps = np.diff(east, prepend=0.0) / (normal * np.cos(middle))
    return np.degrees(latitude), BASE_LONGITUDE + np.degrees(np.cumsum(steps))


def _meridian_radius(latitude: float) -> float:
    return float(
        SEMI_MAJOR
        * (1.0 - ECCENTRICITY_SQUARED)
        / (1.0 - ECCENTRICITY_SQUARED * np.sin(latitude) ** 2) ** 1.5
    )


def gps(samples: FloatArray, generator: np.random.Generator) -> GpsLog:
    """The GPS receiver's log of a flight."""
    count = len(samples)
    east = column(samples, "east") + wander(generator, count, *WANDER, SAMPLE_STEP)
    north = column(samples, "north") + wander(generator, count, *WANDER, SAMPLE_STEP)
    east = east + JITTER * generator.standard_normal(count)
    north = north + JITTER * generator.standard_normal(count)
    height = column(samples, "height") + ANTENNA_HEIGHT
    height = height + wander(generator, count, *HEIGHT_WANDER, SAMPLE_STEP)
    height = height + HEIGHT_JITTER * generator.standard_normal(count)
    east_speed = column(samples, "east_speed") + SPEED_JITTER * generator.standard_normal(count)
    north_speed = column(samples, "north_speed") + SPEED_JITTER * generator.standard_normal(count)
    latitude, longitude = geographic(east, north)
    log = GpsLog(
        column(samples, "time"),
        latitude,
        longitude,
        height,
        np.hypot(east_speed, north_speed),
        np.degrees(np.arctan2(east_speed, north_speed)) % 360.0,
    )
    return _with_faults(log, column(samples, "height"), generator)


def _with_faults(log: GpsLog, height: FloatArray, generator: np.random.Generator) -> GpsLog:
    """Dropouts and one jump, both well above the ground; a few repeated and backward time stamps anywhere."""
    count = len(log.time)
    keep = np.ones(count, dtype=bool)
    high = np.flatnonzero(height > height.min() + 80.0)
    for seconds in (2.4, 5.0, 7.6):
        start = int(high[generator.integers(len(high))])
        keep[start : start + round(seconds / SAMPLE_STEP)] = False
    longitude = log.longitude.copy()
    jump = int(high[generator.integers(len(high))])
    longitude[jump : jump + 3] += 0.0011  # some 65 m aside for three fixes
    order = np.flatnonzero(keep).tolist()
    times = log.time.copy()
    for _ in range(4):
        place = int(generator.integers(200, len(order) - 200))
        order.insert(place, order[place])
    for _ in range(2):
        place = int(generator.integers(200, len(order) - 200))
        order[place], order[place + 1] = order[place + 1], order[place]
    index = np.array(order)
    return GpsLog(
        times[index],
        log.latitude[index],
        longitude[index],
        log.height[index],
        log.speed[index],
        log.course[index],
    )


def calibrated_airspeed(airspeed: FloatArray, pressure: FloatArray, temperature: FloatArray) -> FloatArray:
    """Calibrated airspeed [m/s] of a true airspeed: the same impact pressure at sea level, standard."""
    mach_squared = airspeed**2 / (1.4 * 287.05287 * temperature)
    impact = pressure * ((1.0 + 0.2 * mach_squared) ** 3.5 - 1.0)
    sound = np.sqrt(1.4 * 287.05287 * STANDARD_TEMPERATURE)
    speed: FloatArray = sound * np.sqrt(5.0 * ((impact / STANDARD_PRESSURE + 1.0) ** (1.0 / 3.5) - 1.0))
    return speed


def position_error_factor(machine: Machine, samples: FloatArray) -> FloatArray:
    """What the airspeed system makes of the dynamic pressure, as a factor on it."""
    flap, lift = column(samples, "flap"), column(samples, "lift_coefficient")
    factor = np.array(
        [1.0 + machine.static_error(c, f) for c, f in zip(lift.tolist(), flap.tolist(), strict=True)]
    )
    return np.asarray(np.maximum(factor, 0.2), dtype=np.float64)


def engine_log(
    machine: Machine, samples: FloatArray, generator: np.random.Generator, fitted: Instruments
) -> dict[str, FloatArray]:
    """The monitor's channels at 1 Hz in its CSV's units; `time` in seconds after the weather's reference."""
    pressure, temperature = column(samples, "pressure"), column(samples, "temperature")
    airspeed, density = column(samples, "airspeed"), column(samples, "density")
    factor = position_error_factor(machine, samples)
    indicated = calibrated_airspeed(airspeed, pressure, temperature) * np.sqrt(factor)
    static = pressure - (factor - 1.0) * 0.5 * density * airspeed**2
    ratio = (static / STANDARD_PRESSURE) ** (287.05287 * STANDARD_LAPSE / 9.80665)
    altitude = STANDARD_TEMPERATURE / STANDARD_LAPSE * (1.0 - ratio)
    indicated = _lagged(indicated, fitted.airspeed_lag)
    indicated = indicated + wander(generator, len(samples), *STICKING, SAMPLE_STEP)
    altitude = _lagged(altitude, ALTITUDE_LAG) + fitted.altimeter
    warmth = _lagged(temperature, THERMOMETER_LAG) - 273.15 + fitted.thermometer
    pick = slice(0, len(samples), round(1.0 / SAMPLE_STEP))
    count = len(samples[pick])
    noise = generator.standard_normal

    def rounded(values: FloatArray, step: float) -> FloatArray:
        return np.round(values / step) * step

    knots = indicated[pick] / KNOT + 0.25 * noise(count)
    log = {
        "time": column(samples, "time")[pick],
        "ias": np.where(knots < 20.0, 0.0, rounded(knots, 0.5)),
        "altitude": rounded(altitude[pick] / 0.3048 + 2.0 * noise(count), 5.0),
        "oat": rounded(warmth[pick] + 0.1 * noise(count), 0.5),
        "rpm": rounded(
            column(samples, "engine_speed")[pick] * 60.0 * fitted.tachometer + 4.0 * noise(count), 10.0
        ),
        "manifold": rounded(
            (column(samples, "manifold")[pick] + fitted.manifold) / INCH_OF_MERCURY + 0.04 * noise(count),
            0.1,
        ),
        "flow": rounded(
            column(samples, "fuel_flow")[pick] / machine.fuel_density * 3.6e6 * fitted.fuel_meter
            + 0.25 * noise(count),
            0.1,
        ),
    }
    if not machine.propeller.governed:
        del log["manifold"]  # nobody fits the gauge without a governor
    return log


def _lagged(values: FloatArray, time: float) -> FloatArray:
    keep = float(np.exp(-SAMPLE_STEP / time))
    path: FloatArray = lfilter([1.0 - keep], [1.0, -keep], values, zi=[keep * values[0]])[0]
    return path


def gpx(log: GpsLog, reference: datetime, name: str) -> str:
    """The log as GPX 1.1; speed [m/s] and course [degrees true] stand in each point's extensions."""
    stamp = _stamps(log.time, reference)
    points = "".join(
        f'<trkpt lat="{latitude:.7f}" lon="{longitude:.7f}"><ele>{height:.2f}</ele><time>{time}</time>'
        f"<extensions><speed>{speed:.2f}</speed><course>{course:.1f}</course></extensions></trkpt>\n"
        for latitude, longitude, height, time, speed, course in zip(
            log.latitude.tolist(), log.longitude.tolist(), log.height.tolist(), stamp,
            log.speed.tolist(), log.course.tolist(), strict=True,
        )
    )  # fmt: skip
    return (
        '<?xml version="1.0" encoding="UTF-8"?>\n'
        '<gpx version="1.1" creator="wringout demo simulator: invented flight"'
        ' xmlns="http://www.topografix.com/GPX/1/1">\n'
        f"<trk><name>{name}</name><trkseg>\n{points}</trkseg></trk>\n</gpx>\n"
    )


def engine_csv(log: dict[str, FloatArray], reference: datetime, clock_error: float) -> str:
    """The monitor's CSV; its clock shows `clock_error` seconds more than the true time."""
    shown = {key: channel for key, channel in CHANNELS.items() if key in log}
    written = [_stamps(log["time"] + clock_error, reference)]
    for key, channel in shown.items():
        written.append([f"{value:.{channel.digits}f}" for value in log[key].tolist()])
    header = ",".join(["time_utc", *(channel.column for channel in shown.values())])
    return "\n".join([header, *(",".join(row) for row in zip(*written, strict=True))]) + "\n"


def _stamps(time: FloatArray, reference: datetime) -> list[str]:
    """Moments as ISO 8601 in UTC to the tenth of a second."""
    start = np.datetime64(reference.astimezone(UTC).replace(tzinfo=None), "ms")
    moments = start + np.round(time * 10.0).astype(np.int64) * np.timedelta64(100, "ms")
    return [stamp[:-2] + "Z" for stamp in np.datetime_as_string(moments, unit="ms").tolist()]


def iso(reference: datetime, seconds: float) -> str:
    """A moment as ISO 8601 in UTC to the tenth of a second."""
    moment = reference + timedelta(seconds=round(seconds, 1))
    return f"{moment:%Y-%m-%dT%H:%M:%S}.{moment.microsecond // 100000}Z"
