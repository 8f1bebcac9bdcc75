"""The fitted airplane: priors, posterior, residuals."""

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from wringout.quantity.dimensions import Dimension
from wringout.quantity.estimate import Estimate
from wringout.reduction.points import Origin


@dataclass(frozen=True, slots=True)
class Parameter:
    """One physical parameter with its prior; held as its logarithm in the fit where `log` is true."""

    name: str
    meaning: str
    mean: float
    sd: float
    dimension: Dimension
    log: bool
    source: str


@dataclass(frozen=True, slots=True)
class ParameterResult:
    """Prior → posterior of one parameter; `taught` = 1 − sd posterior / sd prior."""

    parameter: Parameter
    posterior: Estimate
    taught: float


@dataclass(frozen=True, slots=True)
class Residual:
    """Measured against fitted for one figure of one point, in standard deviations of the two together."""

    origin: Origin
    what: str
    measured: Estimate
    fitted: float
    standardised: float
    outlier: bool


@dataclass(frozen=True, slots=True)
class Fit:
    """Maximum a posteriori with Laplace covariance and draws.

    `draws` has shape (draws, parameters) in natural values.
    """

    parameters: tuple[ParameterResult, ...]
    optimum: NDArray[np.float64]  # in fit space, shape (parameters,)
    covariance: NDArray[np.float64]  # in fit space
    draws: NDArray[np.float64]
    residuals: tuple[Residual, ...]
    techniques: Mapping[str, tuple[str, ...]]  # "take-off" and "landing" → techniques flown
    messages: tuple[str, ...]  # convergence and identifiability in words
