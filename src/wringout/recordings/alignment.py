"""How far one log's clock is off another's, from what both measured of the same flight."""

from dataclasses import dataclass
from math import ceil, sqrt

import numpy as np
from numpy.typing import NDArray

from wringout.quantity.dimensions import Dimension
from wringout.quantity.estimate import Estimate
from wringout.recordings.recording import FloatArray, Recording

STEP = 0.5  # s between the samples that are compared
WIDTH = 2.5  # s, standard deviation of the Gaussian with which both signals are smoothed alike
LONGEST = 600.0  # s; a clock further off is a wrong zone or day, and is for people to see
LIKENESS = 0.5  # correlation of the rates that a shared signal must reach
RIVAL = 0.8  # of the best correlation; another as good far from it leaves the offset open
APART = 20.0  # s; how far from the best one a rival lies
BLOCK = 60.0  # s; rates of change further apart are separate witnesses
SHORTEST = 120.0  # s of common record
PASSES = 8
LAG_SD = 0.3  # s; by how much two instruments' own lags differ; common practice, no source

# What both logs may have measured, likest first: (channel of one, channel of the other), either way around.
HEIGHTS = (("height", "height"), ("pressure_altitude", "pressure_altitude"), ("height", "pressure_altitude"))
SPEEDS = (
    ("ground_speed", "ground_speed"),
    ("indicated_airspeed", "indicated_airspeed"),
    ("true_airspeed", "true_airspeed"),
    ("true_airspeed", "indicated_airspeed"),
    ("ground_speed", "true_airspeed"),
    ("ground_speed", "indicated_airspeed"),
)


@dataclass(frozen=True, slots=True)
class _Rate:
    """A smoothed signal's rate of change on the even grid: `known` where the log had samples around."""

    value: FloatArray
    known: NDArray[np.bool_]


@dataclass(frozen=True, slots=True)
class _Match:
    """Seconds to add, their standard deviation, and how like the signals then are."""

    offset: float
    sd: float
    likeness: float
    names: str


def clock_offset(reference: Recording, other: Recording, lag_sd: float = LAG_SD) -> Estimate | None:
    """Seconds to add to `other`'s times for its signals to fall onto those of `reference`.

    Heights (geometric or of pressure) and speeds (over the ground or through the air) that both logs have are
    compared by their rates of change: levels, calibration and a steady wind drop out. What one instrument
    lags more than the other cannot be told from its clock, and is in the uncertainty.

    Parameters
    ----------
    reference, other : Recording
        Logs of one flight, each on its own clock.
    lag_sd : float
        Standard uncertainty of the difference of the two instruments' lags. [s]

    Returns
    -------
    Estimate or None
        [s] with its standard uncertainty; None where the logs share no signal, or the signal says nothing:
        too short, too unlike, or as like at another offset more than 20 s away, or beyond ten minutes.

    Notes
    -----
    With x and y the two rates, smoothed by one Gaussian and hence band-limited, y(t) = b x(t + τ) + r. The
    cross-correlation's peak is refined to the zero of Σ ẋ r; then τ errs by Σ ẋ r / Σ ẋ ẏ. The variance of
    the sum is the larger of two: from the sums over blocks of a minute, and from the residuals' own
    autocovariance. Estimates from heights and from speeds are averaged by their variances, and where they
    disagree the standard uncertainty is stretched by the Birge ratio [GUM; common practice, no source].
    """
    shift = (other.start - reference.start).total_seconds()
    matches = [
        match for pairs in (HEIGHTS, SPEEDS) if (match := _best(reference, other, shift, pairs)) is not None
    ]
    if not matches:
        return None
    weights = np.array([match.sd**-2 for match in matches])
    offsets = np.array([match.offset for match in matches])
    mean = float(np.sum(weights * offsets) / np.sum(weights))
    spread = float(np.sum(weights * (offsets - mean) ** 2)) / max(len(matches) - 1, 1)
    sd = sqrt(max(spread, 1.0) / float(np.sum(weights)) + lag_sd**2)
    source = " and ".join(f"{match.names} (correlation {match.likeness:.2f})" for match in matches)
    return Estimate(mean, sd, Dimension.TIME, f"rates of {source}")


def _best(
    reference: Recording, other: Recording, shift: float, pairs: tuple[tuple[str, str], ...]
) -> _Match | None:
    for one, two in pairs:
        for mine, theirs in dict.fromkeys(((one, two), (two, one))):
            if mine in reference.channels and theirs in other.channels:
                match = _match(
                    (reference.time, reference.channels[mine]),
                    (other.time + shift, other.channels[theirs]),
                    f"{_words(mine)} and {_words(theirs)}" if mine != theirs else _words(mine),
                )
                if match is not None:
                    return match
    return None


def _words(channel: str) -> str:
    return channel.replace("_", " ")


def _match(
    one: tuple[FloatArray, FloatArray], two: tuple[FloatArray, FloatArray], names: str
) -> _Match | None:
    begin = min(float(one[0][0]), float(two[0][0]))
    count = ceil((max(float(one[0][-1]), float(two[0][-1])) - begin) / STEP) + 1
    if count > 1 << 19:  # days apart
        return None
    grid: FloatArray = begin + STEP * np.arange(count, dtype=np.float64)
    x, y = _rate(*one, grid), _rate(*two, grid)
    if x is None or y is None:
        return None
    start = _peak(x, y)
    return None if start is None else _refined(grid, x, y, start, names)


def _rate(time: FloatArray, values: FloatArray, grid: FloatArray) -> _Rate | None:
    from scipy.ndimage import gaussian_filter1d, minimum_filter1d

    valid = np.isfinite(values)
    if np.count_nonzero(valid) < 10:
        return None
    own, seen = time[valid], values[valid]
    after = np.clip(np.searchsorted(own, grid), 1, len(own) - 1)
    hole = own[after] - own[after - 1] > max(3 * float(np.median(np.diff(own))), 2 * WIDTH)
    known = (grid >= own[0]) & (grid <= own[-1]) & ~hole
    smooth = gaussian_filter1d(np.interp(grid, own, seen), WIDTH / STEP, order=1, mode="nearest") / STEP
    around = 2 * ceil(3 * WIDTH / STEP) + 1
    known = minimum_filter1d(known.astype(np.int8), around, mode="constant").astype(np.bool_)
    if np.count_nonzero(known) * STEP < SHORTEST or not np.any(smooth[known]):
        return None
    value = np.where(known, smooth - smooth[known].mean(), 0.0)
    return _Rate(value, known)


def _correlations(x: _Rate, y: _Rate) -> tuple[FloatArray, FloatArray]:
    """Lags [s] and the correlation at each, over the samples that both know; NaN where they are too few."""
    mask_x, mask_y = x.known.astype(np.float64), y.known.astype(np.float64)
    lags: FloatArray = STEP * np.arange(-(len(y.value) - 1), len(x.value), dtype=np.float64)
    product = _lagged(x.value, y.value)
    power = _lagged(x.value**2, mask_y) * _lagged(mask_x, y.value**2)
    shared = _lagged(mask_x, mask_y) * STEP
    least = 1e-9 * float(np.max(power))
    usable = (shared >= SHORTEST) & (power > least) & (np.abs(lags) <= LONGEST)
    likeness: FloatArray = np.where(usable, product / np.sqrt(np.maximum(power, least)), np.nan)
    return lags, likeness


def _peak(x: _Rate, y: _Rate) -> float | None:
    """The lag of the best correlation, where it is high and without a rival."""
    from scipy.ndimage import maximum_filter1d

    lags, likeness = _correlations(x, y)
    if not np.isfinite(likeness).any():
        return None
    best = int(np.nanargmax(likeness))
    if likeness[best] < LIKENESS or abs(lags[best]) > LONGEST - STEP:
        return None
    solid = np.nan_to_num(likeness, nan=-1.0)
    peaks = solid >= maximum_filter1d(solid, 2 * round(APART / STEP) + 1)
    if np.any(solid[peaks & (np.abs(lags - lags[best]) > APART)] > RIVAL * likeness[best]):
        return None
    return float(lags[best])


def _refined(grid: FloatArray, x: _Rate, y: _Rate, offset: float, names: str) -> _Match | None:
    from scipy.interpolate import CubicSpline

    curve = CubicSpline(grid, x.value)
    slope = np.gradient(y.value, STEP)
    start = offset
    for _ in range(PASSES):
        at = grid + offset
        place = np.round((at - grid[0]) / STEP).astype(np.int64)
        inside = (place >= 0) & (place < len(grid))
        both = inside & y.known & x.known[np.clip(place, 0, len(grid) - 1)]
        if np.count_nonzero(both) * STEP < SHORTEST:
            return None
        moved, rate = curve(at[both]), curve(at[both], 1)
        seen = y.value[both] - y.value[both].mean()
        moved = moved - moved.mean()
        scale = float(np.std(seen) / max(np.std(moved), 1e-12))
        residual = seen - scale * moved
        power = float(rate @ slope[both])
        if power <= 0:
            return None
        change = float(rate @ residual) / power
        offset += change
        if abs(offset - start) > APART:
            return None
        if abs(change) < 1e-4:
            break
    likeness = float(seen @ moved / np.sqrt((seen @ seen) * (moved @ moved)))
    score = np.zeros(len(grid))
    score[both] = rate * residual
    pull = np.zeros(len(grid))
    pull[both] = rate
    left = np.zeros(len(grid))
    left[both] = residual
    variance = max(_from_blocks(score), _from_autocovariance(pull, left, both))
    return _Match(offset, sqrt(variance) / power, likeness, names)


def _from_blocks(score: FloatArray) -> float:
    """Variance of a sum from the sums over blocks that are taken as independent."""
    size = round(BLOCK / STEP)
    sums = np.add.reduceat(score, np.arange(0, len(score), size))
    used = int(np.count_nonzero(sums))
    return float(np.sum(sums**2)) * used / max(used - 1, 1)


def _from_autocovariance(pull: FloatArray, left: FloatArray, known: NDArray[np.bool_]) -> float:
    """Variance of Σ pull · left where `left` is stationary: its autocovariance summed over all pairs."""
    reach = round(BLOCK / STEP)
    middle = len(left) - 1
    span = slice(middle - reach, middle + reach + 1)
    mask = known.astype(np.float64)
    pairs = np.maximum(_lagged(mask, mask)[span], 1.0)
    covariance = _lagged(left, left)[span] / pairs
    taper = 1 - np.abs(np.arange(-reach, reach + 1)) / (reach + 1)
    pulls = _lagged(pull, pull)[span]
    return float(np.sum(taper * covariance * pulls))


def _lagged(one: FloatArray, two: FloatArray) -> FloatArray:
    """Σ one(t + lag) two(t) for every lag."""
    full = len(one) + len(two) - 1
    room = 1 << (full - 1).bit_length()
    spectrum = np.fft.rfft(one, room) * np.fft.rfft(two[::-1], room)
    sums: FloatArray = np.fft.irfft(spectrum, room)[:full]
    return sums
