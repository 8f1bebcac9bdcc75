"""Several logs of one flight on one time base."""

from collections.abc import Sequence
from dataclasses import replace
from datetime import timedelta

import numpy as np

from wringout.problems import InputError, Problem
from wringout.recordings.recording import Exclusion, FloatArray, Recording

BRIDGED_PERIODS = 3.0  # a gap longer than this many of the channel's own periods is not interpolated over
SAME_MOMENT = 0.002  # s
LONGEST_HOLE = 10.0  # s; within a longer one the base slept, and what lies before and after is no one run
ANGLES = {"track", "heading"}
RECEIVER = {"latitude", "longitude", "height", "ground_speed", "track", "vertical_speed"}


def merge(recordings: Sequence[Recording]) -> Recording:
    """One recording of several of the same flight, on the densest one's time base.

    Channels of the others are interpolated linearly between samples no more than three of their own periods
    apart; beyond that they are NaN. What a satellite receiver measured is never interpolated, or the smoother
    would count one fix several times: its own moments join the time base instead. So do the moments of any
    log within a short hole of the base: a receiver that loses its satellites takes no other sensor with it. A
    channel that several recordings have is taken from the one that samples it fastest, and what was left
    aside is told in the exclusions.

    Raises
    ------
    InputError
        No recording, or two that do not overlap in time.
    """
    if not recordings:
        raise InputError(Problem("there is no recording to merge", "name at least one in the test card"))
    if len(recordings) == 1:
        return recordings[0]
    origin = min(recording.start for recording in recordings)
    moved = [_shifted(recording, (recording.start - origin).total_seconds()) for recording in recordings]
    base = max(moved, key=lambda recording: _rate(recording.time))
    for other in moved:
        if other.time[0] > base.time[-1] or other.time[-1] < base.time[0]:
            raise InputError(
                Problem(
                    f"{other.name} and {base.name} do not overlap in time",
                    "check the clock offset and the zone of each, or put them on different cards",
                )
            )
    owner, exclusions = _owners(moved)
    time = base.time
    for recording in moved:
        if any(owner.get(channel) is recording for channel in RECEIVER):
            time = _joined(time, recording.time)
    for recording in moved:
        if recording is not base:
            time = _joined(time, _in_holes(time, recording))
    first = float(time[0])
    channels = {channel: _placed(channel, recording, time) for channel, recording in owner.items()}
    for recording in moved:
        exclusions.extend(recording.exclusions)
    return Recording(
        " + ".join(recording.name for recording in recordings),
        origin + timedelta(seconds=first),
        time - first,
        channels,
        tuple(replace(item, start=item.start - first, end=item.end - first) for item in exclusions),
        tuple(source for recording in recordings for source in recording.sources),
        {
            channel: _period(channel, recording)
            for channel, recording in owner.items()
            if channel not in RECEIVER and recording is not base
        },
        tuple(f"{recording.name}: {note}" for recording in recordings for note in recording.notes),
    )


def _rate(time: FloatArray) -> float:
    return 1 / float(np.median(np.diff(time)))


def _period(channel: str, recording: Recording) -> float:
    own = recording.time[np.isfinite(recording.channels[channel])]
    return float(np.median(np.diff(own))) if len(own) > 1 else 0.0


def _shifted(recording: Recording, seconds: float) -> Recording:
    return replace(
        recording,
        time=recording.time + seconds,
        exclusions=tuple(
            replace(item, start=item.start + seconds, end=item.end + seconds) for item in recording.exclusions
        ),
    )


def _owners(recordings: list[Recording]) -> tuple[dict[str, Recording], list[Exclusion]]:
    owner: dict[str, Recording] = {}
    exclusions: list[Exclusion] = []
    names = dict.fromkeys(name for recording in recordings for name in recording.channels)
    for channel in names:
        # latitude and longitude must come from one receiver
        judged = "latitude" if channel == "longitude" else channel
        having = [recording for recording in recordings if channel in recording.channels]
        best = max(
            having,
            key=lambda recording: np.count_nonzero(np.isfinite(recording.channels.get(judged, np.array([])))),
        )
        owner[channel] = best
        exclusions.extend(
            Exclusion(
                float(other.time[0]),
                float(other.time[-1]),
                int(np.count_nonzero(np.isfinite(other.channels[channel]))),
                channel,
                f"{channel} of {other.name} left aside, {best.name} has more of it",
                "merge",
            )
            for other in having
            if other is not best
        )
    return owner, exclusions


def _joined(base: FloatArray, extra: FloatArray) -> FloatArray:
    """The base with those extra moments that it does not have."""
    place = np.clip(np.searchsorted(base, extra), 1, len(base) - 1)
    nearest = np.minimum(np.abs(extra - base[place - 1]), np.abs(extra - base[place]))
    return np.union1d(base, extra[nearest > SAME_MOMENT])


def _in_holes(base: FloatArray, recording: Recording) -> FloatArray:
    """The moments of a recording within short holes of the base that are longer than its own step."""
    after = np.clip(np.searchsorted(base, recording.time), 1, len(base) - 1)
    hole = base[after] - base[after - 1]
    least = BRIDGED_PERIODS / 2.0 / _rate(recording.time)
    moments: FloatArray = recording.time[
        (hole > least)
        & (hole <= LONGEST_HOLE)
        & (recording.time > base[after - 1])
        & (recording.time < base[after])
    ]
    return moments


def _placed(channel: str, recording: Recording, time: FloatArray) -> FloatArray:
    values = recording.channels[channel]
    valid = np.isfinite(values)
    own, values = recording.time[valid], values[valid]
    if len(own) < 2:
        return np.full(len(time), np.nan)
    after = np.clip(np.searchsorted(own, time), 1, len(own) - 1)
    nearest = np.where(time - own[after - 1] < own[after] - time, after - 1, after)
    same = np.abs(own[nearest] - time) <= SAME_MOMENT
    if channel in RECEIVER:
        return np.where(same, values[nearest], np.nan)
    if channel in ANGLES:
        values = np.unwrap(values)
    inside = (time >= own[0]) & (time <= own[-1])
    bridged = own[after] - own[after - 1] <= BRIDGED_PERIODS * _period(channel, recording)
    placed = np.where(inside & bridged, np.interp(time, own, values), np.nan)
    placed = np.where(same, values[nearest], placed)
    return placed % (2 * np.pi) if channel in ANGLES else placed
