"""The optimal smoother of a moving point, solved as one banded system.

The Rauch–Tung–Striebel recursion [RTS1965] computes the mean and the marginal variances of a Gaussian whose
precision matrix is block tridiagonal. The same figures come from one banded Cholesky factorisation and its
mirror image, in compiled code and without a loop over samples; the likelihood falls out beside them.

State of one axis: position p, speed v, acceleration a. Between moments dt apart, with white jerk of density
q,

    x' = F x + w,   F = [1 dt dt²/2; 0 1 dt; 0 0 1],   cov w = q [dt⁵/20 dt⁴/8 dt³/6; · dt³/3 dt²/2; · · dt].
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from wringout.recordings.recording import FloatArray

STATE = 3
BAND = 2 * STATE  # rows of the lower band: the diagonal and five below
CLOSEST = 0.04  # s; moments nearer than this share one state, or the system loses its digits …
DIGITS = 1e12  # … as it does where a step's stiffness exceeds a measurement's by more than this
# A priori nearly nothing is known of the first state: standard deviations in m, m/s, m/s²
FIRST_STATE = np.array([1e5, 3e2, 3e1])


@dataclass(frozen=True, slots=True)
class Measured:
    """Measurements of one or more axes that share their noise.

    `position` and `speed` have shape (n, axes), NaN where there is none (then in every axis); `position_sd`
    and `speed_sd` have shape (n,).
    """

    time: FloatArray
    position: FloatArray
    position_sd: FloatArray
    speed: FloatArray
    speed_sd: FloatArray


@dataclass(frozen=True, slots=True)
class Smoothed:
    """Means, shape (n, axes), and standard deviations common to all axes, shape (n,)."""

    position: FloatArray
    speed: FloatArray
    acceleration: FloatArray
    position_sd: FloatArray
    speed_sd: FloatArray
    acceleration_sd: FloatArray


@dataclass(frozen=True, slots=True)
class _System:
    """States, what each measurement belongs to, and the precision matrix in lower band storage."""

    state: NDArray[np.int64]  # of each moment
    offset: FloatArray  # [s] of each moment after its state
    step: FloatArray  # [s] between states
    band: FloatArray


def smooth_axes(measured: Measured, jerk_density: float) -> Smoothed:
    """Position, speed and acceleration at every moment, given all measurements before and after.

    Parameters
    ----------
    measured : Measured
        Times rise strictly. [s, m, m/s]
    jerk_density : float
        Spectral density of the white jerk that drives the motion. [m²/s⁵]
    """
    jerk_density = max(jerk_density, _stiffest(measured))
    system = _system(measured, jerk_density)
    factor = _factor(system.band)
    states = _mean(system, factor, measured, jerk_density)
    covariance = _marginals(system.band, factor)
    dt = system.offset
    one, zero = np.ones_like(dt), np.zeros_like(dt)
    move = np.stack((one, dt, dt**2 / 2, zero, one, dt, zero, zero, one), axis=1).reshape(-1, STATE, STATE)
    mean = np.einsum("nij,nja->nia", move, states[system.state])
    spread = move @ covariance[system.state] @ move.transpose(0, 2, 1)
    sd = np.sqrt(np.maximum(np.diagonal(spread, axis1=1, axis2=2), 0.0))
    return Smoothed(mean[:, 0], mean[:, 1], mean[:, 2], sd[:, 0], sd[:, 1], sd[:, 2])


def fitted_scale(measured: Measured, jerk_density: float) -> tuple[float, float]:
    """The factor on all standard deviations that makes the measurements likeliest, and the log likelihood.

    `jerk_density` and the measurements' standard deviations need be right only relative to each other: with
    the factor c, they become c² q and c r.
    """
    jerk_density = max(jerk_density, _stiffest(measured))
    system = _system(measured, jerk_density)
    factor = _factor(system.band)
    states = _mean(system, factor, measured, jerk_density, refinements=0)
    cost, count = 0.0, 0
    log_noise = 0.0
    for values, sd, row in _rows(measured, system.offset):
        where = np.isfinite(values[:, 0])
        left = values[where] - np.einsum("nj,nja->na", row[where], states[system.state[where]])
        cost += float(np.sum((left / sd[where, None]) ** 2))
        count += left.size
        log_noise += 2 * values.shape[1] * float(np.sum(np.log(sd[where])))
    jumps = states[1:] - _advance(system.step) @ states[:-1]
    cost += float(np.einsum("nia,nij,nja->", jumps, _process_precision(system.step, jerk_density), jumps))
    axes = measured.position.shape[1]
    log_process = float(np.sum(3 * np.log(jerk_density) + 9 * np.log(system.step)))
    log_precision = 2 * float(np.sum(np.log(factor[0])))
    scale = cost / max(count, 1)
    log_likelihood = -0.5 * (count * np.log(scale) + log_noise + axes * (log_process + log_precision))
    return float(np.sqrt(scale)), float(log_likelihood)


def _rows(measured: Measured, offset: FloatArray) -> tuple[tuple[FloatArray, FloatArray, FloatArray], ...]:
    """(values, standard deviations, observation row) of positions and of speeds."""
    one, zero = np.ones_like(offset), np.zeros_like(offset)
    return (
        (measured.position, measured.position_sd, np.stack((one, offset, offset**2 / 2), axis=1)),
        (measured.speed, measured.speed_sd, np.stack((zero, one, offset), axis=1)),
    )


def _states(time: FloatArray) -> tuple[NDArray[np.int64], FloatArray, FloatArray]:
    """State of each moment, its offset from it, and the steps between states."""
    close = np.diff(time) < CLOSEST
    if not close.any():
        return np.arange(len(time)), np.zeros(len(time)), np.diff(time)
    begins = np.ones(len(time), dtype=np.bool_)
    last = float(time[0])
    for index in np.flatnonzero(close) + 1:  # only these can share a state
        before = index - 1
        last = last if not begins[before] else float(time[before])
        begins[index] = time[index] - last >= CLOSEST
    state = np.cumsum(begins) - 1
    at = time[begins]
    return state, time - at[state], np.diff(at)


def _stiffest(measured: Measured) -> float:
    """The least jerk density that leaves the system its digits: the motion cannot be known to be stiffer."""
    shortest = max(float(np.diff(measured.time).min()), CLOSEST) if len(measured.time) > 1 else CLOSEST
    sharpest = float(min(measured.position_sd.min(), measured.speed_sd.min() * shortest))
    return 720 * sharpest**2 / (shortest**5 * DIGITS)


def _factor(band: FloatArray) -> FloatArray:
    from scipy.linalg import cholesky_banded

    factor: FloatArray = cholesky_banded(band, lower=True, check_finite=False)
    return factor


def _advance(step: FloatArray) -> FloatArray:
    move = np.zeros((len(step), STATE, STATE))
    move[:, 0, 0] = move[:, 1, 1] = move[:, 2, 2] = 1.0
    move[:, 0, 1] = move[:, 1, 2] = step
    move[:, 0, 2] = step**2 / 2
    return move


def _process_precision(step: FloatArray, jerk_density: float) -> FloatArray:
    """Inverse of the process covariance, in closed form."""
    precision = np.empty((len(step), STATE, STATE))
    precision[:, 0, 0] = 720 / step**5
    precision[:, 0, 1] = precision[:, 1, 0] = -360 / step**4
    precision[:, 0, 2] = precision[:, 2, 0] = 60 / step**3
    precision[:, 1, 1] = 192 / step**3
    precision[:, 1, 2] = precision[:, 2, 1] = -36 / step**2
    precision[:, 2, 2] = 9 / step
    return precision / jerk_density


def _system(measured: Measured, jerk_density: float) -> _System:
    state, offset, step = _states(measured.time)
    count = int(state[-1]) + 1
    diagonal = np.zeros((count, STATE, STATE))
    diagonal[0] += np.diag(FIRST_STATE**-2.0)
    for values, sd, row in _rows(measured, offset):
        where = np.flatnonzero(np.isfinite(values[:, 0]))
        block = row[where, :, None] * row[where, None, :] / (sd[where] ** 2)[:, None, None]
        if count == len(state):
            diagonal[where] += block
        else:
            np.add.at(diagonal, state[where], block)
    precision = _process_precision(step, jerk_density)
    move = _advance(step)
    below = -precision @ move  # block (k + 1, k)
    diagonal[1:] += precision
    diagonal[:-1] -= move.transpose(0, 2, 1) @ below
    band = np.zeros((BAND, STATE * count))
    for column in range(STATE):
        for row_index in range(column, STATE):
            band[row_index - column, column::STATE] = diagonal[:, row_index, column]
        for row_index in range(STATE):
            band[STATE + row_index - column, column : STATE * (count - 1) : STATE] = below[
                :, row_index, column
            ]
    return _System(state, offset, step, band)


def _mean(
    system: _System, factor: FloatArray, measured: Measured, jerk_density: float, refinements: int = 1
) -> FloatArray:
    """The likeliest states, shape (states, 3, axes); refined, as the residual is known to full precision."""
    from scipy.linalg import cho_solve_banded

    axes = measured.position.shape[1]
    count = system.band.shape[1] // STATE
    states = np.zeros((count, STATE, axes))
    precision = _process_precision(system.step, jerk_density)
    move = _advance(system.step)
    for _ in range(refinements + 1):
        side = np.zeros_like(states)
        side[0] -= states[0] / FIRST_STATE[:, None] ** 2
        for values, sd, row in _rows(measured, system.offset):
            where = np.flatnonzero(np.isfinite(values[:, 0]))
            at = system.state[where]
            left = values[where] - np.einsum("nj,nja->na", row[where], states[at])
            pull = row[where, :, None] * (left / (sd[where] ** 2)[:, None])[:, None, :]
            if count == len(system.state):
                side[at] += pull
            else:
                np.add.at(side, at, pull)
        jump = precision @ (states[1:] - move @ states[:-1])
        side[1:] -= jump
        side[:-1] += move.transpose(0, 2, 1) @ jump
        change = cho_solve_banded((factor, True), side.reshape(count * STATE, axes), check_finite=False)
        states += change.reshape(count, STATE, axes)
    return states


def _marginals(band: FloatArray, factor: FloatArray) -> FloatArray:
    """Diagonal blocks of the inverse, shape (states, 3, 3).

    Eliminating everything before a state leaves Sᴸ = L Lᵀ of the factor's diagonal block; everything after
    it, the same of the mirrored system, Sᴿ. The marginal precision is Sᴸ + Sᴿ − D with D the block itself,
    which both contain.
    """
    size = band.shape[1]
    mirrored = np.zeros_like(band)
    for row in range(BAND):
        mirrored[row, : size - row] = band[row, : size - row][::-1]
    after = _blocks(_factor(mirrored))[::-1, ::-1, ::-1]
    before = _blocks(factor)
    upper = before @ before.transpose(0, 2, 1)
    lower = after @ after.transpose(0, 2, 1)
    own = _blocks(band)
    own = own + own.transpose(0, 2, 1) - np.einsum("nii->ni", own)[:, :, None] * np.eye(STATE)
    inverse: FloatArray = np.linalg.inv(upper + lower - own)
    return inverse


def _blocks(band: FloatArray) -> FloatArray:
    """Lower triangles of the diagonal blocks of a matrix in lower band storage."""
    blocks = np.zeros((band.shape[1] // STATE, STATE, STATE))
    for column in range(STATE):
        for row in range(column, STATE):
            blocks[:, row, column] = band[row - column, column::STATE]
    return blocks
