"""What a log's heights and tracks count from, told by what else is known; nothing is corrected in silence."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from math import degrees, hypot, sqrt
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from wringout.physics.atmosphere import pressure_altitude, standard_temperature
from wringout.problems import InputError, Problem
from wringout.quantity.dimensions import Dimension
from wringout.quantity.estimate import Estimate
from wringout.recordings.projection import EQUATORIAL_RADIUS, FLATTENING
from wringout.recordings.recording import FloatArray, Recording

# From experience, no source: what of a height's and an altimeter's error stays over a flight.
RECEIVER_SD = 6.0  # m, one receiver's height
ELEVATION_SD = 3.0  # m, a strip's elevation as people know it, the antenna's height in it
STATIC_SD = 10.0  # m, static system and its instrument
SETTING_SD = 8.0  # m, a QNH of whole hectopascals that drifts
TEMPERATURE_SHARE = (
    0.02  # of the height above the reading: the air between is not the standard one's multiple
)
NEAR = 1500.0  # m above or below the reading within which pressure tells height well
TAXIING = 8.0  # m/s; before it is first faster and after it is last, an airplane is on the ground
NOTEWORTHY_HEIGHT = 15.0  # m
NOTEWORTHY_TRACK = np.radians(1.5)
SIGNIFICANT = 2.5  # standard deviations

MOVING = 15.0  # m/s; slower, places half a baseline apart tell no direction
BASELINE = 3.0  # s to either side
GREATEST_VARIATION = np.radians(40.0)  # more there is only near the magnetic poles
STRAIGHT = np.radians(1.0)  # rad/s
FEWEST = 20  # directions
BLOCK = 30.0  # s; directions further apart are separate witnesses

HeightReference = Literal["mean sea level", "ellipsoid", "unknown"]


@dataclass(frozen=True, slots=True)
class GroundReading:
    """What was read on the ground at `time` [s from the recording's start]: elevation, QNH, temperature."""

    time: float
    elevation: float
    qnh: float
    temperature: float


def height_offset(recording: Recording, readings: Sequence[GroundReading]) -> Estimate | None:
    """By how much the logged heights exceed those above mean sea level. [m]

    From pressure altitudes, brought to the readings' QNH and temperature, where the log has them; from the
    height on the ground against the readings' elevation, where the log begins or ends there; from both
    together by their variances. A log without heights, or without either, gives None.

    Notes
    -----
    Above a reading at elevation e an altimeter set to its QNH shows A; the true height is about
    e + (A − e) T/Tₛ with T the temperature read and Tₛ the standard one there [common practice, no source].
    """
    if "height" not in recording.channels or not readings:
        return None
    found = [
        estimate
        for estimate in (_against_pressure(recording, readings), _against_ground(recording, readings))
        if estimate is not None
    ]
    if not found:
        return None
    weights = np.array([estimate.sd**-2 for estimate in found if estimate.sd])
    value = float(weights @ [estimate.value for estimate in found] / weights.sum())
    spread = max((abs(estimate.value - value) for estimate in found), default=0.0)
    sd = hypot(1 / sqrt(float(weights.sum())), spread if len(found) > 1 else 0.0)
    return Estimate(value, sd, Dimension.LENGTH, " and ".join(estimate.source for estimate in found))


def _against_pressure(recording: Recording, readings: Sequence[GroundReading]) -> Estimate | None:
    if "pressure_altitude" not in recording.channels:
        return None
    height, altitude = recording.channels["height"], recording.channels["pressure_altitude"]
    nearest = _nearest(recording.time, readings)
    elevation = np.array([item.elevation for item in readings])[nearest]
    zero = np.array([float(pressure_altitude(item.qnh, 0.0)) for item in readings])[nearest]
    warmth = np.array([item.temperature / float(standard_temperature(item.elevation)) for item in readings])
    above = altitude - zero - elevation
    near = np.isfinite(height) & np.isfinite(above) & (np.abs(above) < NEAR)
    if np.count_nonzero(near) < 10:
        return None
    expected = elevation + above * warmth[nearest]
    value = float(np.median((height - expected)[near]))
    away = float(np.median(np.abs(above[near])))
    sd = sqrt(RECEIVER_SD**2 + STATIC_SD**2 + SETTING_SD**2 + (TEMPERATURE_SHARE * away) ** 2)
    return Estimate(value, sd, Dimension.LENGTH, "pressure altitude and QNH")


def _against_ground(recording: Recording, readings: Sequence[GroundReading]) -> Estimate | None:
    height, time = recording.channels["height"], recording.time
    speed = _ground_speed(recording)
    fast = np.flatnonzero(speed > TAXIING)
    if not len(fast):
        return None
    index = np.arange(len(time))
    ground = (speed <= TAXIING) & np.isfinite(height) & ((index < fast[0]) | (index > fast[-1]))
    if np.count_nonzero(ground) < 10:
        return None
    elevation = np.array([item.elevation for item in readings])[_nearest(time, readings)]
    value = float(np.median((height - elevation)[ground]))
    sd = hypot(RECEIVER_SD, ELEVATION_SD)
    return Estimate(value, sd, Dimension.LENGTH, "height on the ground and elevation")


def _ground_speed(recording: Recording) -> FloatArray:
    """As logged, or else between places."""
    logged = recording.channels.get("ground_speed")
    if logged is not None:
        return logged
    speed = np.full(len(recording.time), np.nan)
    if "latitude" in recording.channels and "longitude" in recording.channels:
        chords = _chords(recording)
        with np.errstate(invalid="ignore", divide="ignore"):
            speed[chords.sample] = np.hypot(chords.east, chords.north) / chords.span
    return speed


@dataclass(frozen=True, slots=True)
class _Chords:
    """From the place some seconds before each fix to that as long after; NaN at the ends. [m, s]"""

    sample: NDArray[np.int64]
    east: FloatArray
    north: FloatArray
    span: FloatArray
    before: NDArray[np.int64]
    after: NDArray[np.int64]


def _chords(recording: Recording) -> _Chords:
    latitude, longitude = recording.channels["latitude"], recording.channels["longitude"]
    sample = np.flatnonzero(np.isfinite(latitude) & np.isfinite(longitude))
    time, phi, lam = recording.time[sample], latitude[sample], np.unwrap(longitude[sample])
    if len(time) < 3:
        nothing = np.full(len(time), np.nan)
        return _Chords(sample, nothing, nothing, nothing, np.arange(len(time)), np.arange(len(time)))
    baseline = max(BASELINE, 1.2 * float(np.median(np.diff(time))))
    before = np.searchsorted(time, time - baseline - 1e-6)
    after = np.searchsorted(time, time + baseline + 1e-6, side="right") - 1
    even = (before < np.arange(len(time))) & (np.abs(time[after] + time[before] - 2 * time) < 0.2 * baseline)
    square = FLATTENING * (2 - FLATTENING)
    root = np.sqrt(1 - square * np.sin(phi) ** 2)
    east = (lam[after] - lam[before]) * np.cos(phi) * EQUATORIAL_RADIUS / root
    north = (phi[after] - phi[before]) * EQUATORIAL_RADIUS * (1 - square) / root**3
    span = np.where(even, time[after] - time[before], np.nan)
    return _Chords(sample, east, north, span, before, after)


def _nearest(time: FloatArray, readings: Sequence[GroundReading]) -> NDArray[np.int64]:
    moments = np.array([item.time for item in readings])
    nearest: NDArray[np.int64] = np.argmin(np.abs(time[:, None] - moments[None, :]), axis=1)
    return nearest


def height_note(offset: Estimate, stated: HeightReference) -> str | None:
    """What a measured offset says of the reference that the card states, None where there is nothing to say.

    Examples
    --------
    >>> height_note(Estimate(47.0, 7.0, Dimension.LENGTH, "height on the ground"), "mean sea level")
    'heights lie 47 ± 7 m above mean sea level by height on the ground, and the card says that they count \
from mean sea level: they rather count from the ellipsoid, or the elevation or QNH is wrong'
    """
    sd = offset.sd or 0.0
    off = abs(offset.value) > max(NOTEWORTHY_HEIGHT, SIGNIFICANT * sd)
    side = "above" if offset.value > 0 else "below"
    measured = f"heights lie {abs(offset.value):.0f} ± {sd:.0f} m {side} mean sea level by {offset.source}"
    if off and stated == "mean sea level":
        return (
            f"{measured}, and the card says that they count from mean sea level: they rather count from the "
            "ellipsoid, or the elevation or QNH is wrong"
        )
    if off and stated == "unknown":
        return f"{measured}: they count from the ellipsoid, or the elevation or QNH is wrong"
    if not off and stated == "ellipsoid":
        return (
            f"heights agree with mean sea level ({offset.value:+.0f} ± {sd:.0f} m by {offset.source}), and "
            "the card says that they count from the ellipsoid: either the two are near here, or the card errs"
        )
    return None


def track_offset(recording: Recording) -> Estimate | None:
    """By how much logged tracks exceed the true direction from place to place, in straight flight. [rad]

    A magnetic track is short of the true one by the variation, positive to the east. None where the log has
    no track, or too little straight and level movement to tell.
    """
    names = ("latitude", "longitude", "track")
    if not all(name in recording.channels for name in names):
        return None
    chords = _chords(recording)
    track = recording.channels["track"][chords.sample]
    turning = np.abs(_wrapped(track[chords.after] - track[chords.before]))
    fast = np.hypot(chords.east, chords.north) > MOVING * chords.span
    steady = fast & (turning < STRAIGHT * chords.span) & np.isfinite(track)
    if np.count_nonzero(steady) < FEWEST:
        return None
    apart = _wrapped(track - np.arctan2(chords.east, chords.north))[steady]
    middle = float(np.angle(np.mean(np.exp(1j * apart))))
    apart = _wrapped(apart - middle)
    block = np.floor(recording.time[chords.sample][steady] / BLOCK)
    centres = np.array([np.median(apart[block == number]) for number in np.unique(block)])
    value = middle + float(np.median(centres))
    spread = 1.4826 * float(np.median(np.abs(centres - np.median(centres))))
    sd = hypot(1.25 * spread / sqrt(len(centres)), np.radians(0.05))
    return Estimate(value, sd, Dimension.ANGLE, f"positions in {len(centres)} straight parts")


def _wrapped(angle: FloatArray) -> FloatArray:
    wrapped: FloatArray = (angle + np.pi) % (2 * np.pi) - np.pi
    return wrapped


def track_note(offset: Estimate) -> str | None:
    """What a measured offset says of logged tracks, None where they are true.

    Examples
    --------
    >>> from math import radians
    >>> track_note(Estimate(radians(-3.6), radians(0.1), Dimension.ANGLE, "positions in 40 straight parts"))
    "tracks differ by -3.6 ± 0.1° from the true direction by positions in 40 straight parts: they are \
magnetic, or turned; say track = 'magnetic' in the mapping if so"
    """
    sd = offset.sd or 0.0
    if abs(offset.value) <= max(NOTEWORTHY_TRACK, SIGNIFICANT * sd):
        return None
    what = (
        "they are magnetic, or turned; say track = 'magnetic' in the mapping if so"
        if abs(offset.value) < GREATEST_VARIATION
        else "they are no tracks, or count from elsewhere than north"
    )
    return (
        f"tracks differ by {degrees(offset.value):+.1f} ± {degrees(sd):.1f}° from the true direction by "
        f"{offset.source}: {what}"
    )


def with_true_track(recording: Recording) -> Recording:
    """A log with magnetic tracks, turned to true ones by the direction from place to place, and told so.

    Raises
    ------
    InputError
        The log's own positions do not tell the variation.
    """
    if "track" not in recording.channels:
        return recording
    offset = track_offset(recording)
    if offset is None or abs(offset.value) > GREATEST_VARIATION:
        found = (
            "the log has too little straight flight to tell the variation"
            if offset is None
            else f"they differ by {degrees(offset.value):+.0f}° from the direction between the positions"
        )
        raise InputError(
            Problem(
                f"the tracks are to be magnetic, and {found}",
                "give the variation as the track column's offset, and leave out track = 'magnetic'",
                recording.name,
                None,
                "track",
            )
        )
    turned = (recording.channels["track"] - offset.value) % (2 * np.pi)
    sd = degrees(offset.sd or 0.0)
    note = (
        f"magnetic tracks turned by {degrees(-offset.value):+.1f} ± {sd:.1f}° to true ones by {offset.source}"
    )
    return replace(
        recording,
        channels={**recording.channels, "track": turned},
        notes=(*recording.notes, note),
    )
