"""The mixed-integer solver without what it prints: a stray line would stand in an answer that is JSON."""

from __future__ import annotations

import ctypes
import os
from collections.abc import Iterator
from contextlib import contextmanager
from threading import Lock
from typing import Any

import numpy as np
from numpy.typing import NDArray

FloatArray = NDArray[np.float64]

_ONE_AT_A_TIME = Lock()  # standard output belongs to the process, not to a thread


def solved(
    aim: FloatArray,
    *,
    integer: NDArray[np.int_],
    bounds: tuple[FloatArray, FloatArray],
    matrix: FloatArray,
    low: FloatArray,
    high: FloatArray,
) -> tuple[FloatArray, float] | None:
    """The unknowns that make `aim` least, and what it then is; None where the rows cannot be met.

    Rows are low ≤ matrix · x ≤ high; `integer` is 1 where an unknown is whole [HiGHS, by scipy].
    """
    from scipy.optimize import Bounds, LinearConstraint, milp

    with _ONE_AT_A_TIME, _silence():
        answer: Any = milp(
            aim,
            integrality=integer,
            bounds=Bounds(*bounds),
            constraints=LinearConstraint(matrix, low, high),
            options={"mip_rel_gap": 0.0},
        )
    return None if answer.x is None else (np.asarray(answer.x), float(answer.fun))


@contextmanager
def _silence() -> Iterator[None]:
    """Standard output of compiled code goes nowhere for a while; Python's own is held back until after."""
    try:
        kept = os.dup(1)
    except OSError:  # there is none
        yield
        return
    nowhere = os.open(os.devnull, os.O_WRONLY)
    try:
        _flush()
        os.dup2(nowhere, 1)
        yield
        _flush()
    finally:
        os.dup2(kept, 1)
        os.close(kept)
        os.close(nowhere)


def _flush() -> None:
    """Write out what compiled code has printed into its buffer."""
    try:
        ctypes.CDLL(None).fflush(None)
    except (
        OSError,
        TypeError,
        AttributeError,
    ):  # no such library to ask: then its buffer is not ours to mend
        return
