"""Take-offs and landings by the thousand million: every vehicle in every condition, on every core."""

import os
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from wringout.physics.arrays import Array
from wringout.physics.field_arrays import Conditions, LandingRows, TakeOffRows
from wringout.physics.field_rows import condition_columns, landing_rows, take_off_rows
from wringout.physics.propulsion import ElectricMotor

PORTIONS = 4  # a thread's share of the conditions is handed out in so many, for threads that come late
ALIGNED = 64  # conditions of a portion are a multiple of this, the loops' lanes


@dataclass(frozen=True, slots=True)
class FieldDistances:
    """Ground roll and whole distance between standstill and the obstacle height [m], each of shape (v, c).

    An infinite roll: it cannot accelerate to lift-off, or does not stop. A finite roll and an infinite
    distance: it cannot climb to the obstacle, or its path down does not meet the strip.
    """

    roll: Array
    distance: Array


def room_for(rows: int, conditions: int) -> FieldDistances:
    """Arrays to be filled, and again for the next chunk."""
    return FieldDistances(np.empty((rows, conditions)), np.empty((rows, conditions)))


def take_offs(
    rows: TakeOffRows, conditions: Conditions, into: FieldDistances | None = None, threads: int | None = None
) -> FieldDistances:
    """Take-offs of v vehicles in c conditions.

    Parameters
    ----------
    rows, conditions : see `field_arrays`
    into : FieldDistances, optional
        Filled and returned, of shape (v, c); new arrays where None.
    threads : int, optional
        As many as there are cores where None. The interpreter is free meanwhile.

    Returns
    -------
    FieldDistances
        NaN where a number of the row or of the condition is.

    Raises
    ------
    ValueError
        As `takeoff.take_off`; a surface that the friction table has not; arrays `into` of another shape.
    TypeError
        An engine or a propeller that is none of `propulsion`'s.

    Notes
    -----
    The equations of `takeoff`: the ground run to 1e-6 of a differential-equation solver's, the whole distance
    to some 1e-6 where `take_off` is within 1e-3; docs/methods/survey-kernel.md says where less.
    """
    from wringout.physics.field_loops import take_off_loop

    packed, friction = take_off_rows(rows)
    breathes = not isinstance(rows.vehicle.engine, ElectricMotor)
    columns, surface = condition_columns(conditions, breathes)
    _known(surface, friction)
    filled = _room(into, len(packed), len(surface))

    def run(span: tuple[int, int]) -> None:
        take_off_loop(packed, friction, (columns, surface), (filled.roll, filled.distance), span)

    _in_portions(run, len(surface), threads)
    return filled


def landings(
    rows: LandingRows, conditions: Conditions, into: FieldDistances | None = None, threads: int | None = None
) -> FieldDistances:
    """Landings of v vehicles in c conditions; as `take_offs`, raising as `landing.landing`."""
    from wringout.physics.field_loops import landing_loop

    packed, rolling, braking = landing_rows(rows)
    columns, surface = condition_columns(conditions, breathes=False)
    _known(surface, rolling)
    _known(surface, braking)
    filled = _room(into, len(packed), len(surface))

    def run(span: tuple[int, int]) -> None:
        landing_loop(packed, (rolling, braking), (columns, surface), (filled.roll, filled.distance), span)

    _in_portions(run, len(surface), threads)
    return filled


def _known(surface: NDArray[np.int64], friction: Array) -> None:
    if surface.size and not (surface.min() >= 0 and surface.max() < friction.shape[1]):
        raise ValueError(f"a condition's surface is none of the {friction.shape[1]} of the friction table")


def _room(into: FieldDistances | None, rows: int, conditions: int) -> FieldDistances:
    if into is None:
        return room_for(rows, conditions)
    for array in (into.roll, into.distance):
        if array.shape != (rows, conditions) or array.dtype != np.float64 or not array.flags.c_contiguous:
            raise ValueError(
                f"the arrays to be filled must be contiguous floats of shape ({rows}, {conditions})"
            )
    return into


def _in_portions(run: Callable[[tuple[int, int]], None], count: int, threads: int | None) -> None:
    workers = threads or len(os.sched_getaffinity(0))
    portion = -(-count // (workers * PORTIONS) // ALIGNED) * ALIGNED or ALIGNED
    spans = [(start, min(start + portion, count)) for start in range(0, count, portion)]
    if workers == 1 or len(spans) == 1:
        run((0, count))
        return
    with ThreadPoolExecutor(workers) as pool:
        list(pool.map(run, spans))
