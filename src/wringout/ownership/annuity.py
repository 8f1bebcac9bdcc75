"""Money over time: a sum spread evenly over years, and what capital costs in one of them."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

FloatArray = NDArray[np.float64]


def present_value_factor(rate: ArrayLike, years: ArrayLike) -> FloatArray:
    """What a payment of one at the end of each year is worth today.

    Parameters
    ----------
    rate : array_like, shape (...)
        Interest a year; at zero the limit holds.
    years : array_like, broadcastable
        How many; between whole years the formula is taken as it stands.

    Returns
    -------
    ndarray, shape (...)
        (1 − (1 + i)^−n)/i [s: payments]. NaN where any input is NaN.

    Raises
    ------
    ValueError
        A rate of −1 or less, or a negative time.

    Notes
    -----
    The uniform-series present-worth factor P/A [textbooks of engineering economy; from memory].

    Examples
    --------
    >>> print(f"{present_value_factor(0.10, 10):.4f}")
    6.1446
    """
    interest, time = np.asarray(rate, dtype=np.float64), np.asarray(years, dtype=np.float64)
    if np.any(interest <= -1.0) or np.any(time < 0.0):
        raise ValueError("a rate is above −100 % and a time not negative")
    tiny = np.abs(interest) < 1e-9
    safe = np.where(tiny, 1.0, interest)
    return np.where(tiny, time, -np.expm1(-time * np.log1p(safe)) / safe)


def capital_recovery_factor(rate: ArrayLike, years: ArrayLike) -> FloatArray:
    """The even yearly payment that pays back one over so many years: the inverse of `present_value_factor`.

    Arguments and errors as there; ValueError too where there are no years.

    Examples
    --------
    >>> print(f"{1000 * capital_recovery_factor(0.06, 30):.2f} a year pays back 1000 in 30 years at 6 %")
    72.65 a year pays back 1000 in 30 years at 6 %
    """
    if np.any(np.asarray(years, dtype=np.float64) <= 0.0):
        raise ValueError("nothing is paid back in no time")
    return 1.0 / present_value_factor(rate, years)


def annual_capital_cost(
    price: ArrayLike,
    value_left: ArrayLike,
    kept: ArrayLike,
    own_rate: ArrayLike,
    *,
    share: ArrayLike = 0.0,
    loan_rate: ArrayLike = 0.0,
    term: ArrayLike = 1.0,
) -> FloatArray:
    """What owning takes in an even yearly amount: interest, and the fall in value.

    Parameters
    ----------
    price : array_like, shape (...)
        Paid at the start, in any currency.
    value_left : array_like, broadcastable
        What the sale brings after `kept`, in the same currency.
    kept : array_like, broadcastable
        Until it is sold. [years]
    own_rate : array_like, broadcastable
        What one's own money would earn in a year.
    share : array_like, broadcastable
        Of the price that is borrowed.
    loan_rate : array_like, broadcastable
        Of the loan, a year.
    term : array_like, broadcastable
        In which the loan is paid back in even yearly amounts. [years]

    Returns
    -------
    ndarray, shape (...)
        In the currency, a year.

    Raises
    ------
    ValueError
        As `present_value_factor`; nothing kept, or no term.

    Notes
    -----
    All that is paid and got is brought to the first day at `own_rate` and spread over the years kept: the
    own share at once, the loan's yearly amounts as long as both last, what is still owed at the end, less the
    sale. Without a loan it is (P − S)(A/P, i, n) + S i, the textbook's capital recovery cost.

    Examples
    --------
    10 000, four years, 1 000 left, 10 % [course notes ME 353, as in tests/published/capital_cost.csv]:

    >>> print(f"{annual_capital_cost(10_000, 1_000, 4, 0.10):.0f}")
    2939
    """
    cost, sale, years = (np.asarray(item, dtype=np.float64) for item in (price, value_left, kept))
    own, owed, length = (np.asarray(item, dtype=np.float64) for item in (own_rate, share, term))
    payment = owed * cost * capital_recovery_factor(loan_rate, length)
    paid = payment * present_value_factor(own, np.minimum(length, years))
    rest = payment * present_value_factor(loan_rate, np.maximum(length - years, 0.0))
    later = np.exp(-years * np.log1p(own))
    present = (1.0 - owed) * cost + paid + (rest - sale) * later
    return np.asarray(present * capital_recovery_factor(own, years))
