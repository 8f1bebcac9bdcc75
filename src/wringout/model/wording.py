"""What a fit says of itself: whether it settled, what it set aside, what the flights could not tell."""

from collections.abc import Iterable, Sequence

import numpy as np
from numpy.typing import NDArray

from wringout.model.covariances import FAMILIES
from wringout.model.fit import ParameterResult
from wringout.model.optimum import Optimum

FloatArray = NDArray[np.float64]

SILENT = 0.10  # taught less than this: the prior stands
INSEPARABLE = 0.95  # absolute correlation beyond which two parameters act as one
UNLIKE = 1.5  # a scale beyond this, or below its inverse, is worth a word


def convergence(optimum: Optimum, settled: bool, set_aside: Sequence[str], figures: int) -> str:
    """One sentence on convergence and outliers."""
    if not optimum.converged:
        return f"the fit did not converge ({optimum.message}); do not use its figures"
    first = f"fitted to {figures} figures"
    if not settled:
        first += ", though the split between scatter and outliers had not settled when the passes ended"
    if not set_aside:
        return f"{first}; no figure disagrees with the others by more than four standard deviations"
    were = "was" if len(set_aside) == 1 else "were"
    return (
        f"{first}; {'; '.join(set_aside)} {were} set aside: more than four standard deviations from the rest"
    )


def scatter_words(scales: FloatArray, families: Sequence[str]) -> Iterable[str]:
    """One sentence for each family whose figures scatter much more or less than such figures usually do."""
    for name, scale in zip(FAMILIES, scales, strict=True):
        if name in families and not 1.0 / UNLIKE < scale < UNLIKE:
            manner = "more" if scale > 1.0 else "less"
            yield f"{name} figures scatter {manner} than usual: {scale:.1f} times the size set beforehand"


def identifiability(results: Sequence[ParameterResult], covariance: FloatArray) -> Iterable[str]:
    """Parameters of which the flights said nothing, and pairs that they could not tell apart."""
    silent = [result.parameter.name for result in results if result.taught < SILENT]
    if silent:
        yield f"the flights say next to nothing of {', '.join(silent)}: the priors stand"
    deviations = np.sqrt(np.diag(covariance))
    correlation = covariance / np.outer(deviations, deviations)
    for first in range(len(results)):
        for second in range(first):
            if abs(correlation[first, second]) > INSEPARABLE:
                one, other = results[second].parameter.name, results[first].parameter.name
                what = "ratio" if correlation[first, second] > 0.0 else "product"
                yield f"the flights fix the {what} of {one} and {other} better than either"
