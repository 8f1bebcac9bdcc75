"""A moving point's states as one banded system of equations: built, factorised and solved.

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
CLOSEST = 0.04  # s; moments nearer than this share one state, or the system loses its digits
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
class Moments:
    """The state that each moment belongs to, its time after that state [s], and the states' times [s]."""

    state: NDArray[np.int64]
    offset: FloatArray
    at: FloatArray
    shared: bool  # whether any two moments share a state

    def part(self, first: int, after: int) -> tuple[slice, "Moments"]:
        """The moments of states `first` to before `after`."""
        low, high = np.searchsorted(self.state, (first, after))
        inside = slice(int(low), int(high))
        return inside, Moments(
            self.state[inside] - first, self.offset[inside], self.at[first:after], self.shared
        )


@dataclass(frozen=True, slots=True)
class System:
    """What was measured at which state, and the precision matrix in lower band storage."""

    moments: Moments
    step: FloatArray  # [s] between states
    jerk_density: float
    # of each moment: positions and speeds, shape (axes, n), 0 with weight 0 where there is none
    position: FloatArray
    position_weight: FloatArray
    speed: FloatArray
    speed_weight: FloatArray
    band: FloatArray


def moments_of(time: FloatArray) -> Moments:
    close = np.flatnonzero(np.diff(time) < CLOSEST) + 1
    if not len(close):
        return Moments(np.arange(len(time)), np.zeros(len(time)), time, False)
    begins = np.ones(len(time), dtype=np.bool_)
    times = time.tolist()
    last, before = times[0], 0
    for index in close.tolist():  # only these can share a state
        if index - 1 != before or begins[before]:
            last = times[index - 1]
        begins[index] = times[index] - last >= CLOSEST
        before = index
    state = np.cumsum(begins) - 1
    at = time[begins]
    return Moments(state, time - at[state], at, True)


def solved(system: System) -> Smoothed:
    factor = factorised(system.band)
    position, speed, acceleration = mean_states(system, factor)
    pp, vp, vv, ap, av, aa = _marginals(system.band, factor)
    if system.moments.shared:
        state, dt = system.moments.state, system.moments.offset
        acceleration = acceleration[:, state]
        position = position[:, state] + dt * speed[:, state] + dt**2 / 2 * acceleration
        speed = speed[:, state] + dt * acceleration
        pp, vp, vv, ap, av, aa = (each[state] for each in (pp, vp, vv, ap, av, aa))
        pp = pp + dt * (2 * vp + dt * (vv + ap + dt * (av + dt * aa / 4)))
        vv = vv + dt * (2 * av + dt * aa)
    sds = (np.sqrt(np.maximum(each, 0.0)) for each in (pp, vv, aa))
    means = (np.ascontiguousarray(each).T for each in (position, speed, acceleration))
    return Smoothed(*means, *sds)


def factorised(band: FloatArray) -> FloatArray:
    from scipy.linalg import cholesky_banded

    factor: FloatArray = cholesky_banded(band, lower=True, check_finite=False)
    return factor


def system_of(measured: Measured, moments: Moments, jerk_density: float) -> System:
    count = len(moments.at)
    step = np.diff(moments.at)
    position, position_weight = _weighted(measured.position, measured.position_sd)
    speed, speed_weight = _weighted(measured.speed, measured.speed_sd)
    band = np.zeros((STATE * count, BAND)).T  # as LAPACK wants it
    pp, vp, ap, vv, av, aa = _block_entries(band)
    pp[0], vv[0], aa[0] = FIRST_STATE**-2.0
    if moments.shared:
        dt, state = moments.offset, moments.state
        # a moment dt after its state is seen as p + dt v + dt²/2 a, and its speed as v + dt a
        for entry, power, weight in (
            (pp, 0, position_weight),
            (vp, 1, position_weight),
            (ap, 2, position_weight / 2),
            (vv, 2, position_weight),
            (av, 3, position_weight / 2),
            (aa, 4, position_weight / 4),
            (vv, 0, speed_weight),
            (av, 1, speed_weight),
            (aa, 2, speed_weight),
        ):
            np.add(entry, np.bincount(state, dt**power * weight, count), out=entry)
    else:
        pp += position_weight
        vv += speed_weight
    # the process: with P the inverse of its covariance, P at the later state, Fᵀ P F at the earlier, −P F
    # below
    inverse = 1 / step
    scaled = np.full(len(step), 1 / jerk_density)
    for power in range(1, 6):
        scaled *= inverse
        for place, number, turns in _PROCESS[power]:
            own = (pp, vp, ap, vv, av, aa)[place]
            shared = number * scaled
            own[1:] += shared
            own[:-1] += -shared if turns else shared
        for row, column, number in _PROCESS_BELOW[power]:
            band[STATE + row - column, column : STATE * (count - 1) : STATE] = number * scaled
    return System(moments, step, jerk_density, position, position_weight, speed, speed_weight, band)


# Entries of P by the power of 1/dt: (which of pp vp ap vv av aa, number, whether its sign turns in Fᵀ P F),
# and of −P F: (row, column, number); all over q
_PROCESS: dict[int, tuple[tuple[int, float, bool], ...]] = {
    5: ((0, 720.0, False),),
    4: ((1, -360.0, True),),
    3: ((2, 60.0, False), (3, 192.0, False)),
    2: ((4, -36.0, True),),
    1: ((5, 9.0, False),),
}
_PROCESS_BELOW: dict[int, tuple[tuple[int, int, float], ...]] = {
    5: ((0, 0, -720.0),),
    4: ((0, 1, -360.0), (1, 0, 360.0)),
    3: ((0, 2, -60.0), (1, 1, 168.0), (2, 0, -60.0)),
    2: ((1, 2, 24.0), (2, 1, -24.0)),
    1: ((2, 2, -3.0),),
}


def _weighted(values: FloatArray, sd: FloatArray) -> tuple[FloatArray, FloatArray]:
    known = np.isfinite(values[:, 0])
    return np.where(known, values.T, 0.0), np.where(known, sd**-2.0, 0.0)


def _block_entries(band: FloatArray) -> tuple[FloatArray, ...]:
    """Views of the diagonal blocks' lower triangles: rows and columns 00, 10, 20, 11, 21, 22."""
    return (
        band[0, 0::STATE],
        band[1, 0::STATE],
        band[2, 0::STATE],
        band[0, 1::STATE],
        band[1, 1::STATE],
        band[0, 2::STATE],
    )


def misfits(system: System, states: FloatArray) -> tuple[tuple[FloatArray, FloatArray], ...]:
    """(measured less computed, shape (axes, n), and weight) of positions and of speeds."""
    position, speed, acceleration = states
    if system.moments.shared:
        state, dt = system.moments.state, system.moments.offset
        position = position[:, state] + dt * speed[:, state] + dt**2 / 2 * acceleration[:, state]
        speed = speed[:, state] + dt * acceleration[:, state]
    return (
        (system.position - position, system.position_weight),
        (system.speed - speed, system.speed_weight),
    )


def jumps(step: FloatArray, states: FloatArray) -> tuple[FloatArray, FloatArray, FloatArray]:
    """By how much each state's position, speed and acceleration leave what the one before leads to."""
    position, speed, acceleration = states
    p, v, a = position[:, :-1], speed[:, :-1], acceleration[:, :-1]
    return (
        position[:, 1:] - p - step * (v + step / 2 * a),
        speed[:, 1:] - v - step * a,
        acceleration[:, 1:] - a,
    )


def times_process_precision(
    step: FloatArray, jerk_density: float, jump: tuple[FloatArray, FloatArray, FloatArray]
) -> tuple[FloatArray, FloatArray, FloatArray]:
    """The inverse of the process covariance, in closed form, times a vector at each step."""
    inverse = 1 / step
    dp, dv, da = jump[0] * inverse**2, jump[1] * inverse, jump[2]
    scale = inverse / jerk_density
    return (
        (720 * dp - 360 * dv + 60 * da) * (scale * inverse**2),
        (-360 * dp + 192 * dv - 36 * da) * (scale * inverse),
        (60 * dp - 36 * dv + 9 * da) * scale,
    )


def mean_states(system: System, factor: FloatArray, refinements: int = 1) -> FloatArray:
    """The likeliest states, shape (3, axes, states); refined, as the residual is known to full precision."""
    from scipy.linalg import cho_solve_banded

    axes, count = len(system.position), len(system.moments.at)
    # positions, speeds and accelerations lie interleaved, as the band has them
    solution = np.zeros((axes, STATE * count))
    states = solution.reshape(axes, count, STATE).transpose(2, 0, 1)
    for attempt in range(refinements + 1):
        flat = np.zeros_like(solution)
        side = flat.reshape(axes, count, STATE).transpose(2, 0, 1)
        _pull(side, system.moments, misfits(system, states))
        if attempt:  # states of zero do not jump
            step = system.step
            side[:, :, 0] -= states[:, :, 0] / FIRST_STATE[:, None] ** 2
            p, v, a = times_process_precision(step, system.jerk_density, jumps(step, states))
            side[0, :, 1:] -= p
            side[1, :, 1:] -= v
            side[2, :, 1:] -= a
            side[0, :, :-1] += p
            side[1, :, :-1] += v + step * p
            side[2, :, :-1] += a + step * (v + step / 2 * p)
        change = cho_solve_banded((factor, True), flat.T, overwrite_b=True, check_finite=False)
        solution += change.T
    return states


def _pull(side: FloatArray, moments: Moments, seen: tuple[tuple[FloatArray, FloatArray], ...]) -> None:
    """Adds what the measurements pull the states by."""
    (position, position_weight), (speed, speed_weight) = seen
    position, speed = position * position_weight, speed * speed_weight
    if not moments.shared:
        side[0] += position
        side[1] += speed
        return
    dt = moments.offset
    for axis in range(side.shape[1]):
        for row, values in enumerate(
            (position[axis], dt * position[axis] + speed[axis], dt * (dt / 2 * position[axis] + speed[axis]))
        ):
            side[row, axis] += np.bincount(moments.state, values, side.shape[2])


def _marginals(band: FloatArray, factor: FloatArray) -> tuple[FloatArray, ...]:
    """Diagonal blocks of the inverse, entries pp vp vv ap av aa, each of shape (states,).

    Eliminating everything before a state leaves Sᴸ = L Lᵀ of the factor's diagonal block; everything after
    it, the same of the mirrored system, Sᴿ. The marginal precision is Sᴸ + Sᴿ − D with D the block itself,
    which both contain.
    """
    size = band.shape[1]
    mirrored = np.zeros((size, BAND)).T
    for row in range(BAND):
        mirrored[row, : size - row] = band[row, : size - row][::-1]
    # mirrored, acceleration comes first
    aa, av, ap, vv, vp, pp = (each[::-1] for each in _squared(factorised(mirrored)))
    before, own = _squared(factor), _block_entries(band)
    pp, vp, ap, vv, av, aa = (
        one + other - both for one, other, both in zip((pp, vp, ap, vv, av, aa), before, own, strict=True)
    )
    # the inverse of each block by its factors L D Lᵀ
    l_vp, l_ap = vp / pp, ap / pp
    d_v = vv - l_vp * vp
    rest = av - l_vp * ap
    l_av = rest / d_v
    d_a = aa - l_ap * ap - l_av * rest
    below = l_vp * l_av - l_ap
    return (
        1 / pp + l_vp**2 / d_v + below**2 / d_a,
        -l_vp / d_v - below * l_av / d_a,
        1 / d_v + l_av**2 / d_a,
        below / d_a,
        -l_av / d_a,
        1 / d_a,
    )


def _squared(factor: FloatArray) -> tuple[FloatArray, ...]:
    """L Lᵀ of the diagonal blocks of a factor: entries 00, 10, 20, 11, 21, 22."""
    one, two, three, four, five, six = _block_entries(factor)
    return (
        one**2,
        one * two,
        one * three,
        two**2 + four**2,
        two * three + four * five,
        three**2 + five**2 + six**2,
    )
