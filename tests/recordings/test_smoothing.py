"""The banded smoother gives what the textbook recursion gives, and its standard deviations are honest."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.typing import NDArray

from wringout.recordings import smoothing
from wringout.recordings.noise import estimate_noise
from wringout.recordings.recording import FloatArray
from wringout.recordings.smoothing import FIRST_STATE, Measured, fitted_scale, smooth_axes

LongArray = NDArray[np.longdouble]


def transition(dt: float) -> FloatArray:
    """State transition of a constant acceleration."""
    return np.array([[1.0, dt, dt**2 / 2], [0.0, 1.0, dt], [0.0, 0.0, 1.0]])


def process(dt: float, density: float) -> FloatArray:
    """Covariance of white jerk over dt."""
    return density * np.array(
        [[dt**5 / 20, dt**4 / 8, dt**3 / 6], [dt**4 / 8, dt**3 / 3, dt**2 / 2], [dt**3 / 6, dt**2 / 2, dt]]
    )


def inverse(matrix: LongArray) -> LongArray:
    """Inverse of a 3 × 3 matrix by its cofactors, which extended precision allows."""
    rows = np.stack([np.cross(matrix[(k + 1) % 3], matrix[(k + 2) % 3]) for k in range(3)], axis=1)
    result: LongArray = rows / (matrix[0] @ rows[:, 0])
    return result


def textbook(measured: Measured, density: float) -> tuple[FloatArray, FloatArray]:
    """Kalman filter forward, Rauch, Tung and Striebel's recursion backward, first axis [RTS1965].

    In extended precision, for the recursion subtracts variances of 10¹⁰ at the first moments.
    """
    wide = np.longdouble
    mean, spread = np.zeros(3, wide), np.diag(FIRST_STATE.astype(wide) ** 2)
    before, means, spreads = [], [], []
    for k in range(len(measured.time)):
        if k:
            move = transition(measured.time[k] - measured.time[k - 1]).astype(wide)
            noise = process(measured.time[k] - measured.time[k - 1], density).astype(wide)
            mean, spread = move @ mean, move @ spread @ move.T + noise
        before.append((mean, spread))
        for row, value, sd in (
            (np.array([1, 0, 0], wide), measured.position[k, 0], measured.position_sd[k]),
            (np.array([0, 1, 0], wide), measured.speed[k, 0], measured.speed_sd[k]),
        ):
            if np.isfinite(value):
                gain = spread @ row / (row @ spread @ row + wide(sd) ** 2)
                mean = mean + gain * (value - row @ mean)
                keep = np.eye(3, dtype=wide) - np.outer(gain, row)
                spread = keep @ spread @ keep.T + np.outer(gain, gain) * wide(sd) ** 2
        means.append(mean)
        spreads.append(spread)
    for k in range(len(measured.time) - 2, -1, -1):
        predicted_mean, predicted = before[k + 1]
        move = transition(measured.time[k + 1] - measured.time[k]).astype(wide)
        gain = spreads[k] @ move.T @ inverse(predicted)
        means[k] = means[k] + gain @ (means[k + 1] - predicted_mean)
        spreads[k] = spreads[k] + gain @ (spreads[k + 1] - predicted) @ gain.T
    sds = np.sqrt(np.array([np.diag(each) for each in spreads]))
    return np.array(means).astype(np.float64), sds.astype(np.float64)


def some_track(seed: int, count: int, *, speeds: bool, axes: int = 1) -> Measured:
    """A random walk in jerk at irregular moments, some of them without a measurement."""
    generator = np.random.default_rng(seed)
    time = np.cumsum(generator.uniform(0.05, 1.5, count))
    position = 300.0 + np.cumsum(generator.normal(0.0, 5.0, (count, axes)), axis=0)
    position[generator.random(count) < 0.2] = np.nan
    speed = generator.normal(0.0, 5.0, (count, axes))
    speed[generator.random(count) < (0.3 if speeds else 1.1)] = np.nan
    return Measured(
        time, position, generator.uniform(0.2, 3.0, count), speed, generator.uniform(0.1, 1.0, count)
    )


@settings(max_examples=25, deadline=None)
@given(seed=st.integers(0, 2**32 - 1), speeds=st.booleans(), density=st.sampled_from([0.01, 1.0, 30.0]))
def test_equals_the_textbook_recursion(seed: int, speeds: bool, density: float) -> None:
    """Means and standard deviations of position, speed and acceleration, at irregular moments with gaps."""
    measured = some_track(seed, 60, speeds=speeds)
    means, sds = textbook(measured, density)
    smoothed = smooth_axes(measured, density)
    for index, (value, sd) in enumerate(
        (
            (smoothed.position, smoothed.position_sd),
            (smoothed.speed, smoothed.speed_sd),
            (smoothed.acceleration, smoothed.acceleration_sd),
        )
    ):
        np.testing.assert_allclose(value[:, 0], means[:, index], atol=1e-5 * sds[:, index].max())
        np.testing.assert_allclose(sd, sds[:, index], rtol=1e-4)


def test_equals_the_dense_system() -> None:
    """The inverse of the whole precision matrix has the same diagonal, its solution the same means."""
    measured = some_track(3, 40, speeds=True)
    density = 0.7
    size = 3 * len(measured.time)
    precision, side = np.zeros((size, size)), np.zeros(size)
    precision[:3, :3] += np.diag(FIRST_STATE**-2.0)
    for k, time in enumerate(measured.time):
        for place, value, sd in (
            (3 * k, measured.position[k, 0], measured.position_sd[k]),
            (3 * k + 1, measured.speed[k, 0], measured.speed_sd[k]),
        ):
            if np.isfinite(value):
                precision[place, place] += sd**-2
                side[place] += value / sd**2
        if k:
            dt = time - measured.time[k - 1]
            both = np.hstack((-transition(dt), np.eye(3)))
            span = slice(3 * k - 3, 3 * k + 3)
            precision[span, span] += both.T @ np.linalg.inv(process(dt, density)) @ both
    states = np.linalg.solve(precision, side).reshape(-1, 3)
    sds = np.sqrt(np.diag(np.linalg.inv(precision))).reshape(-1, 3)
    smoothed = smooth_axes(measured, density)
    np.testing.assert_allclose(smoothed.position[:, 0], states[:, 0], rtol=1e-7)
    np.testing.assert_allclose(smoothed.speed[:, 0], states[:, 1], rtol=1e-5, atol=1e-5)
    np.testing.assert_allclose(
        np.stack((smoothed.position_sd, smoothed.speed_sd, smoothed.acceleration_sd), axis=1), sds, rtol=1e-6
    )


def test_axes_are_smoothed_each_for_itself() -> None:
    """Two axes that share their noise give what each gives alone."""
    both = some_track(8, 80, speeds=True, axes=2)
    together = smooth_axes(both, 0.5)
    for axis in range(2):
        alone = smooth_axes(
            Measured(
                both.time, both.position[:, [axis]], both.position_sd, both.speed[:, [axis]], both.speed_sd
            ),
            0.5,
        )
        np.testing.assert_allclose(together.position[:, axis], alone.position[:, 0], rtol=1e-9, atol=1e-9)
        np.testing.assert_allclose(together.speed_sd, alone.speed_sd, rtol=1e-9)


def test_moments_that_nearly_coincide_do_not_spoil_the_digits() -> None:
    """Two receivers' fixes a millisecond apart give what one fix of half the variance gives."""
    generator = np.random.default_rng(5)
    time = np.arange(0.0, 60.0, 0.5)
    position = (0.4 * time**2 + generator.normal(0.0, 1.0, len(time)))[:, None]
    single = Measured(
        time, position, np.full(len(time), 1 / np.sqrt(2)), np.full_like(position, np.nan), np.ones(len(time))
    )
    twice = np.sort(np.concatenate((time, time + 1e-6)))
    double = Measured(
        twice,
        np.repeat(position, 2, axis=0),
        np.ones(len(twice)),
        np.full((len(twice), 1), np.nan),
        np.ones(len(twice)),
    )
    once, both = smooth_axes(single, 1.0), smooth_axes(double, 1.0)
    np.testing.assert_allclose(both.position[::2], once.position, atol=1e-4)
    np.testing.assert_allclose(both.speed_sd[::2], once.speed_sd, rtol=1e-6)


def test_far_from_the_origin_no_digit_is_lost() -> None:
    """A track 100 km away moves by less than a millimetre against the same near the origin."""
    near = some_track(11, 400, speeds=False)
    far = Measured(near.time, near.position + 1e5, near.position_sd, near.speed, near.speed_sd)
    # the weak prior of the first state is the only thing that knows the origin
    np.testing.assert_allclose(
        smooth_axes(far, 1.0).position[50:] - 1e5, smooth_axes(near, 1.0).position[50:], atol=1e-3
    )


def test_likelihood_equals_the_innovations() -> None:
    """The likelihood differs between two densities as the filter's own innovations make it differ."""

    def by_innovations(measured: Measured, density: float) -> float:
        mean, spread = np.zeros(3), np.diag(FIRST_STATE**2)
        total = 0.0
        for k, value in enumerate(measured.position[:, 0]):
            if k:
                dt = measured.time[k] - measured.time[k - 1]
                mean = transition(dt) @ mean
                spread = transition(dt) @ spread @ transition(dt).T + process(dt, density)
            variance = spread[0, 0] + measured.position_sd[k] ** 2
            innovation = value - mean[0]
            total += -0.5 * (np.log(variance) + innovation**2 / variance)
            gain = spread[:, 0] / variance
            mean = mean + gain * innovation
            spread = spread - np.outer(gain, spread[0])
        return total

    generator = np.random.default_rng(2)
    time = np.cumsum(generator.uniform(0.2, 1.0, 120))
    position = (20 * np.sin(time / 6) + generator.normal(0.0, 0.8, len(time)))[:, None]
    plain = Measured(
        time, position, np.full(len(time), 0.8), np.full_like(position, np.nan), np.ones(len(time))
    )
    # the profile has the scale's own best value; at a scale of one the cost stands as it is
    values = []
    for density in (0.05, 0.2):
        scale, profiled = fitted_scale(plain, density)
        count = len(time)
        values.append(profiled + 0.5 * count * np.log(scale**2) - 0.5 * count * scale**2)
    expected = by_innovations(plain, 0.2) - by_innovations(plain, 0.05)
    assert values[1] - values[0] == pytest.approx(expected, abs=2e-3)


@pytest.mark.parametrize("with_speed", [False, True])
def test_noise_and_deviations_are_honest(with_speed: bool) -> None:
    """Noise is found within a tenth, and errors are as large as their standard deviations say."""
    generator = np.random.default_rng(20)
    ratios: dict[str, list[float]] = {"position": [], "speed": [], "acceleration": []}
    found = []
    for _ in range(12):
        dt = 0.2
        count = 1500
        state = np.zeros((count, 3, 2))
        for k in range(1, count):
            kick = np.linalg.cholesky(process(dt, 0.5)) @ generator.normal(size=(3, 2))
            state[k] = transition(dt) @ state[k - 1] + kick
        time: FloatArray = dt * np.arange(count, dtype=np.float64)
        position = state[:, 0] + generator.normal(0.0, 1.3, (count, 2))
        speed = state[:, 1] + generator.normal(0.0, 0.12, (count, 2))
        if not with_speed:
            speed[:] = np.nan
        measured = Measured(time, position, np.ones(count), speed, np.ones(count))
        noise = estimate_noise(measured, 0.01)
        smoothed = smooth_axes(noise.applied(measured), noise.jerk_density)
        found.append((noise.position_sd, noise.speed_sd, noise.jerk_density))
        # every fiftieth: errors are correlated over a second or so
        for name, index in (("position", 0), ("speed", 1), ("acceleration", 2)):
            value = getattr(smoothed, name)[25::50]
            sd = getattr(smoothed, f"{name}_sd")[25::50]
            ratios[name].extend(((value - state[25::50, index]) / sd[:, None]).ravel())
    position_sd, speed_sd, density = np.median(np.array(found), axis=0)
    assert position_sd == pytest.approx(1.3, rel=0.1)
    assert density == pytest.approx(0.5, rel=0.4)
    if with_speed:
        assert speed_sd == pytest.approx(0.12, rel=0.1)
    for name, errors in ratios.items():
        assert 0.9 < np.std(errors) < 1.1, name


def test_a_system_without_digits_is_no_answer(monkeypatch: pytest.MonkeyPatch) -> None:
    """Were the motion let be a million million times stiffer than a fix, there is an error and no path."""
    measured = some_track(4, 200, speeds=False)
    monkeypatch.setattr(smoothing, "DIGITS", np.inf)
    with pytest.raises(np.linalg.LinAlgError, match="digits"):
        smooth_axes(measured, 1e-30)
    with pytest.raises(np.linalg.LinAlgError, match="digits"):
        fitted_scale(measured, 1e-30)
