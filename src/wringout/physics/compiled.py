"""Compiling loops over cases that numpy would walk through once for every operation.

A module of compiled functions is imported where they are called: the compiler costs a quarter of a second.
"""

import hashlib
from collections.abc import Callable
from contextlib import suppress
from functools import cache
from pathlib import Path
from typing import Any, TypeVar

from numba import njit
from numba.core.caching import FunctionCache

Loop = TypeVar("Loop", bound=Callable[..., object])

# Sums and products in any order and rounded once, quotients by a reciprocal; but infinities and missing
# numbers stay what they are, which the full set would not promise.
ARITHMETIC = {"reassoc", "contract", "arcp", "nsz", "afn"}


def compiled(loop: Loop) -> Loop:
    """Compiles a loop when it is first called, and lets other threads run meanwhile.

    The machine code is kept beside the source, or in the user's own folder where that cannot be written to;
    where nothing can be kept each process compiles anew.
    """
    made: Any = njit(loop, nogil=True, error_model="numpy", fastmath=ARITHMETIC)
    with suppress(RuntimeError):  # nothing can be kept anywhere
        made._cache = _Kept(loop)  # type: ignore[no-untyped-call]
    compiled_loop: Loop = made
    return compiled_loop


def inlined(step: Loop) -> Loop:
    """Compiles a step that becomes part of each loop that takes it, which then runs in wide registers."""
    made: Loop = njit(step, nogil=True, error_model="numpy", fastmath=ARITHMETIC, forceinline=True)
    return made


class _Kept(FunctionCache):
    """Machine code that counts as long as every source that went into it is the same.

    The compiler itself looks at the source of the loop alone, not at the steps that are part of it.
    """

    def _index_key(self, signature: object, codegen: object) -> tuple[object, ...]:
        key: tuple[object, ...] = super()._index_key(signature, codegen)  # type: ignore[no-untyped-call]
        return (*key, _sources())


@cache
def _sources() -> str:
    digest = hashlib.sha256()
    for path in sorted(Path(__file__).parent.glob("*.py")):
        digest.update(path.read_bytes())
    return digest.hexdigest()
