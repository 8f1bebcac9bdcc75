"""From a log to a recording: what cannot be believed is left out, with its reason, and nothing is filled."""

from bisect import bisect_left
from datetime import UTC, datetime, timedelta

import numpy as np
from numpy.typing import NDArray

from wringout.problems import InputError, Problem
from wringout.quantity.dimensions import Dimension
from wringout.recordings.exclusion import leave_out
from wringout.recordings.frozen import frozen_channels
from wringout.recordings.jumps import height_jumps, position_jumps
from wringout.recordings.log import Log
from wringout.recordings.recording import CHANNELS, Exclusion, FloatArray, Recording
from wringout.recordings.repeats import repeated_fixes

BoolArray = NDArray[np.bool_]
IntArray = NDArray[np.int64]

SEPARATE_FLIGHTS = 6 * 3600.0  # s without a sample; what lies beyond is another recording
GAP_PERIODS = 3.0  # a gap is longer than this many sampling periods …
SHORTEST_GAP = 2.0  # … and than this [s]
DISORDER_SHARE = 0.2  # of samples; above it one wrong clock reading is sought that hides the rest
REPEATED_SHARE = 0.5  # of samples with the time of the one before; from it on the export is at fault
CONTRADICTING_SHARE = 0.4  # of samples with that time and other values
EARLIEST = datetime(1990, 1, 1, tzinfo=UTC).timestamp()
LATEST = datetime(2100, 1, 1, tzinfo=UTC).timestamp()


def clean(log: Log, name: str, digest: str) -> Recording:
    """A recording of a log's believable samples.

    Left out, each with an `Exclusion`: samples without a time, or not after the one before; fixes off the
    Earth or at 0° 0°; fixes that a logger repeats between the receiver's own; jumps that the speed
    contradicts; channels that stand still while the airplane moves; cells that are no numbers. Gaps are named
    and stay gaps.

    Parameters
    ----------
    log : Log
        Samples in file order.
    name, digest : str
        The file's name and its SHA-256.

    Raises
    ------
    InputError
        Fewer than two samples are left.
    """
    order, dropped = _time_order(log, name)
    origin = float(log.time[order[0]])
    start = datetime.fromtimestamp(origin, UTC)
    time = np.round(log.time[order] - origin, 6)  # seconds since 1970 hold no more digits
    channels = {channel: values[order].copy() for channel, values in log.channels.items()}
    unreadable = tuple(
        Exclusion(
            float(time[0]),
            float(time[-1]),
            item.cells,
            None if item.channel == "time" else item.channel,
            f"{item.cells} cells are not a {'time' if item.channel == 'time' else 'number'}, "
            f"the first on line {item.first_line} ('{item.first_text}')",
            "unreadable",
        )
        for item in log.unreadable
    )
    lost = tuple(
        Exclusion(
            float(time[0]),
            float(time[-1]),
            item.lines,
            None,
            f"{item.lines} {item.reason}, the first on line {item.first_line}",
            "unreadable",
        )
        for item in log.lost
    )
    exclusions = [*_shifted(dropped, origin), *unreadable, *lost]
    exclusions += _impossible(time, channels)
    exclusions += repeated_fixes(time, channels)
    exclusions += position_jumps(time, channels)
    exclusions += height_jumps(time, channels)
    exclusions += frozen_channels(time, channels)
    exclusions += _gaps(time)
    kept = {channel: values for channel, values in channels.items() if np.isfinite(values).any()}
    exclusions += _without_numbers(channels, kept, time, name)
    return Recording(name, start, time, kept, tuple(exclusions), ((name, digest),), notes=log.notes)


def _without_numbers(
    channels: dict[str, FloatArray], kept: dict[str, FloatArray], time: FloatArray, name: str
) -> list[Exclusion]:
    """Channels that the log names and never fills; a log without any, or of empty positions, is refused."""
    empty = [channel for channel in channels if channel not in kept]
    if not kept or "latitude" in empty or "longitude" in empty:
        what = "position" if kept else "number in any channel"
        raise InputError(
            Problem(
                f"none of {len(time)} samples holds a usable {what}",
                "check the columns and their units, or take the recording from the logger again",
                name,
            )
        )
    return [
        Exclusion(
            float(time[0]), float(time[-1]), len(time), channel, "no number in any sample", "unreadable"
        )
        for channel in empty
    ]


def _shifted(exclusions: list[Exclusion], origin: float) -> list[Exclusion]:
    return [
        Exclusion(item.start - origin, item.end - origin, item.samples, item.channel, item.reason, item.kind)
        for item in exclusions
    ]


def _time_order(log: Log, name: str) -> tuple[IntArray, list[Exclusion]]:
    """Indices of the samples whose times rise strictly, and what was dropped (in seconds since 1970)."""
    time = log.time
    usable = np.isfinite(time) & (time > EARLIEST) & (time < LATEST)
    if np.count_nonzero(usable) < 2:
        raise InputError(
            Problem(
                f"{int(np.count_nonzero(usable))} of {len(time)} samples have a usable time",
                "record with time stamps, or correct the mapping's time column and format",
                name,
            )
        )
    repeated, contradicting = _repeats(log, usable)
    if contradicting >= CONTRADICTING_SHARE * len(time) or repeated >= REPEATED_SHARE * len(time):
        others = f", {contradicting} of them with other values" if contradicting else ""
        raise InputError(
            Problem(
                f"{repeated} of {len(time)} samples repeat the time of the one before{others}",
                "map the row's own time, or export the recording with one row a sample",
                name,
            )
        )
    rising = _rising(time, usable)
    exclusions = []
    known = time[rising]
    for flags, what in (
        (~usable, "without a usable time"),
        (usable & ~_marked(rising, len(time)), "not after the one before"),
    ):
        count = int(np.count_nonzero(flags))
        if not count:
            continue
        where = np.flatnonzero(flags)
        times = time[where][np.isfinite(time[where])]
        inside = times[(times >= known[0]) & (times <= known[-1])]
        low, high = (inside.min(), inside.max()) if len(inside) else (known[0], known[-1])
        samples = "1 sample" if count == 1 else f"{count} samples"
        exclusions.append(
            Exclusion(
                float(low),
                float(high),
                count,
                None,
                f"{samples} {what}, the first on line {log.line[where[0]]}",
                "time",
            )
        )
    rising, apart = _one_flight(time, rising)
    exclusions += apart
    if len(rising) < 2:
        raise InputError(
            Problem(
                f"only {len(rising)} of {len(time)} samples have a time after the one before",
                "check the time column: it runs backwards or stands still",
                name,
            )
        )
    return rising, exclusions


def _repeats(log: Log, usable: BoolArray) -> tuple[int, int]:
    """Samples with the time of the one before, and those of them whose channels differ.

    Which of two that differ is right nobody knows. Equal ones are harmless and only left out, until they are
    half the log: then its export, or the choice of its time column, is at fault.
    """
    same_time = np.diff(log.time[usable]) == 0.0
    if not same_time.any():
        return 0, 0
    differs = np.zeros(len(same_time), dtype=np.bool_)
    for values in log.channels.values():
        step = np.diff(values[usable])
        differs |= np.isfinite(step) & (step != 0.0)
    return int(np.count_nonzero(same_time)), int(np.count_nonzero(same_time & differs))


def _marked(indices: IntArray, count: int) -> BoolArray:
    marks = np.zeros(count, dtype=np.bool_)
    marks[indices] = True
    return marks


def _rising(time: FloatArray, usable: BoolArray) -> IntArray:
    indices = np.flatnonzero(usable)
    values = time[indices]
    before = np.maximum.accumulate(values)
    keep = np.concatenate(([True], values[1:] > before[:-1]))
    if np.count_nonzero(~keep) <= DISORDER_SHARE * len(values):
        return indices[keep]
    distinct = np.concatenate(([True], np.diff(values) != 0))  # repeats are no disorder
    chosen = _longest_rising(values[distinct])
    if len(chosen) <= np.count_nonzero(keep):
        return indices[keep]
    return indices[distinct][chosen]


def _longest_rising(values: FloatArray) -> IntArray:
    """Indices of a longest strictly rising subsequence (patience sorting)."""
    tails: list[float] = []
    tail_index: list[int] = []
    previous = np.full(len(values), -1, dtype=np.int64)
    for index, value in enumerate(values.tolist()):
        place = bisect_left(tails, value)
        if place == len(tails):
            tails.append(value)
            tail_index.append(index)
        else:
            tails[place] = value
            tail_index[place] = index
        if place:
            previous[index] = tail_index[place - 1]
    chain = []
    index = tail_index[-1]
    while index >= 0:
        chain.append(index)
        index = int(previous[index])
    return np.array(chain[::-1], dtype=np.int64)


def _one_flight(time: FloatArray, rising: IntArray) -> tuple[IntArray, list[Exclusion]]:
    """The part with most samples between breaks of many hours."""
    breaks = np.flatnonzero(np.diff(time[rising]) > SEPARATE_FLIGHTS) + 1
    if not len(breaks):
        return rising, []
    parts = np.split(rising, breaks)
    longest = max(parts, key=len)
    hours = SEPARATE_FLIGHTS / 3600
    return longest, [
        Exclusion(
            float(time[part[0]]),
            float(time[part[-1]]),
            len(part),
            None,
            f"more than {hours:.0f} h apart from the rest, from {_moment(float(time[part[0]]))}",
            "time",
        )
        for part in parts
        if part is not longest
    ]


def _moment(seconds: float) -> str:
    return (datetime(1970, 1, 1, tzinfo=UTC) + timedelta(seconds=seconds)).strftime("%Y-%m-%d %H:%M:%S UTC")


# SI; far beyond any light airplane, so that only nonsense falls outside
POSSIBLE = {
    Dimension.LENGTH: (-2e3, 3e4),
    Dimension.SPEED: (-300.0, 700.0),
    Dimension.ACCELERATION: (-500.0, 500.0),
    Dimension.TEMPERATURE: (170.0, 350.0),
    Dimension.PRESSURE: (0.0, 5e5),
    Dimension.ROTATION: (0.0, 2e3),
    Dimension.VOLUME_FLOW: (0.0, 1e-2),
    Dimension.ANGLE: (-10.0, 10.0),
}


def _impossible(time: FloatArray, channels: dict[str, FloatArray]) -> list[Exclusion]:
    """Numbers that no airplane sees; half fixes, and 0° 0°, which receivers write before they know."""
    exclusions = []
    for name, values in channels.items():
        low, high = POSSIBLE[CHANNELS[name]]
        reason = f"no {name.replace('_', ' ')} that an airplane can have"
        beyond = (values < low) | (values > high)
        exclusions += leave_out(time, channels, beyond, (name,), reason=reason, kind="range")
    if "latitude" not in channels or "longitude" not in channels:
        return exclusions
    latitude, longitude = channels["latitude"], channels["longitude"]
    place = ("latitude", "longitude")
    wrong = (np.abs(latitude) > np.pi / 2) | ((latitude == 0) & (longitude == 0))
    exclusions += leave_out(
        time, channels, wrong, place, reason="no place on the Earth, or 0° 0°", kind="range"
    )
    half = np.isnan(latitude) != np.isnan(longitude)
    exclusions += leave_out(time, channels, half, place, reason="latitude or longitude alone", kind="range")
    return exclusions


def _gaps(time: FloatArray) -> list[Exclusion]:
    steps = np.diff(time)
    longest = max(GAP_PERIODS * float(np.median(steps)), SHORTEST_GAP)
    return [
        Exclusion(float(time[i]), float(time[i + 1]), 0, None, f"no sample for {steps[i]:.1f} s", "gap")
        for i in np.flatnonzero(steps > longest)
    ]
