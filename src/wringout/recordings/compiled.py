"""Compiling a loop over samples that numpy cannot express: each step needs the one before.

A module of compiled functions is imported where they are called: the compiler costs a quarter of a second.
"""

from collections.abc import Callable
from typing import TypeVar

from numba import njit

Loop = TypeVar("Loop", bound=Callable[..., object])

# Of faster arithmetic only one rounding for a product and its sum: infinities and missing numbers stay
ARITHMETIC = {"contract"}


def compiled(loop: Loop) -> Loop:
    """Compiles a loop when it is first called, and lets other threads run meanwhile.

    The machine code is kept beside the source, or in the user's own folder where that cannot be written to.
    """
    try:
        made: Loop = njit(loop, nogil=True, error_model="numpy", fastmath=ARITHMETIC, cache=True)
    except RuntimeError:  # nothing can be kept anywhere: each process compiles anew
        made = njit(loop, nogil=True, error_model="numpy", fastmath=ARITHMETIC)
    return made
