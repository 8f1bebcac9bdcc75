"""Leaving samples out of a channel, with one line of account for it."""

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from wringout.recordings.recording import Exclusion, ExclusionKind, FloatArray

MANY = 20  # separate spans of one kind that are told one by one; more are told together


def leave_out(
    time: FloatArray,
    channels: dict[str, FloatArray],
    flags: NDArray[np.bool_],
    names: Sequence[str],
    *,
    reason: str,
    kind: ExclusionKind,
) -> list[Exclusion]:
    """Sets the flagged samples of the named channels to NaN, in place, and accounts for each span."""
    if not flags.any():
        return []
    for name in names:
        channels[name][flags] = np.nan
    channel = names[0] if len(names) == 1 else "position"
    starts, ends = spans(flags)
    if len(starts) > MANY:
        total = int(np.count_nonzero(flags))
        first, last = float(time[starts[0]]), float(time[ends[-1] - 1])
        return [Exclusion(first, last, total, channel, f"{reason} ({len(starts)} times)", kind)]
    return [
        Exclusion(float(time[start]), float(time[end - 1]), int(end - start), channel, reason, kind)
        for start, end in zip(starts, ends, strict=True)
    ]


def spans(flags: NDArray[np.bool_]) -> tuple[NDArray[np.int64], NDArray[np.int64]]:
    """First and one-past-last indices of each run of True.

    Examples
    --------
    >>> [each.tolist() for each in spans(np.array([False, True, True, False, True]))]
    [[1, 4], [3, 5]]
    """
    edges = np.diff(np.concatenate(([0], flags.astype(np.int8), [0])))
    return np.flatnonzero(edges == 1), np.flatnonzero(edges == -1)
