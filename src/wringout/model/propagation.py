"""Propagation of distributions by draws; the linear law is `wringout.reduction.propagation`."""

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

FloatArray = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Propagated:
    """Mean and standard deviation of an output, and the interval of the coverage asked for."""

    mean: float
    sd: float
    low: float
    high: float


def monte_carlo(
    function: Callable[[FloatArray], FloatArray], samples: FloatArray, coverage: float = 0.95
) -> Propagated:
    """Distribution of a function of uncertain inputs, from draws of the inputs.

    Parameters
    ----------
    function : callable, (draws, P) → (draws,)
    samples : ndarray, shape (draws, P)
        Draws of the inputs from their joint distribution.
    coverage : float
        Probability of the interval, the same in both tails.

    Returns
    -------
    Propagated

    Raises
    ------
    ValueError
        Fewer than a hundred draws, too few for a tail.

    Notes
    -----
    [GUM, JCGM 101, 7.6 and 7.7].
    """
    if samples.shape[0] < 100:
        raise ValueError(f"{samples.shape[0]} draws are too few to read a tail from")
    output = function(samples)
    low, high = np.quantile(output, [0.5 - coverage / 2.0, 0.5 + coverage / 2.0])
    return Propagated(float(output.mean()), float(output.std(ddof=1)), float(low), float(high))
