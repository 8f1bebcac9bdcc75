"""Compiled loops give what the same loops give uncompiled, and need no place to keep machine code."""

from collections.abc import Callable
from typing import Any, cast

import numpy as np
import pytest

from wringout.recordings import chain as compiled_chain
from wringout.recordings.compiled import compiled
from wringout.recordings.recording import FloatArray
from wringout.recordings.smoothing import Measured, smooth_axes


def test_a_loop_whose_code_can_be_kept_nowhere_is_compiled_all_the_same() -> None:
    """As in an installation that the user may not write to, without a folder of the user's own."""
    names: dict[str, object] = {}
    exec(
        "def total(values):\n    sum = 0.0\n    for each in values:\n        sum += each\n    return sum",
        names,
    )
    total = compiled(cast(Callable[[FloatArray], float], names["total"]))
    assert total(np.array([1.0, 2.0, 4.5])) == 7.5


def test_missing_numbers_stay_missing() -> None:
    """Faster arithmetic does not assume that every number is one."""

    def known(values: FloatArray) -> int:
        count = 0
        for each in values:
            if not np.isnan(each):
                count += 1
        return count

    assert compiled(known)(np.array([1.0, np.nan, np.inf])) == 2


@pytest.mark.parametrize("axes", [1, 2])
def test_the_loops_compute_what_python_computes(axes: int, monkeypatch: pytest.MonkeyPatch) -> None:
    """Each loop against itself in the interpreter; moments 0.04 s apart share a state or cost nine digits."""
    generator = np.random.default_rng(12)
    time = np.cumsum(generator.uniform(0.01, 0.6, 90))
    position = np.cumsum(generator.normal(0.0, 4.0, (90, axes)), axis=0)
    position[generator.random(90) < 0.3] = np.nan
    speed = generator.normal(0.0, 4.0, (90, axes))
    speed[generator.random(90) < 0.5] = np.nan
    measured = Measured(time, position, generator.uniform(0.5, 2.0, 90), speed, np.full(90, 0.3))
    fast = smooth_axes(measured, 0.4)
    for name in dir(compiled_chain):
        loop = getattr(compiled_chain, name)
        if hasattr(loop, "py_func"):
            monkeypatch.setattr(compiled_chain, name, loop.py_func)
    slow = smooth_axes(measured, 0.4)
    for name in ("position", "speed", "acceleration", "position_sd", "speed_sd", "acceleration_sd"):
        np.testing.assert_allclose(getattr(fast, name), getattr(slow, name), rtol=1e-6, atol=1e-6)


def test_one_axis_and_two_take_the_same_machine_code() -> None:
    """Whatever part of whatever array is smoothed: compiling for another layout takes seconds."""
    both = np.cumsum(np.random.default_rng(3).normal(size=(200, 2)), axis=0)
    time: FloatArray = np.arange(0.0, 100.0, 0.5)
    ones, none = np.ones(200), np.full((200, 1), np.nan)
    smooth_axes(Measured(time, both, ones, 0 * both, ones), 0.5)
    smooth_axes(Measured(time, both[:, :1], ones, none, ones), 0.5)
    smooth_axes(Measured(time[::2], both[::2, 1:], ones[::2], none[::2], ones[::2]), 0.5)
    loops: list[Any] = [compiled_chain.factorise, compiled_chain.solve, compiled_chain.at_moments]
    assert [len(loop.signatures) for loop in loops] == [1, 1, 1]
