"""The ensemble against distributions that are known, and against the normal approximation."""

import numpy as np
import pytest

from tests.model.invented import airplane, flown_by, planned, true_vector
from wringout.model import fit
from wringout.model.sampling import sample, walk
from wringout.problems import InputError
from wringout.reduction.points import Points

MEAN = np.array([1.0, -2.0, 0.5, 10.0])
ROOT = np.array([[1.0, 0, 0, 0], [0.9, 0.3, 0, 0], [-0.5, 0.2, 2.0, 0], [0.0, 0.1, 0.4, 0.05]])
COVARIANCE = ROOT @ ROOT.T


def known(vectors: np.ndarray) -> np.ndarray:
    """A correlated normal distribution, up to a factor."""
    away = vectors - MEAN
    return np.asarray(-0.5 * np.sum(away * np.linalg.solve(COVARIANCE, away.T).T, axis=1))


def test_a_known_gaussian_comes_back_from_a_wrong_start() -> None:
    """Started twice too wide and a standard deviation off: means within three standard errors, covariances
    within a tenth of their sds' product, for an effective number of thousands.
    """
    sds = np.sqrt(np.diag(COVARIANCE))
    found = walk(known, MEAN + sds, 4.0 * COVARIANCE, seed=1, steps=6000, draws=8000)
    assert found.effective > 1000.0
    error = 3.0 / found.effective**0.5
    assert np.max(np.abs(found.draws.mean(axis=0) - MEAN) / sds) < error
    off = (np.cov(found.draws.T) - COVARIANCE) / np.outer(sds, sds)
    assert np.max(np.abs(off)) < 0.1
    assert 0.2 < found.acceptance < 0.8


def test_the_same_seed_gives_the_same_draws() -> None:
    """And another seed others."""
    one, same, other = (
        walk(known, MEAN, COVARIANCE, seed=seed, steps=1500, draws=50).draws for seed in (1, 1, 2)
    )
    np.testing.assert_array_equal(one, same)
    assert not np.array_equal(one, other)


def test_too_few_effective_draws_are_refused() -> None:
    """Sixty steps: told, with how many to take."""
    with pytest.raises(InputError, match=r"effective draws over .* Sample with [0-9]+ steps or more"):
        walk(known, MEAN, COVARIANCE, seed=1, steps=60)


def test_no_points_are_told() -> None:
    """Nothing to sample but the prior."""
    none = Points((), (), (), (), (), (), (), ())
    with pytest.raises(InputError, match="no points"):
        sample(airplane(), none, fit(airplane(), none, seed=1, draws=10), seed=1)


def test_the_airplane_in_the_air_is_nearly_normal() -> None:
    """Stalls, legs, climbs and glides: the ensemble's means within half a Laplace sd, sds within a third."""
    made, plan = airplane(), planned(field=False)
    rng = np.random.default_rng(3)
    points = flown_by(made, plan, true_vector(made, plan, rng, spread=0.3), rng)
    found = sample(made, points, fit(made, points, seed=1, draws=2000), seed=1, steps=2500)
    assert found.fit.draws.shape == (2000, len(found.comparisons))
    assert max(abs(item.shift) for item in found.comparisons) < 0.5
    assert max(abs(item.ratio - 1.0) for item in found.comparisons) < 0.33
