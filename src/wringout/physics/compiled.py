"""Compiling loops over cases that numpy would walk through once for every operation.

A module of compiled functions is imported where they are called: the compiler costs a quarter of a second.
"""

from collections.abc import Callable
from typing import TypeVar

from numba import njit

Loop = TypeVar("Loop", bound=Callable[..., object])

# Sums and products in any order and rounded once, quotients by a reciprocal; but infinities and missing
# numbers stay what they are, which the full set would not promise.
ARITHMETIC = {"reassoc", "contract", "arcp", "nsz", "afn"}


def compiled(loop: Loop) -> Loop:
    """Compiles a loop when it is first called, and lets other threads run meanwhile.

    The machine code is kept beside the source, or in the user's own folder where that cannot be written to.
    """
    try:
        made: Loop = njit(loop, nogil=True, error_model="numpy", fastmath=ARITHMETIC, cache=True)
    except RuntimeError:  # nothing can be kept anywhere: each process compiles anew
        made = njit(loop, nogil=True, error_model="numpy", fastmath=ARITHMETIC)
    return made


def inlined(step: Loop) -> Loop:
    """Compiles a step that becomes part of each loop that takes it, which then runs in wide registers."""
    made: Loop = njit(step, nogil=True, error_model="numpy", fastmath=ARITHMETIC, forceinline=True)
    return made
