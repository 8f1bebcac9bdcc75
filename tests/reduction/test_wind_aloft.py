"""The wind aloft as a field: sure where measured, forgetting with time and height."""

import numpy as np
import pytest

from tests.reduction.handmade import flight
from wringout.manoeuvres.manoeuvre import Manoeuvre
from wringout.quantity.dimensions import Dimension
from wringout.quantity.estimate import Estimate
from wringout.reduction.gps_legs import FloatArray, solve
from wringout.reduction.wind_aloft import (
    WIND_SD,
    AloftWind,
    WindField,
    as_estimates,
    leg_wind,
    turn_winds,
)

MEASURED = AloftWind("legs", np.array([1000.0]), 1500.0, np.array([[6.0, -3.0]]), 0.01 * np.eye(2))


def sd_at(field: WindField, moment: float, height: float) -> float:
    """Standard uncertainty of one component at a moment and height."""
    _, covariance = field.at(np.array([moment]), np.array([height]))
    return float(np.sqrt(covariance[0, 0]))


def test_nothing_measured() -> None:
    """Without measurements the field is calm with the usual size of a wind, and false."""
    field = WindField(())
    velocity, _ = field.at(np.array([0.0]), np.array([1000.0]))
    assert velocity.tolist() == [[0.0, 0.0]]
    assert sd_at(field, 0.0, 1000.0) == pytest.approx(WIND_SD)
    assert not field


def test_measured_wind_holds_there_and_goes_stale() -> None:
    """Where it was measured the wind stands; ten minutes take 0.5 m/s of sureness, a hundred metres 0.4."""
    field = WindField((MEASURED,))
    velocity, _ = field.at(np.array([1000.0]), np.array([1500.0]))
    assert velocity[0] == pytest.approx([6.0, -3.0], abs=0.01)
    assert sd_at(field, 1000.0, 1500.0) == pytest.approx(0.1, abs=0.001)
    assert sd_at(field, 1600.0, 1500.0) == pytest.approx(np.hypot(0.1, 0.5), abs=0.02)
    assert sd_at(field, 1000.0, 1600.0) == pytest.approx(np.hypot(0.1, 0.4), abs=0.02)
    assert sd_at(field, 1000.0 + 30 * 86_400.0, 1500.0) == pytest.approx(WIND_SD, rel=0.01)


def test_neighbours_share_what_is_unknown() -> None:
    """Two manoeuvres a minute apart, two hours after the legs, share nearly all of the wind's error."""
    field = WindField((MEASURED,))
    _, covariance = field.at(np.array([8200.0, 8260.0]), np.array([1500.0, 1500.0]))
    sd = np.sqrt(np.diag(covariance))
    assert covariance[0, 2] / (sd[0] * sd[2]) > 0.97


def test_field_is_honest_about_its_own_winds() -> None:
    """Winds drawn from the field and measured with noise are predicted with errors as large as stated."""
    rng = np.random.default_rng(9)
    moments = np.array([0.0, 1500.0, 9000.0])
    heights = np.array([1500.0, 1500.0, 900.0])
    asked_moments, asked_heights = np.array([4000.0, 9600.0]), np.array([1400.0, 1000.0])
    _, prior = WindField(()).at(
        np.concatenate([moments, asked_moments]), np.concatenate([heights, asked_heights])
    )
    root = np.linalg.cholesky(prior)
    scores = []
    for _ in range(500):
        truth = (root @ rng.standard_normal(10)).reshape(5, 2)
        winds = tuple(
            AloftWind(
                "legs",
                moments[i : i + 1],
                float(heights[i]),
                truth[i : i + 1] + rng.normal(0.0, 0.2, (1, 2)),
                0.04 * np.eye(2),
            )
            for i in range(3)
        )
        velocity, covariance = WindField(winds).at(asked_moments, asked_heights)
        scores.append((velocity - truth[3:]).ravel() / np.sqrt(np.diag(covariance)))
    spread = np.std(scores, axis=0)
    assert np.all((spread > 0.9) & (spread < 1.1)), spread


def test_legs_in_a_wandering_wind_give_it_at_both_ends_and_between() -> None:
    """The first, the middle and the last wind with their covariance; the middle one stands for all."""
    time: FloatArray = np.arange(9) * np.float64(200.0)
    headings = np.radians(np.tile([0.0, 90.0, 180.0, 270.0], 3)[:9])
    wind = np.array([2.0, -4.0]) + np.outer(time, [0.001, 0.0])
    ground = 48.0 * np.column_stack([np.sin(headings), np.cos(headings)]) + wind
    legs = solve(ground[:, 0], ground[:, 1], 0.05, ["A"] * 9, time=time, wander=0.1)
    found = leg_wind("legs", legs, 5000.0, 1500.0)
    assert found.moments.tolist() == [5000.0, 5800.0, 6600.0]
    assert found.velocity == pytest.approx(wind[[0, 4, 8]], abs=0.5)
    assert found.covariance[2:4, 2:4] == pytest.approx(legs.winds_covariance[8:10, 8:10])
    assert found.covariance[:2, 4:] == pytest.approx(legs.winds_covariance[:2, 16:])
    _, direction, speed = as_estimates(found)
    assert speed.value == pytest.approx(float(np.hypot(*legs.winds[4])))
    assert direction.value == pytest.approx(
        float(np.arctan2(-legs.winds[4, 0], -legs.winds[4, 1])) % (2 * np.pi)
    )


def test_legs_in_a_steady_wind_give_one() -> None:
    """Without a wander the wind is one, at the middle of the legs."""
    headings = np.radians([0.0, 120.0, 240.0])
    ground = 48.0 * np.column_stack([np.sin(headings), np.cos(headings)]) + np.array([2.0, -4.0])
    legs = solve(ground[:, 0], ground[:, 1], 0.2, ["A"] * 3, time=[0.0, 100.0, 200.0])
    found = leg_wind("legs", legs, 5000.0, 1500.0)
    assert found.moments.tolist() == [5100.0]
    assert found.velocity == pytest.approx(np.array([[2.0, -4.0]]), abs=1e-9)


def test_turns_tell_the_wind_too() -> None:
    """A steady turn's wind joins the field at the moment and height of the turn."""
    estimates = {
        "wind_east": Estimate(5.0, 0.4, Dimension.SPEED, "turn"),
        "wind_north": Estimate(1.0, 0.4, Dimension.SPEED, "turn"),
    }
    flown = flight([], [Manoeuvre("turn", 100.0, 160.0, (), estimates)])
    (found,) = turn_winds(flown)
    assert found.velocity.tolist() == [[5.0, 1.0]]
    assert found.height == pytest.approx(412.0)
