"""The compiled loops of the hinge: heights' errors made independent, and the linear fits at many moments."""

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from wringout.recordings.compiled import compiled
from wringout.recordings.recording import FloatArray


class Whitening(NamedTuple):
    """What each step between heights is multiplied by, and the share of the step before taken off."""

    scale: FloatArray
    share: FloatArray


class Roll(NamedTuple):
    """Heights' times [s], distances along the roll [m]; whitened, the strip's part in each and themselves."""

    time: FloatArray
    along: FloatArray
    ones: FloatArray
    values: FloatArray
    by: Whitening


class Grid(NamedTuple):
    """Moments tried [s], distances there [m], direction of time; deviations of slope and climb a priori."""

    time: FloatArray
    along: FloatArray
    direction: int
    slope_sd: float
    rate_sd: float


class Curves(NamedTuple):
    """T, f and d of each curve, and the logarithm of its weight."""

    bend: FloatArray
    firmness: FloatArray
    floating: FloatArray
    log_weight: FloatArray


class Fits(NamedTuple):
    """By moments and curves: cost, sum of squared misfits, coefficients, variances of the first two.

    The coefficients are strip height, slope and climb rate. Cost is NaN where nothing is computed yet, and
    infinite where the airplane does not climb.
    """

    cost: FloatArray
    squares: FloatArray
    solution: FloatArray
    variance: FloatArray


@compiled
def whitening(time: FloatArray, noise: float, wander: float) -> Whitening:
    """What turns jitter [m] and random walk [m/√s] into independent errors of one.

    The steps from height to height have a tridiagonal covariance [derived]: the walk of one step and the
    jitter of both its ends, which it shares with the steps beside it.
    """
    scale, share = np.empty(len(time)), np.empty(len(time))
    scale[0], share[0] = 1 / noise, 0.0
    for row in range(1, len(time)):
        below = -(noise**2) * scale[row - 1]
        variance = wander**2 * (time[row] - time[row - 1]) + 2 * noise**2 - below**2
        scale[row] = 1 / np.sqrt(variance)
        share[row] = below * scale[row]
    return Whitening(scale, share)


@compiled
def whitened(values: FloatArray, by: Whitening) -> FloatArray:
    """One value a height with its errors made independent."""
    white = np.empty(len(values))
    white[0] = values[0] * by.scale[0]
    for row in range(1, len(values)):
        white[row] = (values[row] - values[row - 1]) * by.scale[row] - by.share[row] * white[row - 1]
    return white


@compiled
def fit(roll: Roll, grid: Grid, curves: Curves, fits: Fits, asked: NDArray[np.int64]) -> None:
    """Fits every curve at the asked moments, by index, where that was not done yet.

    Normal equations of strip height o, slope s and climb rate r in closed form, by factors L D Lᵀ.
    """
    oo = oy = yy = 0.0
    for row in range(len(roll.time)):
        oo += roll.ones[row] ** 2
        oy += roll.ones[row] * roll.values[row]
        yy += roll.values[row] ** 2
    flat, steep = grid.slope_sd**-2.0, grid.rate_sd**-2.0
    products = np.empty((6, len(curves.bend)))
    for k in asked:
        if not np.isnan(fits.cost[k, 0]):
            continue
        os, sy, ss = _products(roll, grid, curves, k, products)
        l_so = os / oo
        d_s = ss + flat - l_so * os
        z_s = sy - l_so * oy
        for c in range(len(curves.bend)):
            ro, ry, rr, rs = products[2, c], products[3, c], products[4, c], products[5, c]
            l_ro = ro / oo
            rest = rs - l_so * ro
            l_rs = rest / d_s
            d_r = rr + steep - l_ro * ro - l_rs * rest
            climb = (ry - l_ro * oy - l_rs * z_s) / d_r
            along = z_s / d_s - l_rs * climb
            ground = oy / oo - l_so * along - l_ro * climb
            # the priors are part of the equations, hence of what they leave
            left = yy - ground * oy - along * sy - climb * ry - climb**2 * steep
            fits.squares[k, c] = left - along**2 * flat
            # the linear coefficients integrated out, not only maximised: their room counts too
            cost = left + np.log(oo * d_s * d_r) - 2 * curves.log_weight[c]
            fits.cost[k, c] = cost if climb > 0 else np.inf
            fits.solution[0, k, c], fits.solution[1, k, c], fits.solution[2, k, c] = ground, along, climb
            fits.variance[0, k, c] = 1 / oo + l_so**2 / d_s + (l_so * l_rs - l_ro) ** 2 / d_r
            fits.variance[1, k, c] = 1 / d_s + l_rs**2 / d_r


@compiled
def _products(
    roll: Roll, grid: Grid, curves: Curves, k: int, products: FloatArray
) -> tuple[float, float, float]:
    """Slope times strip, heights and itself; into the products climb times strip, heights, itself and slope.

    The first two rows of the products are room for the loop.
    """
    products[:] = 0.0
    before, white, ro = products[0], products[1], products[2]
    ry, rr, rs = products[3], products[4], products[5]
    os = sy = ss = slope_before = slope = 0.0
    rising = False
    for row in range(len(roll.time)):
        since = grid.direction * (roll.time[row] - grid.time[k])
        scale, share = roll.by.scale[row], roll.by.share[row]
        one, value = roll.ones[row], roll.values[row]
        rolled = roll.along[row] - grid.along[k]  # the strip goes on beneath the airplane
        slope = (rolled - slope_before) * scale - share * slope
        slope_before = rolled
        os += one * slope
        sy += value * slope
        ss += slope * slope
        rising = rising or since > 0
        if not rising:
            continue  # all curves are still zero
        for c in range(len(curves.bend)):
            after = max(since - curves.floating[c], 0.0)
            inside = min(after, curves.bend[c])
            # u²/2T within the bend and u − T/2 after it are one: i (u − i/2)/T, i being u or at most T
            rise = inside * (after - inside / 2) * (1 - curves.firmness[c]) / curves.bend[c]
            rise += curves.firmness[c] * max(since, 0.0)
            now = (rise - before[c]) * scale - share * white[c]
            before[c] = rise
            white[c] = now
            ro[c] += one * now
            ry[c] += value * now
            rr[c] += now * now
            rs[c] += slope * now
    return os, sy, ss
