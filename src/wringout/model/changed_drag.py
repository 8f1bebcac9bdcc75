"""A fitted airplane with drag that nobody flew: a belief laid on top of what was fitted."""

from dataclasses import replace

import numpy as np

from wringout.model.fit import Fit
from wringout.quantity.estimate import Estimate


def with_drag_change(fit: Fit, configuration: str, change: Estimate, seed: int) -> Fit:
    """The fit with a configuration's drag area changed by a belief, draw by draw.

    Parameters
    ----------
    fit : Fit
    configuration : str
        Whose drag changes; the reference configuration's change moves that of every other one too, so that
        nothing else may be asked of the fit that comes back.
    change : Estimate
        Drag area C_D·S added [m²], its error independent of the fit's.
    seed : int
        Of the draws of the belief.

    Returns
    -------
    Fit
        With other draws; parameters, residuals and what was flown are those of the fit.
    """
    names = [result.parameter.name for result in fit.parameters]
    own = f"drag-area change: {configuration}"
    column = names.index(own if own in names else "zero-lift drag area")
    added = change.value + (change.sd or 0.0) * np.random.default_rng(seed).standard_normal(len(fit.draws))
    draws = fit.draws.copy()
    draws[:, column] += added
    return replace(fit, draws=draws)
