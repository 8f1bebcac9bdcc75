"""The benchmark's twin in C says what the compiled loops say, or their speeds are not comparable."""

import ctypes
import shutil
import sys
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from numpy.random import default_rng

from wringout.physics.field_kernels import landings, room_for, take_offs
from wringout.physics.field_rows import condition_columns, landing_rows, take_off_rows
from wringout.physics.propulsion import NaturallyAspiratedEngine

sys.path.insert(0, str(Path(__file__).parents[2] / "benchmarks"))  # scripts, that are run by themselves

from survey_kernels import ROWS, at, build, difference, hours, invented


@pytest.mark.skipif(shutil.which("gcc") is None, reason="no C compiler here")
def test_the_twin_agrees_with_the_loops(tmp_path: Path) -> None:
    """Take-offs and landings to 1e-9, those of an airplane that hardly climbs among them."""
    generator, count = default_rng(8), 300
    (up, down), conditions = invented(generator), hours(generator, count)
    vehicle = replace(up.vehicle, engine=NaturallyAspiratedEngine(np.linspace(50e3, 150e3, ROWS)))
    up = replace(up, vehicle=vehicle)  # endless for some hours, hardly climbing in others
    packed, friction = take_off_rows(up)
    landed, rolling, braking = landing_rows(down)
    columns, surface = condition_columns(conditions, breathes=True)
    twin, room, back = build(tmp_path), room_for(ROWS, count), room_for(ROWS, count)
    wide, threads = ctypes.c_int64, 2
    shared = (wide(friction.shape[1]), at(columns), at(surface), wide(count))
    twin.twin_take_off(
        at(packed), wide(ROWS), at(friction), *shared, at(room.roll), at(room.distance), threads
    )
    twin.twin_landing(
        at(landed), wide(ROWS), at(rolling), at(braking), *shared, at(back.roll), at(back.distance), threads
    )
    flown, stopped = take_offs(up, conditions), landings(down, conditions)
    assert difference(flown.roll, room.roll) < 1e-12
    assert difference(flown.distance, room.distance) < 1e-9
    assert difference(stopped.roll, back.roll) < 1e-12
    assert difference(stopped.distance, back.distance) < 1e-12
    assert 0 < np.sum(np.isinf(flown.distance)) < ROWS * count
    assert np.max(flown.distance[np.isfinite(flown.distance)]) > 1000.0
