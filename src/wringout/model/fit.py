"""The fitted airplane: priors, posterior, residuals, and what was flown."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from wringout.quantity.dimensions import Dimension
from wringout.quantity.estimate import Estimate
from wringout.reduction.points import Origin


@dataclass(frozen=True, slots=True)
class Parameter:
    """One physical parameter with its prior; held as its logarithm in the fit where `log` is true.

    `shared` are beliefs that the prior has in common with others, by name, and the correlation with each.
    """

    name: str
    meaning: str
    mean: float
    sd: float
    dimension: Dimension
    log: bool
    source: str
    shared: tuple[tuple[str, float], ...] = ()


@dataclass(frozen=True, slots=True)
class ParameterResult:
    """Prior → posterior of one parameter; `taught` = 1 − sd posterior / sd prior."""

    parameter: Parameter
    posterior: Estimate
    taught: float


@dataclass(frozen=True, slots=True)
class Residual:
    """Measured against fitted for one figure of one point.

    `fitted` is what the fitted airplane does with the technique's median; `standardised` compares the
    measured figure with what every other figure leads to expect of it, in standard deviations of the two
    together.
    """

    origin: Origin
    what: str
    measured: Estimate
    fitted: float
    standardised: float
    outlier: bool


@dataclass(frozen=True, slots=True)
class Flown:
    """What was flown alike: how often, over which masses [kg], pressure altitudes [m], temperatures [K]."""

    kind: Literal["stall", "level", "climb", "glide", "take-off", "landing"]
    configuration: str
    flap: str
    technique: str | None
    surface: str | None
    count: int
    mass: tuple[float, float]
    pressure_altitude: tuple[float, float]
    temperature: tuple[float, float]
    cg: float  # mean [m aft of datum]


@dataclass(frozen=True, slots=True)
class Fit:
    """Maximum a posteriori with Laplace covariance and draws.

    `draws` has shape (draws, parameters) in natural values. `scatter_scales` multiply the sizes of
    `wringout.model.scatter` for 'performance', 'take-off' and 'landing' points.
    """

    parameters: tuple[ParameterResult, ...]
    optimum: NDArray[np.float64]  # in fit space, shape (parameters,)
    covariance: NDArray[np.float64]  # in fit space
    draws: NDArray[np.float64]
    residuals: tuple[Residual, ...]
    techniques: Mapping[str, tuple[str, ...]]  # "take-off" and "landing" → techniques flown
    messages: tuple[str, ...]  # convergence and identifiability in words
    flown: tuple[Flown, ...] = ()
    scatter_scales: Mapping[str, float] = field(default_factory=dict)
    height_unit: str = "m"  # in which answers' notes tell heights
    pilots: Mapping[str, tuple[str, ...]] = field(
        default_factory=dict
    )  # likewise → pilots, the most flown first
