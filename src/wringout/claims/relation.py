"""When a claim holds: its interval with rounding and tolerance, and the probability of lying in it."""

import re
from math import erf, inf, sqrt

import numpy as np
from numpy.typing import NDArray

from wringout.claims.verdict import Finding
from wringout.dossier.claim import Claim
from wringout.quantity.estimate import Estimate

_NUMBER = re.compile(r"[0-9][0-9\u0020\u00a0\u2009\u202f]*(?:\.([0-9]+))?|\.([0-9]+)")


def last_digit(claim: Claim) -> float:
    """One unit of the last printed digit of the claim's figure, SI.

    Zeros at the end count as printed: '550 sm' is a figure to one mile.

    Raises
    ------
    ValueError
        The text has no number, or the number is zero, so that its unit cannot be told.
    """
    match = _NUMBER.search(claim.value_text)
    number = float(re.sub(r"\s", "", match.group())) if match else 0.0
    if match is None or number == 0.0:
        raise ValueError(f"the figure of claim '{claim.id}' is not a number above zero: '{claim.value_text}'")
    decimals = len(match.group(1) or match.group(2) or "")
    return float(10.0**-decimals * claim.value / number)


def interval(claim: Claim) -> tuple[float, float]:
    """Lowest and highest true figure, SI, with which the claim still holds.

    Half a unit of the last printed digit is given to the maker; 'about' allows its tolerance, or one unit of
    the last digit where none is stated.
    """
    unit = last_digit(claim)
    if claim.relation == "at least":
        return claim.value - 0.5 * unit, inf
    if claim.relation == "at most":
        return -inf, claim.value + 0.5 * unit
    reach = unit if claim.tolerance is None else max(claim.tolerance, 0.5 * unit)
    return claim.value - reach, claim.value + reach


def probability(claim: Claim, figure: Estimate) -> float:
    """Probability that the claim holds, where its true figure is `figure` with a normal error.

    A figure without standard uncertainty answers 0 or 1.
    """
    low, high = interval(claim)
    if not figure.sd:
        return 1.0 if low <= figure.value <= high else 0.0
    return _normal((high - figure.value) / figure.sd) - _normal((low - figure.value) / figure.sd)


def probability_of_samples(claim: Claim, samples: NDArray[np.float64]) -> float:
    """Probability that the claim holds, from posterior samples of its true figure; never quite 0 or 1."""
    low, high = interval(claim)
    count = int(np.count_nonzero((samples >= low) & (samples <= high)))
    return (count + 0.5) / (samples.size + 1.0)


def _normal(z: float) -> float:
    return 0.5 * (1.0 + erf(z / sqrt(2.0)))


def finding(held: float) -> Finding:
    """A probability in words.

    Examples
    --------
    >>> [finding(p) for p in (0.95, 0.7, 0.5, 0.2, 0.1)]
    ['borne out', 'leaning yes', 'open', 'leaning no', 'not borne out']
    """
    if held >= 0.90:
        return "borne out"
    if held > 0.60:
        return "leaning yes"
    if held >= 0.40:
        return "open"
    return "leaning no" if held > 0.10 else "not borne out"
