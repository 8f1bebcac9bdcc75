"""Long records are solved in windows, and long silences by few states: neither changes the answer."""

from dataclasses import replace

import numpy as np
import pytest
from scipy.linalg import cho_solve_banded, cholesky_banded

from wringout.recordings import smoothing
from wringout.recordings.recording import FloatArray
from wringout.recordings.smoothing import FIRST_STATE, Measured, Smoothed, part, smooth_axes, solved
from wringout.recordings.states import Moments


def flown(seed: int, count: int, period: float, missing: float) -> Measured:
    """A wandering path in two axes at uneven moments, some without a fix."""
    generator = np.random.default_rng(seed)
    time = np.cumsum(period * generator.uniform(0.8, 1.2, count))
    position = 2e4 + np.cumsum(generator.normal(0.0, 3.0, (count, 2)), axis=0)
    position[generator.random(count) < missing] = np.nan
    speed = generator.normal(0.0, 3.0, (count, 2))
    speed[generator.random(count) < 0.5] = np.nan
    return Measured(time, position, np.full(count, 1.2), speed, np.full(count, 0.4))


def worst(one: Smoothed, other: Smoothed) -> float:
    """Greatest difference of a mean or a standard deviation, in standard deviations."""
    apart = []
    for name in ("position", "speed", "acceleration"):
        sd = getattr(one, f"{name}_sd")
        apart.append(np.max(np.abs(getattr(one, name) - getattr(other, name)) / sd[:, None]))
        apart.append(np.max(np.abs(getattr(other, f"{name}_sd") / sd - 1)))
    return float(max(apart))


@pytest.mark.parametrize(("period", "missing"), [(0.2, 0.0), (1.0, 0.3), (0.03, 0.9)])
def test_windows_give_what_the_whole_gives(
    monkeypatch: pytest.MonkeyPatch, period: float, missing: float
) -> None:
    """At five hertz, with missing fixes, and with states shared by moments 0.03 s apart."""
    measured = flown(4, 16_000, period, missing)
    whole = smooth_axes(measured, 0.5)
    monkeypatch.setattr(smoothing, "WINDOW", 2000)
    sizes: list[int] = []

    def counted(measured: Measured, moments: Moments, density: float, room: FloatArray | None) -> Smoothed:
        sizes.append(len(moments.at))
        return solved(measured, moments, density, room)

    monkeypatch.setattr(smoothing, "solved", counted)
    assert worst(whole, smooth_axes(measured, 0.5)) < 1e-3
    assert len(sizes) > 2
    assert max(sizes) < len(measured.time) / 2


def test_a_long_record_is_what_the_banded_library_makes_of_it() -> None:
    """Means everywhere, and deviations at some moments, by LAPACK's banded Cholesky of the precision."""
    far = flown(8, 40_000, 0.2, 0.2)
    # near the origin, as the library's solution is not refined
    measured = replace(far, position=far.position - 2e4)
    density = 0.5
    count, dt = len(measured.time), np.diff(measured.time)
    one, none = np.ones_like(dt), np.zeros_like(dt)
    move = np.array([[one, dt, dt**2 / 2], [none, one, dt], [none, none, one]]).transpose(2, 0, 1)
    spread = density * np.array(
        [[dt**5 / 20, dt**4 / 8, dt**3 / 6], [dt**4 / 8, dt**3 / 3, dt**2 / 2], [dt**3 / 6, dt**2 / 2, dt]]
    ).transpose(2, 0, 1)
    stiff = np.linalg.inv(spread)
    blocks = np.zeros((count, 3, 3))
    blocks[0] += np.diag(FIRST_STATE**-2.0)
    blocks[1:] += stiff
    blocks[:-1] += move.transpose(0, 2, 1) @ stiff @ move
    below = -stiff @ move
    side = np.zeros((count, 3, 2))
    for row, values, sd in (
        (0, measured.position, measured.position_sd),
        (1, measured.speed, measured.speed_sd),
    ):
        weight = np.where(np.isfinite(values[:, 0]), sd**-2.0, 0.0)
        blocks[:, row, row] += weight
        side[:, row] += weight[:, None] * np.nan_to_num(values)
    band = np.zeros((6, 3 * count))
    for row in range(3):
        for column in range(row + 1):
            band[row - column, column::3] = blocks[:, row, column]
        for column in range(3):
            band[3 + row - column, column : 3 * (count - 1) : 3] = below[:, row, column]
    factor = cholesky_banded(band, lower=True)
    states = cho_solve_banded((factor, True), side.reshape(-1, 2)).reshape(count, 3, 2)
    smoothed = smooth_axes(measured, density)
    sds = (smoothed.position_sd, smoothed.speed_sd, smoothed.acceleration_sd)
    for row, means in enumerate((smoothed.position, smoothed.speed, smoothed.acceleration)):
        np.testing.assert_allclose(means, states[:, row], rtol=0.0, atol=1e-4 * sds[row].min())
        for moment in (0, 16_383, 16_384, 25_000, count - 1):
            unit = np.zeros(3 * count)
            unit[3 * moment + row] = 1.0
            variance = cho_solve_banded((factor, True), unit)[3 * moment + row]
            assert sds[row][moment] == pytest.approx(np.sqrt(variance), rel=1e-4)


def test_windows_that_cannot_agree_are_solved_whole(monkeypatch: pytest.MonkeyPatch) -> None:
    """An overlap too short for the motion's memory is noticed where the windows meet."""
    measured = flown(5, 6000, 0.2, 0.0)
    whole = smooth_axes(measured, 1e-3)
    for name, value in (("WINDOW", 1000), ("MEMORIES", 0.0), ("OVERLAP_FIXES", 4)):
        monkeypatch.setattr(smoothing, name, value)
    assert worst(whole, smooth_axes(measured, 1e-3)) == 0.0


@pytest.mark.parametrize("silence", [60.0, 900.0])
def test_a_log_that_goes_on_while_the_receiver_is_silent_changes_nothing(silence: float) -> None:
    """Empty rows at ten hertz leave the measured moments as they are, and the silence as unsure as it is."""
    time: FloatArray = np.arange(0.0, 200.0 + silence, 0.1)
    generator = np.random.default_rng(6)
    position = (0.2 * time**2 + generator.normal(0.0, 1.0, len(time)))[:, None]
    position[(time > 100.0) & (time < 100.0 + silence)] = np.nan
    ones, nothing = np.ones(len(time)), np.full_like(position, np.nan)
    measured = Measured(time, position, ones, nothing, ones)
    fixes = np.flatnonzero(np.isfinite(position[:, 0]))
    known = smooth_axes(part(measured, fixes), 0.3)
    smoothed = smooth_axes(measured, 0.3)
    np.testing.assert_allclose(smoothed.position[fixes], known.position, atol=1e-6)
    np.testing.assert_allclose(smoothed.acceleration_sd[fixes], known.acceleration_sd, rtol=1e-6)
    # one more moment in the middle of a plain gap gives the deviation there
    middle = int(np.argmin(np.abs(time - 100.0 - silence / 2)))
    with_middle = np.sort(np.append(fixes, middle))
    there = smooth_axes(part(measured, with_middle), 0.3)
    place = int(np.searchsorted(with_middle, middle))
    assert smoothed.position_sd[middle] == pytest.approx(there.position_sd[place], rel=1e-3)
    assert smoothed.position[middle, 0] == pytest.approx(
        there.position[place, 0], abs=1e-3 * there.position_sd[place]
    )
    # and its speed is the slope of its position
    np.testing.assert_allclose(
        np.gradient(smoothed.position[:, 0], time)[1500:1600], smoothed.speed[1500:1600, 0], atol=0.01
    )
