"""A flight's channels as traces in the reader's units, whole or a window at the detail of a page."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from wringout.charts.flight import thinned
from wringout.dossier.dossier import Units
from wringout.quantity.units import convert
from wringout.recordings.recording import CHANNELS, FloatArray, Recording
from wringout.reduction import Flight

HEIGHT, GROUND_SPEED = "height", "ground speed"  # both smoothed
AIRSPEED = "indicated airspeed"
THIRD = ("manifold pressure", "engine speed", "fuel flow", "rate of climb")  # the first that there is
PERIODS = 3.0  # of a channel's own usual ones; a longer time without a sample, and than LEAST_GAP, is a gap
LEAST_GAP = 2.0  # s

_OWN_UNITS = {
    "engine_speed": "rpm",
    "normal_acceleration": "g",
    "longitudinal_acceleration": "g",
    "latitude": "°",
    "longitude": "°",
    "track": "°",
    "heading": "°",
    "pitch": "°",
    "roll": "°",
}


@dataclass(frozen=True, slots=True)
class Trace:
    """One channel in `unit` against `time` [s from the recording's start]; NaN where the line is broken."""

    name: str
    unit: str
    time: FloatArray
    values: FloatArray


@dataclass(frozen=True, slots=True)
class Path:
    """The track over the ground [m east and north of the recording's reference]; NaN where it is broken."""

    time: FloatArray
    east: FloatArray
    north: FloatArray


def trace_names(recording: Recording) -> tuple[str, ...]:
    """What can be drawn of a recording: smoothed height, speed and climb, and each of its channels."""
    own = [_words(name) for name in CHANNELS if _samples(recording, name) > 1]
    smoothed = (HEIGHT, GROUND_SPEED, "rate of climb")
    return (*smoothed, *(name for name in own if name not in smoothed))


def usual_traces(recording: Recording) -> tuple[str, str, str]:
    """Height, the airspeed or else the ground speed, and the third that tells most."""
    names = trace_names(recording)
    return (
        HEIGHT,
        AIRSPEED if AIRSPEED in names else GROUND_SPEED,
        next(name for name in THIRD if name in names),
    )


def trace(flight: Flight, name: str, units: Units) -> Trace:
    """A whole trace, one of `trace_names`, without the empty samples of a channel slower than its table.

    Raises KeyError where the recording has no such trace.
    """
    track, recording = flight.track, flight.recording
    smoothed = {
        HEIGHT: (track.up, units.height),
        GROUND_SPEED: (np.hypot(track.east_speed, track.north_speed), units.speed),
        "rate of climb": (track.up_speed, units.vertical_speed),
    }
    if name in smoothed:
        values, unit = smoothed[name]
        time, values = _broken_at_gaps(track.time, values)
        return Trace(name, unit, time, convert(values, unit))
    channel = name.replace(" ", "_")
    unit = unit_of_channel(channel, units)
    time, values = _broken_at_gaps(recording.time, recording.channels[channel])
    return Trace(name, unit, time, convert(values, unit, CHANNELS[channel]))


def window(whole: Trace, start: float, end: float, most: int) -> Trace:
    """The part of a trace from `start` to `end` [s] and one sample beyond, in about `most` samples.

    Each stretch keeps its highest and its lowest sample, so that no peak is lost at any scale.
    """
    inside = _inside(whole.time, start, end)
    all_times, all_values = whole.time[inside], whole.values[inside]
    time, values = thinned(all_times, all_values, most)
    if len(time) < len(all_times):
        broken = np.flatnonzero(np.isnan(all_values[:-1]))
        # A gap narrower than a sample of the page is no gap to the eye.
        lasts = all_times[broken + 1] - all_times[broken - 1]
        broken = broken[lasts > (all_times[-1] - all_times[0]) / most]
        there = np.isfinite(values)
        order = np.argsort(np.concatenate([time[there], all_times[broken]]), kind="stable")
        time = np.concatenate([time[there], all_times[broken]])[order]
        values = np.concatenate([values[there], all_values[broken]])[order]
    return Trace(whole.name, whole.unit, time, values)


def path(flight: Flight, start: float, end: float, most: int) -> Path:
    """The track over the ground from `start` to `end` [s], in at most `most` samples and one more."""
    track = flight.track
    inside = _inside(track.time, start, end)
    known = np.flatnonzero(np.isfinite(track.east[inside]) & np.isfinite(track.north[inside])) + inside.start
    step = max(1, -(-len(known) // most))
    silent = _silent(track.time[known])
    chosen = np.unique(np.concatenate([np.arange(0, len(known), step), silent - 1, silent, [len(known) - 1]]))
    chosen = chosen[chosen >= 0]
    after = np.searchsorted(chosen, silent)
    time = track.time[known[chosen]]
    return Path(
        np.insert(time, after, 0.5 * (time[after - 1] + time[after])),
        np.insert(track.east[known[chosen]], after, np.nan),
        np.insert(track.north[known[chosen]], after, np.nan),
    )


def range_of(whole: Trace) -> tuple[float, float]:
    """Lowest and highest value of a trace; 0 and 1 where it has none."""
    if not np.isfinite(whole.values).any():
        return 0.0, 1.0
    return float(np.nanmin(whole.values)), float(np.nanmax(whole.values))


def _inside(time: FloatArray, start: float, end: float) -> slice:
    first = int(np.searchsorted(time, start))
    after = int(np.searchsorted(time, end, side="right"))
    return slice(max(first - 1, 0), min(after + 1, len(time)))


def _broken_at_gaps(time: FloatArray, values: FloatArray) -> tuple[FloatArray, FloatArray]:
    """The samples that there are, with a NaN wherever the channel was silent for longer than is usual."""
    there: NDArray[np.bool_] = np.isfinite(values)
    time, values = time[there], values[there]
    silent = _silent(time)
    return np.insert(time, silent, 0.5 * (time[silent - 1] + time[silent])), np.insert(values, silent, np.nan)


def _silent(time: FloatArray) -> NDArray[np.int64]:
    """The samples before which there was none for longer than is usual."""
    steps = np.diff(time)
    if not len(steps):
        return np.zeros(0, dtype=np.int64)
    found: NDArray[np.int64] = np.flatnonzero(steps > max(PERIODS * float(np.median(steps)), LEAST_GAP)) + 1
    return found


def _samples(recording: Recording, channel: str) -> int:
    values = recording.channels.get(channel)
    return 0 if values is None else int(np.count_nonzero(np.isfinite(values)))


def _words(channel: str) -> str:
    return channel.replace("_", " ")


def unit_of_channel(channel: str, units: Units) -> str:
    """The unit that a channel is read in: the dossier's own, or what pilots are used to."""
    if channel in _OWN_UNITS:
        return _OWN_UNITS[channel]
    return {
        "height": units.height,
        "pressure_altitude": units.height,
        "ground_speed": units.speed,
        "vertical_speed": units.vertical_speed,
        "indicated_airspeed": units.speed,
        "true_airspeed": units.speed,
        "outside_air_temperature": units.temperature,
        "manifold_pressure": units.pressure,
        "fuel_flow": units.fuel_flow,
    }[channel]
