"""The noise of all figures together: measurement, shared deviations, discrepancy; scales and outliers."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from wringout.model.figures import Family, Figure

FloatArray = NDArray[np.float64]
BoolArray = NDArray[np.bool_]

FAMILIES: tuple[Family, ...] = ("performance", "take-off", "landing")
SCALE_SPREAD = 0.5  # sd of ln scale before any figure was seen: sizes hold within a factor of three
OUTLIER = 4.0  # standard deviations from what every other figure leads to expect
MOST_OUTLIERS = 0.2  # share of the figures; beyond it the model is wrong, not the figures
LEAST_NOISE = 1e-5  # relative or in the figure's unit
SET_ASIDE = 1e6  # a figure set aside keeps its place with its variance multiplied by this


@dataclass(frozen=True, slots=True)
class Noise:
    """Parts of the noise covariance of N figures."""

    figures: tuple[Figure, ...]
    measured: FloatArray  # measurement and shared inputs, (N, N)
    by_family: FloatArray  # scatter and discrepancy of each of FAMILIES at scale one, (3, N, N)

    def covariance(self, scales: FloatArray, aside: BoolArray | None = None) -> FloatArray:
        """Covariance (N, N) with the scatter and discrepancy of each family multiplied by its scale.

        Figures in `aside` are given so much variance that they say nothing.
        """
        total: FloatArray = self.measured + np.tensordot(scales**2, self.by_family, axes=1)
        if aside is not None and aside.any():
            total = total + np.diag(np.where(aside, SET_ASIDE * np.diag(total), 0.0))
        return total


def noise_of(figures: tuple[Figure, ...], loadings: FloatArray, scatter: BoolArray) -> Noise:
    """The noise of figures moved by deviations: loadings (N, L) of one sd each, and which are scatter."""
    owner = owners(loadings, figures)
    family = np.array([FAMILIES.index(figure.family) for figure in figures])
    discrepancy = np.array([figure.discrepancy for figure in figures])
    # A figure stated without any uncertainty, and that nothing else moves, would be infinitely convincing.
    sd = np.maximum([figure.noise for figure in figures], LEAST_NOISE)
    inputs = loadings[:, ~scatter]
    own = [loadings[:, scatter & (owner == index)] for index in range(len(FAMILIES))]
    return Noise(
        figures,
        np.diag(sd**2) + inputs @ inputs.T,
        np.stack(
            [
                moved @ moved.T + np.diag(np.where(family == index, discrepancy, 0.0) ** 2)
                for index, moved in enumerate(own)
            ]
        ),
    )


def owners(loadings: FloatArray, figures: tuple[Figure, ...]) -> NDArray[np.int64]:
    """The family of the figures that each deviation moves most, index into FAMILIES, shape (L,)."""
    family = np.array([FAMILIES.index(figure.family) for figure in figures], dtype=np.int64)
    if loadings.shape[1] == 0:
        return np.zeros(0, dtype=np.int64)
    return np.asarray(family[np.argmax(np.abs(loadings), axis=0)], dtype=np.int64)


def scatter_scales(
    noise: Noise, aside: BoolArray, deviation: FloatArray, prior_figures: FloatArray
) -> FloatArray:
    """The scales of the three families under which the figures are most probable.

    Parameters
    ----------
    noise : Noise
    aside : ndarray of bool, shape (N,)
        Figures that do not count.
    deviation : ndarray, shape (N,)
        Measured figures less what the prior's mean predicts, to first order about the optimum.
    prior_figures : ndarray, shape (N, N)
        Covariance that the parameters' priors give the figures.

    Returns
    -------
    ndarray, shape (3,)
        1 for a family without figures.

    Notes
    -----
    Maximises the normal marginal likelihood of the figures times a log-normal prior of the scales, median 1
    and sd SCALE_SPREAD of the logarithm [derived: type-II maximum likelihood].
    """
    from scipy.linalg import cholesky, solve_triangular
    from scipy.optimize import minimize

    kept = ~aside
    present = [name in {figure.family for figure in noise.figures} for name in FAMILIES]

    def badness(logarithms: FloatArray) -> float:
        total = (noise.covariance(np.exp(logarithms)) + prior_figures)[np.ix_(kept, kept)]
        root = cholesky(total, lower=True)
        white = solve_triangular(root, deviation[kept], lower=True)
        return float(
            np.sum(np.log(np.diag(root)))
            + 0.5 * np.sum(white**2)
            + 0.5 * np.sum((logarithms / SCALE_SPREAD) ** 2)
        )

    result = minimize(badness, np.zeros(3), method="L-BFGS-B", bounds=[(-1.5, 1.5)] * 3)
    return np.where(present, np.exp(result.x), 1.0)


def expected_by_others(total: FloatArray, extra: FloatArray, deviation: FloatArray) -> FloatArray:
    """Each figure against what every other figure leads to expect of it, in standard deviations, shape (N,).

    Parameters
    ----------
    total : ndarray, shape (N, N)
        Covariance of the figures before they were seen: priors and noise.
    extra : ndarray, shape (N,)
        Variance that was added to figures set aside.
    deviation : ndarray, shape (N,)
        Measured figures less what the prior's mean predicts.

    Notes
    -----
    With Q = C⁻¹ the figure left out differs from its prediction by (Q d)ᵢ/Qᵢᵢ, with variance 1/Qᵢᵢ [derived:
    the conditional of a normal distribution]; variance added to a figure itself adds to that of its
    difference alone.
    """
    inverse = np.linalg.inv(total)
    spread = 1.0 / np.diag(inverse)
    difference = (inverse @ deviation) * spread
    return np.asarray(difference / np.sqrt(spread - extra))


def outliers(noise: Noise, scales: FloatArray, deviation: FloatArray, prior_figures: FloatArray) -> BoolArray:
    """Figures that the others cannot explain, the worst set aside first until none is left, shape (N,)."""
    aside = np.zeros(len(noise.figures), dtype=np.bool_)
    while aside.sum() < MOST_OUTLIERS * aside.size:
        z = standardised(noise, scales, aside, deviation, prior_figures)
        worst = int(np.argmax(np.where(aside, 0.0, np.abs(z))))
        if not abs(z[worst]) > OUTLIER:
            break
        aside[worst] = True
    return aside


def differences(
    noise: Noise, scales: FloatArray, aside: BoolArray, deviation: FloatArray, prior_figures: FloatArray
) -> FloatArray:
    """Each figure less what every other figure leads to expect of it, in compared space, shape (N,)."""
    total = noise.covariance(scales, aside) + prior_figures
    inverse = np.linalg.inv(total)
    return np.asarray((inverse @ deviation) / np.diag(inverse))


def standardised(
    noise: Noise, scales: FloatArray, aside: BoolArray, deviation: FloatArray, prior_figures: FloatArray
) -> FloatArray:
    """`expected_by_others` of all figures with some set aside, shape (N,)."""
    plain = noise.covariance(scales)
    total = noise.covariance(scales, aside) + prior_figures
    extra = np.diag(total) - np.diag(plain) - np.diag(prior_figures)
    return expected_by_others(total, extra, deviation)
