"""How well a figure of the next flight will be known: as such figures were in the flights so far."""

from collections.abc import Sequence

import numpy as np

from wringout.model.fit import Fit
from wringout.quantity.estimate import Estimate


def relative_sd(fit: Fit, what: str, usual: float) -> float:
    """Median standard uncertainty of the figures of a kind over their values; `usual` where none was flown.

    Parameters
    ----------
    fit : Fit
    what : str
        As its residuals name the kind of figure, such as 'landing ground roll'.
    usual : float
        What logs as a rule give.
    """
    known = [sd / abs(measured.value) for measured, sd in _measured(fit, what)]
    return float(np.median(known)) if known else usual


def absolute_sd(fit: Fit, what: str, usual: float) -> float:
    """The same in the figure's unit."""
    known = [sd for _, sd in _measured(fit, what)]
    return float(np.median(known)) if known else usual


def logged(fit: Fit, what: str, among: Sequence[str]) -> bool:
    """Whether a point gives a figure: those flown did, or none of the figures `among` was flown yet."""
    flown = {residual.what for residual in fit.residuals} & set(among)
    return what in flown or not flown


def _measured(fit: Fit, what: str) -> list[tuple[Estimate, float]]:
    return [
        (residual.measured, residual.measured.sd)
        for residual in fit.residuals
        if residual.what == what and residual.measured.sd and residual.measured.value and not residual.outlier
    ]
