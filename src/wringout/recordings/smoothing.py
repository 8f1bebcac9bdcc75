"""The optimal smoother of a moving point.

The Rauch–Tung–Striebel recursion [RTS1965] computes the mean and the marginal variances of a Gaussian whose
precision matrix is block tridiagonal. The same figures come from one banded Cholesky factorisation and its
mirror image (`banded`), in compiled code and without a loop over samples; the likelihood falls out beside
them.

A long record is solved in windows that overlap by far more than the motion's memory, each of them in cache.
Where two windows meet they must agree; if any two do not, the record is solved whole.
"""

from dataclasses import fields
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from wringout.recordings.banded import (
    CLOSEST,
    FIRST_STATE,
    Measured,
    Moments,
    Smoothed,
    factorised,
    jumps,
    mean_states,
    misfits,
    moments_of,
    solved,
    system_of,
    times_process_precision,
)
from wringout.recordings.unmeasured import between, needed

__all__ = ["FIRST_STATE", "Measured", "Smoothed", "fitted_scale", "part", "smooth_axes"]

DIGITS = 1e12  # by which a step's stiffness may exceed a measurement's before the system loses its digits
WINDOW = 16_384  # states
MEMORIES, OVERLAP_FIXES = 16.0, 100  # windows overlap by so many times the motion's memory, and fixes
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
    return solved(system_of(measured, moments, jerk_density))


def fitted_scale(measured: Measured, jerk_density: float) -> tuple[float, float]:
    """The factor on all standard deviations that makes the measurements likeliest, and the log likelihood.

    `jerk_density` and the measurements' standard deviations need be right only relative to each other: with
    the factor c, they become c² q and c r.
    """
    jerk_density = max(jerk_density, _stiffest(measured))
    system = system_of(measured, moments_of(measured.time), jerk_density)
    factor = factorised(system.band)
    states = mean_states(system, factor, refinements=0)
    axes = measured.position.shape[1]
    cost, count, log_noise = 0.0, 0, 0.0
    for left, weight in misfits(system, states):
        known = weight > 0
        cost += float(np.sum(left**2 * weight))
        count += axes * int(np.count_nonzero(known))
        log_noise -= axes * float(np.sum(np.log(weight[known])))
    jump = jumps(system.step, states)
    pulled = times_process_precision(system.step, jerk_density, jump)
    cost += float(sum(np.sum(each * pull) for each, pull in zip(jump, pulled, strict=True)))
    log_process = float(np.sum(3 * np.log(jerk_density) + 9 * np.log(system.step)))
    log_precision = 2 * float(np.sum(np.log(factor[0])))
    scale = cost / max(count, 1)
    log_likelihood = -0.5 * (count * np.log(scale) + log_noise + axes * (log_process + log_precision))
    return float(np.sqrt(scale)), float(log_likelihood)


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

    def window(number: int) -> tuple[slice, Smoothed]:
        inside, states = moments.part(reaches[number][0], reaches[number + 1][1])
        return inside, solved(system_of(part(measured, inside), states, jerk_density))

    count, axes = measured.position.shape
    joined = Smoothed(*(np.empty((axes, count)).T for _ in range(3)), *(np.empty(count) for _ in range(3)))
    bounds = np.searchsorted(moments.state, seams).tolist()
    for number, (first, after) in enumerate(pairwise(bounds)):
        inside, piece = window(number)
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
