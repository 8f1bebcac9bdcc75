"""The compiled loops of the smoother: a chain of states, each tied to the one before and to measurements.

Eliminating states in order leaves unit lower triangles L, diagonals D and, towards the next state, blocks A:
the block Cholesky factors of the precision matrix. A row of the factors holds of one state

    L₁₀ L₂₀ L₂₁, 1/D₀ 1/D₁ 1/D₂, A by rows.
"""

import math
from typing import NamedTuple

from wringout.recordings.compiled import compiled
from wringout.recordings.recording import FloatArray
from wringout.recordings.states import IntArray

Three = tuple[float, float, float]
Six = tuple[float, float, float, float, float, float]


class Chain(NamedTuple):
    """The state of each moment, its time after that state [s], steps between states [s], jerk density.

    `prior` is the precision of the first state, shape (3,).
    """

    state: IntArray
    offset: FloatArray
    step: FloatArray
    jerk: float
    prior: FloatArray


class Seen(NamedTuple):
    """What was measured, as in `Measured`."""

    position: FloatArray
    position_sd: FloatArray
    speed: FloatArray
    speed_sd: FloatArray


@compiled
def factorise(chain: Chain, seen: Seen, factors: FloatArray) -> float:
    """Fills the factors, shape (states, 15); the log determinant, NaN where the system lost its digits."""
    last, moments = len(chain.step), len(chain.state)
    pp, vp, ap, vv, av, aa = chain.prior[0], 0.0, 0.0, chain.prior[1], 0.0, chain.prior[2]
    log_determinant = 0.0
    moment = 0
    for k in range(last + 1):
        while moment < moments and chain.state[moment] == k:
            # a moment dt after its state is seen as p + dt v + dt²/2 a, and its speed as v + dt a
            dt = chain.offset[moment]
            place = _weight(seen.position[moment, 0], seen.position_sd[moment])
            rate = _weight(seen.speed[moment, 0], seen.speed_sd[moment])
            once = dt * place
            twice = dt * once
            pp, vp, ap = pp + place, vp + once, ap + twice / 2
            vv, av, aa = vv + twice + rate, av + dt * (twice / 2 + rate), aa + dt * dt * (twice / 4 + rate)
            moment += 1
        # the process: with P the inverse of its covariance, Fᵀ P F here, −P F below, P at the next state
        h1 = h2 = h3 = h4 = h5 = 0.0
        if k < last:
            inverse = 1 / chain.step[k]
            h1 = inverse / chain.jerk
            h2 = h1 * inverse
            h3 = h2 * inverse
            h4 = h3 * inverse
            h5 = h4 * inverse
        pp, vp, ap = pp + 720 * h5, vp + 360 * h4, ap + 60 * h3
        vv, av, aa = vv + 192 * h3, av + 36 * h2, aa + 9 * h1
        i0 = 1 / pp
        l10, l20 = vp * i0, ap * i0
        d1 = vv - l10 * vp
        i1 = 1 / d1
        rest = av - l10 * ap
        l21 = rest * i1
        d2 = aa - l20 * ap - l21 * rest
        i2 = 1 / d2
        if not (pp > 0 and d1 > 0 and d2 > 0):
            return math.nan
        log_determinant += math.log(pp * d1 * d2)
        factor = factors[k]
        factor[0], factor[1], factor[2] = l10, l20, l21
        factor[3], factor[4], factor[5] = i0, i1, i2
        # rows of −P F L⁻ᵀ; over D they are A
        p0, p1, p2 = _row(l10, l20, l21, (-720 * h5, -360 * h4, -60 * h3))
        v0, v1, v2 = _row(l10, l20, l21, (360 * h4, 168 * h3, 24 * h2))
        a0, a1, a2 = _row(l10, l20, l21, (-60 * h3, -24 * h2, -3 * h1))
        factor[6], factor[7], factor[8] = p0 * i0, p1 * i1, p2 * i2
        factor[9], factor[10], factor[11] = v0 * i0, v1 * i1, v2 * i2
        factor[12], factor[13], factor[14] = a0 * i0, a1 * i1, a2 * i2
        pp = 720 * h5 - (p0 * p0 * i0 + p1 * p1 * i1 + p2 * p2 * i2)
        vp = -360 * h4 - (p0 * v0 * i0 + p1 * v1 * i1 + p2 * v2 * i2)
        ap = 60 * h3 - (p0 * a0 * i0 + p1 * a1 * i1 + p2 * a2 * i2)
        vv = 192 * h3 - (v0 * v0 * i0 + v1 * v1 * i1 + v2 * v2 * i2)
        av = -36 * h2 - (v0 * a0 * i0 + v1 * a1 * i1 + v2 * a2 * i2)
        aa = 9 * h1 - (a0 * a0 * i0 + a1 * a1 * i1 + a2 * a2 * i2)
    return log_determinant


@compiled
def _weight(value: float, sd: float) -> float:
    """Of a measurement; 0 where there is none."""
    return 0.0 if math.isnan(value) else 1 / sd**2


@compiled
def _row(l10: float, l20: float, l21: float, row: Three) -> Three:
    """A row times L⁻ᵀ."""
    second = row[1] - l10 * row[0]
    return row[0], second, row[2] - l20 * row[0] - l21 * second


@compiled
def solve(
    chain: Chain,
    seen: Seen,
    factors: FloatArray,
    rooms: tuple[FloatArray, FloatArray],
    refinements: int,
) -> None:
    """Fills the second room with the likeliest states, shape (states, axes, 3); the first has that shape too.

    Refined, as what they leave of the equations is known to full precision.
    """
    change, states = rooms
    states[:] = 0.0
    for _ in range(refinements + 1):
        _forward(chain, seen, factors, change, states)
        _backward(factors, change, states)


@compiled
def _forward(chain: Chain, seen: Seen, factors: FloatArray, change: FloatArray, states: FloatArray) -> None:
    """What the states leave of the equations, eliminated in order."""
    last, moments, axes = len(chain.step), len(chain.state), states.shape[1]
    moment = 0
    for axis in range(axes):
        for row in range(3):
            change[0, axis, row] = -chain.prior[row] * states[0, axis, row]
    for k in range(last + 1):
        while moment < moments and chain.state[moment] == k:
            dt = chain.offset[moment]
            place_weight = _weight(seen.position[moment, 0], seen.position_sd[moment])
            rate_weight = _weight(seen.speed[moment, 0], seen.speed_sd[moment])
            for axis in range(axes):
                p, v, a = states[k, axis, 0], states[k, axis, 1], states[k, axis, 2]
                if place_weight:
                    place = place_weight * (seen.position[moment, axis] - p - dt * (v + dt / 2 * a))
                    change[k, axis, 0] += place
                    change[k, axis, 1] += dt * place
                    change[k, axis, 2] += dt * dt / 2 * place
                if rate_weight:
                    rate = rate_weight * (seen.speed[moment, axis] - v - dt * a)
                    change[k, axis, 1] += rate
                    change[k, axis, 2] += dt * rate
            moment += 1
        f = factors[k]
        dt = chain.step[k] if k < last else 1.0
        for axis in range(axes):
            r0, r1, r2 = change[k, axis, 0], change[k, axis, 1], change[k, axis, 2]
            if k < last:
                p, v, a = states[k, axis, 0], states[k, axis, 1], states[k, axis, 2]
                after = (states[k + 1, axis, 0], states[k + 1, axis, 1], states[k + 1, axis, 2])
                jp, jv, ja = _pull(_jump((p, v, a), after, dt), dt, chain.jerk)
                r0 += jp
                r1 += jv + dt * jp
                r2 += ja + dt * (jv + dt / 2 * jp)
                change[k + 1, axis, 0], change[k + 1, axis, 1], change[k + 1, axis, 2] = -jp, -jv, -ja
            if k:
                g = factors[k - 1]
                z0, z1, z2 = change[k - 1, axis, 0], change[k - 1, axis, 1], change[k - 1, axis, 2]
                r0 -= g[6] * z0 + g[7] * z1 + g[8] * z2
                r1 -= g[9] * z0 + g[10] * z1 + g[11] * z2
                r2 -= g[12] * z0 + g[13] * z1 + g[14] * z2
            r1 -= f[0] * r0
            r2 -= f[1] * r0 + f[2] * r1
            change[k, axis, 0], change[k, axis, 1], change[k, axis, 2] = r0, r1, r2


@compiled
def _jump(before: Three, after: Three, dt: float) -> Three:
    """By how much a state's position, speed and acceleration leave what the one before leads to."""
    p, v, a = before
    return after[0] - p - dt * (v + dt / 2 * a), after[1] - v - dt * a, after[2] - a


@compiled
def _pull(jump: Three, dt: float, jerk: float) -> Three:
    """The inverse of the process covariance, in closed form, times a jump."""
    inverse = 1 / dt
    dp, dv, da = jump[0] * inverse * inverse, jump[1] * inverse, jump[2]
    scale = inverse / jerk
    return (
        (720 * dp - 360 * dv + 60 * da) * (scale * inverse * inverse),
        (-360 * dp + 192 * dv - 36 * da) * (scale * inverse),
        (60 * dp - 36 * dv + 9 * da) * scale,
    )


@compiled
def _backward(factors: FloatArray, change: FloatArray, states: FloatArray) -> None:
    """Solves for the change of the states, and adds it."""
    last, axes = len(factors) - 1, states.shape[1]
    for k in range(last, -1, -1):
        f = factors[k]
        for axis in range(axes):
            r0, r1, r2 = change[k, axis, 0] * f[3], change[k, axis, 1] * f[4], change[k, axis, 2] * f[5]
            if k < last:
                x0, x1, x2 = change[k + 1, axis, 0], change[k + 1, axis, 1], change[k + 1, axis, 2]
                r0 -= f[6] * x0 + f[9] * x1 + f[12] * x2
                r1 -= f[7] * x0 + f[10] * x1 + f[13] * x2
                r2 -= f[8] * x0 + f[11] * x1 + f[14] * x2
            r1 -= f[2] * r2
            r0 -= f[0] * r1 + f[1] * r2
            change[k, axis, 0], change[k, axis, 1], change[k, axis, 2] = r0, r1, r2
            states[k, axis, 0] += r0
            states[k, axis, 1] += r1
            states[k, axis, 2] += r2


@compiled
def at_moments(
    chain: Chain, factors: FloatArray, states: FloatArray, means: FloatArray, sds: FloatArray
) -> None:
    """Fills means, shape (3, axes, moments), and standard deviations, shape (3, moments).

    A state's covariance Σ follows from the next one's: Lᵀ Σ L = D⁻¹ + Aᵀ Σ' A.
    """
    last, axes = len(factors) - 1, states.shape[1]
    moment = len(chain.state) - 1
    spread = (0.0, 0.0, 0.0, 0.0, 0.0, 0.0)
    for k in range(last, -1, -1):
        spread = _spread(factors[k], spread)
        pp, vp, ap, vv, av, aa = spread
        while moment >= 0 and chain.state[moment] == k:
            dt = chain.offset[moment]
            of_position = pp + dt * (2 * vp + dt * (vv + ap + dt * (av + dt * aa / 4)))
            sds[0, moment] = math.sqrt(max(of_position, 0.0))
            sds[1, moment] = math.sqrt(max(vv + dt * (2 * av + dt * aa), 0.0))
            sds[2, moment] = math.sqrt(max(aa, 0.0))
            for axis in range(axes):
                v, a = states[k, axis, 1], states[k, axis, 2]
                means[0, axis, moment] = states[k, axis, 0] + dt * (v + dt / 2 * a)
                means[1, axis, moment] = v + dt * a
                means[2, axis, moment] = a
            moment -= 1


@compiled
def _spread(factor: FloatArray, after: Six) -> Six:
    """A state's covariance from its factors and the next one's: entries pp vp ap vv av aa."""
    pp, vp, ap, vv, av, aa = after
    p0, p1, p2 = factor[6], factor[7], factor[8]
    v0, v1, v2 = factor[9], factor[10], factor[11]
    a0, a1, a2 = factor[12], factor[13], factor[14]
    # of the last state A is zero
    x, y, z = pp * p0 + vp * v0 + ap * a0, vp * p0 + vv * v0 + av * a0, ap * p0 + av * v0 + aa * a0
    m00 = factor[3] + p0 * x + v0 * y + a0 * z
    m10 = p1 * x + v1 * y + a1 * z
    m20 = p2 * x + v2 * y + a2 * z
    x, y, z = pp * p1 + vp * v1 + ap * a1, vp * p1 + vv * v1 + av * a1, ap * p1 + av * v1 + aa * a1
    m11 = factor[4] + p1 * x + v1 * y + a1 * z
    m21 = p2 * x + v2 * y + a2 * z
    x, y, z = pp * p2 + vp * v2 + ap * a2, vp * p2 + vv * v2 + av * a2, ap * p2 + av * v2 + aa * a2
    m22 = factor[5] + p2 * x + v2 * y + a2 * z
    l10, l20, l21 = factor[0], factor[1], factor[2]
    av = m21 - l21 * m22
    vv = m11 - l21 * (m21 + av)
    ap = m20 - l10 * av - l20 * m22
    first = m10 - l21 * m20
    vp = first - l10 * vv - l20 * av
    pp = m00 - l10 * (first + vp) - l20 * (m20 + ap)
    return pp, vp, ap, vv, av, m22


@compiled
def cost(chain: Chain, seen: Seen, states: FloatArray) -> Three:
    """Sum of squared deviations that states leave, number of measurements, sum of their log variances."""
    axes = states.shape[1]
    squares, count, log_noise = 0.0, 0.0, 0.0
    for moment in range(len(chain.state)):
        k, dt = chain.state[moment], chain.offset[moment]
        place = _weight(seen.position[moment, 0], seen.position_sd[moment])
        rate = _weight(seen.speed[moment, 0], seen.speed_sd[moment])
        if place:
            count += axes
            log_noise -= axes * math.log(place)
        if rate:
            count += axes
            log_noise -= axes * math.log(rate)
        for axis in range(axes):
            p, v, a = states[k, axis, 0], states[k, axis, 1], states[k, axis, 2]
            if place:
                squares += place * (seen.position[moment, axis] - p - dt * (v + dt / 2 * a)) ** 2
            if rate:
                squares += rate * (seen.speed[moment, axis] - v - dt * a) ** 2
    for k in range(len(chain.step)):
        dt = chain.step[k]
        for axis in range(axes):
            before = (states[k, axis, 0], states[k, axis, 1], states[k, axis, 2])
            after = (states[k + 1, axis, 0], states[k + 1, axis, 1], states[k + 1, axis, 2])
            jump = _jump(before, after, dt)
            pull = _pull(jump, dt, chain.jerk)
            squares += jump[0] * pull[0] + jump[1] * pull[1] + jump[2] * pull[2]
    return squares, count, log_noise
