"""What a reader hands over: samples as the file has them, before any cleaning."""

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from wringout.recordings.recording import FloatArray


@dataclass(frozen=True, slots=True)
class Unreadable:
    """Cells of one channel that were no numbers: how many, and the first of them."""

    channel: str
    cells: int
    first_line: int
    first_text: str


@dataclass(frozen=True, slots=True)
class Lost:
    """Lines that gave no sample or no fix: how many, the first, and why ('lines fail their checksum')."""

    lines: int
    first_line: int
    reason: str


@dataclass(frozen=True, slots=True)
class Log:
    """Samples in file order.

    `time` is in seconds since 1970-01-01 UTC, NaN where the file has none; `channels` are in SI, NaN where
    empty; `line` is each sample's line in the file, counting from 1. `notes` are sentences about the whole
    file that a reader of its figures must know, such as what its heights count from.
    """

    time: FloatArray
    channels: Mapping[str, FloatArray]
    line: NDArray[np.int64]
    unreadable: tuple[Unreadable, ...] = ()
    lost: tuple[Lost, ...] = ()
    notes: tuple[str, ...] = ()
