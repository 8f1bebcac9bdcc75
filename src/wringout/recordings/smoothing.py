"""The optimal smoother of a moving point.

The Rauch–Tung–Striebel recursion [RTS1965] computes the mean and the marginal variances of a Gaussian whose
precision matrix is block tridiagonal. The same figures come from the block Cholesky factors of that matrix,
in compiled loops over the samples (`chain`); the likelihood falls out beside them.

A long record is solved in windows that overlap by far more than the motion's memory, each of them in cache.
Where two windows meet they must agree; if any two do not, the record is solved whole.
"""

from dataclasses import fields
from itertools import pairwise
from math import prod
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from wringout.recordings.recording import FloatArray
from wringout.recordings.states import (
    CLOSEST,
    FACTORS,
    FIRST_STATE,
    STATE,
    Measured,
    Moments,
    Smoothed,
    moments_of,
)
from wringout.recordings.unmeasured import between, needed

if TYPE_CHECKING:
    from wringout.recordings.chain import Chain, Seen

__all__ = ["FIRST_STATE", "Measured", "Smoothed", "fitted_scale", "part", "smooth_axes", "solved"]

DIGITS = 1e12  # by which a step's stiffness may exceed a measurement's before the system loses its digits
WINDOW = 16_384  # states
MEMORIES, OVERLAP_FIXES = 16.0, 100  # windows overlap by so many times the motion's memory, and fixes
REFINEMENTS = 1  # of the likeliest states; the equations are stiff
AGREEMENT = 0.01  # of a standard deviation, where windows meet


def smooth_axes(measured: Measured, jerk_density: float) -> Smoothed:
    """Position, speed and acceleration at every moment, given all measurements before and after.

    Parameters
    ----------
    measured : Measured
        Times rise strictly. [s, m, m/s]
    jerk_density : float
        Spectral density of the white jerk that drives the motion. [m²/s⁵]
    """
    seen = np.isfinite(measured.position[:, 0]) | np.isfinite(measured.speed[:, 0])
    kept = needed(measured.time, seen)
    if len(kept) < len(seen):
        return between(smooth_axes(part(measured, kept), jerk_density), measured.time, kept)
    jerk_density = max(jerk_density, _stiffest(measured))
    moments = moments_of(measured.time)
    seams = np.arange(0, len(moments.at), WINDOW)
    if len(moments.at) - seams[-1] < WINDOW / 2:
        seams = seams[:-1]
    if len(seams) > 1:
        joined = _in_windows(measured, moments, jerk_density, [*seams.tolist(), len(moments.at)])
        if joined is not None:
            return joined
    return solved(measured, moments, jerk_density)


def fitted_scale(measured: Measured, jerk_density: float) -> tuple[float, float]:
    """The factor on all standard deviations that makes the measurements likeliest, and the log likelihood.

    `jerk_density` and the measurements' standard deviations need be right only relative to each other: with
    the factor c, they become c² q and c r.
    """
    from wringout.recordings.chain import cost, factorise, solve

    jerk_density = max(jerk_density, _stiffest(measured))
    moments = moments_of(measured.time)
    chain, seen = _chained(measured, moments, jerk_density)
    axes = measured.position.shape[1]
    factors, change, states = _rooms(None, _of_states(len(moments.at), axes))
    log_precision = factorise(chain, seen, factors)
    _check(log_precision)
    solve(chain, seen, factors, (change, states), 0)
    squares, count, log_noise = cost(chain, seen, states)
    log_process = float(np.sum(3 * np.log(jerk_density) + 9 * np.log(chain.step)))
    scale = squares / max(count, 1)
    log_likelihood = -0.5 * (count * np.log(scale) + log_noise + axes * (log_process + log_precision))
    return float(np.sqrt(scale)), float(log_likelihood)


def solved(
    measured: Measured, moments: Moments, jerk_density: float, room: FloatArray | None = None
) -> Smoothed:
    """The states of all moments as one system. The result lies in the room, where one is given."""
    from wringout.recordings.chain import at_moments, factorise, solve

    chain, seen = _chained(measured, moments, jerk_density)
    count, axes = measured.position.shape
    shapes = (*_of_states(len(moments.at), axes), (STATE, axes, count), (STATE, count))
    factors, change, states, means, sds = _rooms(room, shapes)
    _check(factorise(chain, seen, factors))
    solve(chain, seen, factors, (change, states), REFINEMENTS)
    at_moments(chain, factors, states, means, sds)
    return Smoothed(*means.transpose(0, 2, 1), *sds)


def _check(log_determinant: float) -> None:
    """`_stiffest` keeps the digits; should it ever fail, no number is better than a wrong one."""
    if np.isnan(log_determinant):
        raise np.linalg.LinAlgError("the smoother's system has lost its digits")


def _chained(measured: Measured, moments: Moments, jerk_density: float) -> tuple["Chain", "Seen"]:
    """What the compiled loops take."""
    from wringout.recordings.chain import Chain, Seen

    links = np.diff(moments.at)
    chain = Chain(moments.state, moments.offset, links, float(jerk_density), FIRST_STATE**-2.0)
    seen = (measured.position, measured.position_sd, measured.speed, measured.speed_sd)
    return chain, Seen(*(np.ascontiguousarray(each) for each in seen))


def _of_states(count: int, axes: int) -> tuple[tuple[int, ...], ...]:
    """Shapes of the factors, of room for changes, and of the states."""
    return (count, FACTORS), (count, axes, STATE), (count, axes, STATE)


def _rooms(room: FloatArray | None, shapes: tuple[tuple[int, ...], ...]) -> list[FloatArray]:
    """Arrays one after the other in the room, or in a new one."""
    ends = np.cumsum([prod(shape) for shape in shapes]).tolist()
    room = np.empty(ends[-1]) if room is None else room
    return [room[end - prod(shape) : end].reshape(shape) for end, shape in zip(ends, shapes, strict=True)]


def _size(moments: Moments, axes: int) -> int:
    """Numbers in the room that `solved` needs."""
    states, count = len(moments.at), len(moments.state)
    return (FACTORS + 2 * axes * STATE) * states + (axes + 1) * STATE * count


def _stiffest(measured: Measured) -> float:
    """The least jerk density that leaves the system its digits: the motion cannot be known to be stiffer."""
    shortest = max(float(np.diff(measured.time).min()), CLOSEST) if len(measured.time) > 1 else CLOSEST
    sharpest = float(min(measured.position_sd.min(), measured.speed_sd.min() * shortest))
    return 720 * sharpest**2 / (shortest**5 * DIGITS)


def _in_windows(
    measured: Measured, moments: Moments, jerk_density: float, seams: list[int]
) -> Smoothed | None:
    """The record solved piece by piece between seams (states); None where two pieces disagree."""
    fixes = np.flatnonzero(np.isfinite(measured.position[:, 0]))
    fixed = moments.state[fixes]
    if len(fixes) < 2 * OVERLAP_FIXES:
        return None
    overlap = MEMORIES * _memory(measured, jerk_density)

    def reach(seam: int) -> tuple[int, int]:
        """The states within the overlap before and after a seam."""
        place = int(np.searchsorted(fixed, seam))
        before = int(fixed[max(place - OVERLAP_FIXES, 0)])
        after = int(fixed[min(place + OVERLAP_FIXES, len(fixed) - 1)])
        low, high = np.searchsorted(moments.at, moments.at[seam] + overlap * np.array([-1, 1]))
        return min(before, int(low)), max(after + 1, int(high))

    reaches = [(0, 0), *(reach(seam) for seam in seams[1:-1]), (len(moments.at), len(moments.at))]

    count, axes = measured.position.shape
    pieces = [moments.part(before, after) for (before, _), (_, after) in pairwise(reaches)]
    room = np.empty(max(_size(states, axes) for _, states in pieces))
    joined = Smoothed(*(np.empty((axes, count)).T for _ in range(3)), *(np.empty(count) for _ in range(3)))
    bounds = np.searchsorted(moments.state, seams).tolist()
    for number, (first, after) in enumerate(pairwise(bounds)):
        inside, states = pieces[number]
        piece = solved(part(measured, inside), states, jerk_density, room)
        if first and not _agree(joined, piece, first, first - inside.start):
            return None
        # one moment more than its own, for the next window to be held against
        upto = min(after + 1, count)
        for each in fields(joined):
            values = getattr(piece, each.name)
            getattr(joined, each.name)[first:upto] = values[first - inside.start : upto - inside.start]
    return joined


def _memory(measured: Measured, jerk_density: float) -> float:
    """Time in which the influence of a measurement fades to 1/e [s].

    White jerk seen through positions with the noise density R_p = σ² · period fades with 2 (R_p/q)^(1/6);
    where speeds of R_v carry the motion, positions tell where it is only over √(R_p/R_v).
    """
    densities = []
    for values, sd in ((measured.position, measured.position_sd), (measured.speed, measured.speed_sd)):
        known = np.isfinite(values[:, 0])
        if np.count_nonzero(known) > 1:
            period = float(np.median(np.diff(measured.time[known])))
            densities.append(float(np.median(sd[known])) ** 2 * period)
    motion = float(2 * (densities[0] / jerk_density) ** (1 / 6))
    return max([motion, *(float(np.sqrt(densities[0] / each)) for each in densities[1:])])


def part(measured: Measured, chosen: slice | NDArray[np.int64]) -> Measured:
    """Some of the moments."""
    return Measured(*(getattr(measured, each.name)[chosen] for each in fields(measured)))


def _agree(one: Smoothed, other: Smoothed, at: int, place: int) -> bool:
    """Whether two solutions have the same means and deviations at a moment, by its index in each."""
    for name in ("position", "speed", "acceleration"):
        sd, other_sd = getattr(one, f"{name}_sd")[at], getattr(other, f"{name}_sd")[place]
        apart = np.abs(getattr(one, name)[at] - getattr(other, name)[place]).max()
        if not (apart <= AGREEMENT * sd and abs(sd - other_sd) <= AGREEMENT * sd):
            return False
    return True
