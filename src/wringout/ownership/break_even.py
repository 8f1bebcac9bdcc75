"""From how much flying in a year one configuration or airplane costs less than another."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from wringout.ownership.assumptions import stated
from wringout.ownership.parts import cost_parts
from wringout.ownership.reckoning import Reckoned

FloatArray = NDArray[np.float64]

LEAST, MOST = 20.0 * 3600.0, 1500.0 * 3600.0  # s flown in a year, between which a break-even is sought
_PLACES = 160


@dataclass(frozen=True, slots=True)
class BreakEven:
    """Where two costs of a year meet, in time flown by the first [s]; None where not from 20 to 1500 h.

    `low` and `high` hold nine in ten of the draws in which they meet, which are the share `meets`. `above`
    says whether the second is the cheaper one beyond; where they never meet, whether it is so anywhere.
    """

    flown: float | None
    low: float
    high: float
    meets: float
    above: bool


def break_even(first: Reckoned, second: Reckoned, ratio: ArrayLike = 1.0) -> BreakEven:
    """Where two configurations or airplanes cost the same in a year.

    Parameters
    ----------
    first, second : Reckoned
        In one currency, of equally many draws.
    ratio : array_like, shape () or (draws,)
        Time that the second flies for the same work, over the first's: one by the hour, the ratio of speeds
        by the distance, that of speed × payload by what is carried.

    Returns
    -------
    BreakEven

    Raises
    ------
    ValueError
        The currencies differ.

    Notes
    -----
    C₁(T) = C₂(T w₁/w₂), the first change of sign on a grid, straight between its places. Without reserves
    that fall due by the calendar, and with a ratio of one, it is (F₁ − F₂)/(h₂ − h₁) [plain arithmetic].
    """
    if first.costs.currency != second.costs.currency:
        raise ValueError("costs in two currencies are not compared")
    flown = np.geomspace(LEAST, MOST, _PLACES)
    more = np.asarray(ratio, dtype=np.float64)
    middle = _difference(first, second, flown, float(np.median(more)))
    draws = _drawn_difference(first, second, flown, more)
    place = _first_crossing(flown, middle[:, np.newaxis])[0]
    places = _first_crossing(flown, draws)
    met = np.isfinite(places)
    low, high = np.quantile(places[met], [0.05, 0.95]).tolist() if met.any() else (np.nan, np.nan)
    above = bool(middle[-1] < 0.0)
    return BreakEven(float(place) if np.isfinite(place) else None, low, high, float(np.mean(met)), above)


def yearly(reckoned: Reckoned, flown: FloatArray) -> FloatArray:
    """Cost of a year at the stated assumptions where so much is flown [s], shape as `flown`."""
    parts = cost_parts(reckoned.costs, reckoned.kit, stated(reckoned.assumptions), flown=flown)
    return np.asarray(parts.total * flown)


def _difference(first: Reckoned, second: Reckoned, flown: FloatArray, ratio: float) -> FloatArray:
    """Second minus first, a year."""
    return yearly(second, flown * ratio) - yearly(first, flown)


def _drawn_difference(first: Reckoned, second: Reckoned, flown: FloatArray, ratio: FloatArray) -> FloatArray:
    column = flown[:, np.newaxis]
    other = column * np.broadcast_to(ratio, first.draws.total.shape)
    mine = cost_parts(first.costs, first.kit, first.values, flown=column).total * column
    theirs = cost_parts(second.costs, second.kit, second.values, flown=other).total * other
    return np.asarray(theirs - mine)


def _first_crossing(flown: FloatArray, difference: FloatArray) -> FloatArray:
    """Where each column first changes its sign; NaN where it does not."""
    changes = np.signbit(difference[1:]) != np.signbit(difference[:-1])
    index = np.argmax(changes, axis=0)
    column = np.arange(difference.shape[1])
    before, after = difference[index, column], difference[index + 1, column]
    share = np.divide(before, before - after, out=np.zeros_like(before), where=before != after)
    found = flown[index] + share * (flown[index + 1] - flown[index])
    return np.where(changes.any(axis=0), found, np.nan)


@dataclass(frozen=True, slots=True)
class CostLine:
    """Cost of a second flown, or of a metre, against what is flown in a year [s]; arrays of one shape.

    `median`, `low` and `high` are those of the draws, the last two holding nine in ten.
    """

    name: str
    flown: FloatArray
    median: FloatArray
    low: FloatArray
    high: FloatArray


def cost_line(reckoned: Reckoned, flown: FloatArray) -> CostLine:
    """A configuration's cost of a second against what is flown in a year [s], shape (n,)."""
    return _line(reckoned.configuration, flown, reckoned.at_hours(flown).total)


def difference_line(
    first: Reckoned, second: Reckoned, flown: FloatArray, ratio: ArrayLike = 1.0, speed: ArrayLike = 1.0
) -> CostLine:
    """What the second costs more than the first for the same work, against what the first flies in a year.

    Parameters
    ----------
    first, second, ratio
        As `break_even`.
    flown : ndarray, shape (n,)
        By the first, in a year [s].
    speed : array_like, shape () or (draws,)
        Of the first [m/s]: the line is that of a metre then; left out, of a second of the first.
    """
    more = _drawn_difference(first, second, flown, np.asarray(ratio, dtype=np.float64))
    return _line(second.configuration, flown, more / flown[:, np.newaxis] / np.asarray(speed))


def _line(name: str, flown: FloatArray, draws: FloatArray) -> CostLine:
    low, median, high = np.quantile(draws, [0.05, 0.5, 0.95], axis=1)
    return CostLine(name, flown, median, low, high)
