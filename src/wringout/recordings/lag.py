"""How late a log's speed is against its own positions: many receivers and displays filter what they write."""

from dataclasses import dataclass

import numpy as np

from wringout.recordings.recording import FloatArray

LONGEST = 4.0  # s; a filter slower than this would be no speed any more
SMALLEST = 0.1  # s; less is not worth moving samples for
SIGNIFICANT = 6.0  # standard deviations
PASSES = 4
WITNESS = 5.0  # s; the misfit waves, and samples nearer than this are one witness
DOUBTFUL = 0.3  # m/s² by which a reference acceleration must be known to be used


@dataclass(frozen=True, slots=True)
class Lag:
    """Seconds by which the logged speed is late, and their standard deviation."""

    seconds: float
    sd: float


def speed_lag(
    time: FloatArray,
    logged: FloatArray,
    reference: FloatArray,
    reference_rate: FloatArray,
    rate_sd: FloatArray,
) -> Lag:
    """The lag at which the logged speed fits best the speed that the positions alone give.

    Parameters
    ----------
    time, logged : ndarray, shape (n,)
        The log's samples, NaN where there is none. [s, m/s]
    reference, reference_rate, rate_sd : ndarray, shape (n,)
        Smoothed from the positions alone: speed, acceleration and its standard deviation. [m/s, m/s², m/s²]

    Returns
    -------
    Lag
        Zero where the record shows none that is significant, or one beyond four seconds.

    Notes
    -----
    To the first order a speed late by τ reads v − τ a: a line through misfit against acceleration, repeated
    with the reference moved by what was found.
    """
    usable = np.isfinite(logged) & np.isfinite(reference) & (rate_sd < np.median(rate_sd) + DOUBTFUL)
    if np.count_nonzero(usable) < 50:
        return Lag(0.0, np.inf)
    at, seen = time[usable], logged[usable]
    lag, sd = 0.0, np.inf
    for _ in range(PASSES):
        speed = np.interp(at - lag, time, reference)
        rate = np.interp(at - lag, time, reference_rate)
        rate = rate - rate.mean()
        misfit = seen - speed
        power = float(rate @ rate)
        if power <= 0:
            return Lag(0.0, np.inf)
        step = -float(rate @ (misfit - misfit.mean())) / power
        left = misfit - misfit.mean() + step * rate
        independent = max((at[-1] - at[0]) / (WITNESS * len(at)), 1 / len(at))
        sd = float(np.sqrt(np.mean(left**2) / (power * min(independent, 1.0))))
        lag = float(np.clip(lag + step, -LONGEST, LONGEST))
    if lag < max(SMALLEST, SIGNIFICANT * sd) or lag >= LONGEST:  # a filter is never early
        return Lag(0.0, sd)
    return Lag(lag, sd)


def advanced(time: FloatArray, logged: FloatArray, seconds: float) -> FloatArray:
    """A late speed brought back to its moments by lines between its samples; NaN beyond them and in holes."""
    valid = np.flatnonzero(np.isfinite(logged))
    if seconds == 0.0 or len(valid) < 2:
        return logged
    own = time[valid]
    moved: FloatArray = np.interp(time + seconds, own, logged[valid], left=np.nan, right=np.nan)
    after = np.clip(np.searchsorted(own, time + seconds), 1, len(own) - 1)
    hole = own[after] - own[after - 1] > 3 * float(np.median(np.diff(own)))
    moved[hole | np.isnan(logged)] = np.nan
    return moved
