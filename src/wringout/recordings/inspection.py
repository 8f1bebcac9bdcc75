"""How good a recording is, channel by channel."""

from dataclasses import dataclass

import numpy as np

from wringout.recordings.recording import CHANNELS, FloatArray, Recording

STEP_SAMPLES = 20_000  # differences that suffice to see a step
MULTIPLE_SHARE = 0.98  # of the differences that must be whole multiples of a step


@dataclass(frozen=True, slots=True)
class ChannelHealth:
    """One channel: usual rate [Hz], gaps [s], samples left out, step (SI), share of samples missing."""

    channel: str
    samples: int
    rate: float
    gaps: int
    longest_gap: float
    jumps: int
    frozen: int
    repeated: int
    unreadable: int
    step: float | None  # None where the values are not quantised, or too few to see it
    missing: float


def health(recording: Recording) -> tuple[ChannelHealth, ...]:
    """One row a channel, in the order of `CHANNELS`.

    A gap is a time of more than three of the channel's own usual periods (and two seconds) without a sample.
    """
    rows = []
    for name in CHANNELS:
        if name not in recording.channels:
            continue
        values = recording.channels[name]
        valid = np.isfinite(values)
        steps = np.diff(recording.time[valid])
        period = float(np.median(steps)) if len(steps) else np.nan
        gaps = steps[steps > max(3 * period, 2.0)] if len(steps) else steps
        rows.append(
            ChannelHealth(
                name,
                int(np.count_nonzero(valid)),
                1 / period if len(steps) else 0.0,
                len(gaps),
                float(gaps.max()) if len(gaps) else 0.0,
                _left_out(recording, name, "jump"),
                _left_out(recording, name, "frozen"),
                _left_out(recording, name, "repeated"),
                _left_out(recording, name, "unreadable"),
                step_of(values),
                float(np.mean(~valid)),
            )
        )
    return tuple(rows)


def _left_out(recording: Recording, channel: str, kind: str) -> int:
    names = {channel, "position"} if channel in {"latitude", "longitude"} else {channel}
    return sum(item.samples for item in recording.exclusions if item.kind == kind and item.channel in names)


def step_of(values: FloatArray) -> float | None:
    """The step of which all differences are whole multiples, or None where there is no such step."""
    head = values[: 2 * STEP_SAMPLES]
    finite = head[np.isfinite(head)]
    if len(finite) < STEP_SAMPLES:
        finite = values[np.isfinite(values)]
    differences = np.abs(np.diff(finite[:STEP_SAMPLES]))
    differences = differences[differences > 1e-12]
    if len(differences) < 10:
        return None
    least = float(np.quantile(differences, 0.01, method="lower"))
    near = differences[differences < 1.5 * least]
    step = float(np.median(near))
    multiples = differences / step
    # rounding in the text of converted units blurs a step a little, and large multiples the more
    small = multiples < 50
    whole = np.abs(multiples[small] - np.round(multiples[small])) < 0.1
    if np.mean(whole) < MULTIPLE_SHARE or len(near) < 0.02 * len(differences):
        return None
    return step
