"""True airspeed and wind from GPS legs: Gray's worked example, the special-case formulas, honesty."""

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.model.published import printed
from wringout.problems import InputError
from wringout.reduction.gps_legs import MOST_CONDITION, FloatArray, GpsLegs, solve


def ground(airspeed: FloatArray | float, headings: FloatArray, wind: FloatArray) -> FloatArray:
    """Ground velocities (legs, 2) of legs at headings [rad] in a wind (east, north)."""
    return (airspeed * np.array([np.sin(headings), np.cos(headings)])).T + wind


def wind_from(speed: float, degrees: float) -> FloatArray:
    """Velocity (east, north) of a wind that blows from a direction."""
    return -speed * np.array([math.sin(math.radians(degrees)), math.cos(math.radians(degrees))])


def solve_vectors(
    vectors: FloatArray, sd: float = 0.1, groups: list[str] | None = None, **more: object
) -> GpsLegs:
    """`solve` on an array of ground velocities, one group unless said otherwise."""
    return solve(vectors[:, 0], vectors[:, 1], sd, groups or ["A"] * len(vectors), **more)  # type: ignore[arg-type]


def test_three_legs_in_any_direction() -> None:
    """D. Gray's example: 140/192, 112/283, 120/020 gives airspeed, wind and all three headings."""
    speed, track = np.array([140.0, 112.0, 120.0]), np.radians([192.0, 283.0, 20.0])
    legs = solve(speed * np.sin(track), speed * np.cos(track), 0.5, ["cruise"] * 3)
    headings = np.degrees(legs.heading)
    got = {
        "true airspeed": legs.true_airspeed[0],
        "wind speed": math.hypot(*legs.wind),
        "wind from": math.degrees(math.atan2(-legs.wind[0], -legs.wind[1])) % 360.0,
        "heading 1": headings[0],
        "heading 2": headings[1],
        "heading 3": headings[2],
    }
    for quantity, (value, unit) in printed("gps_legs.csv", "GP-01").items():
        assert got[quantity] == pytest.approx(value, abs=unit), quantity
    assert legs.degrees_of_freedom == 0
    assert math.isnan(legs.scatter)


@given(st.floats(20, 100), st.floats(0.5, 15), st.floats(0, 360), st.floats(0, 360))
def test_three_headings_a_third_apart_agree_with_their_formula(
    airspeed: float, wind: float, direction: float, first: float
) -> None:
    """Ground speeds alone suffice on headings 120° apart: the formula read in a mailing-list archive."""
    headings = np.radians(first + np.array([0.0, 120.0, 240.0]))
    vectors = ground(airspeed, headings, wind_from(wind, direction))
    squares = np.sum(vectors**2, axis=1)
    mean_square = float(np.mean(squares))
    unevenness = float(np.sum((squares / mean_square - 1.0) ** 2)) / 6.0
    larger = 0.5 + math.sqrt(max(0.25 - unevenness, 0.0))
    legs = solve_vectors(vectors)
    assert legs.true_airspeed[0] == pytest.approx(math.sqrt(mean_square * larger), rel=1e-6)
    assert math.hypot(*legs.wind) == pytest.approx(math.sqrt(mean_square * unevenness / larger), rel=1e-5)


@given(st.floats(30, 100), st.floats(-10, 10), st.floats(-10, 10))
def test_horseshoe_agrees_with_its_formula(airspeed: float, east: float, north: float) -> None:
    """Two opposite headings and one square to them: D. Rogers's formula on the three ground speeds."""
    vectors = ground(airspeed, np.radians([0.0, 90.0, 180.0]), np.array([east, north]))
    one, two, three = np.hypot(*vectors.T)
    mean = (one**2 + three**2) / 2.0
    bracket = ((three**2 - one**2) / 4.0) ** 2 + ((two**2 - mean) / 2.0) ** 2
    expected = math.sqrt((mean + math.sqrt(mean**2 - 4.0 * bracket)) / 2.0)
    assert solve_vectors(vectors).true_airspeed[0] == pytest.approx(expected, rel=1e-9)


def test_horseshoe_of_150_170_190() -> None:
    """Ground speeds 150, 170 and 190 mean 169.996, wind 20.000 along and −1.176 across (derived)."""
    vectors = ground(169.996, np.radians([0.0, 90.0, 180.0]), np.array([-1.176, -20.0]))
    assert np.hypot(*vectors.T) == pytest.approx([150.0, 170.0, 190.0], abs=0.002)
    legs = solve_vectors(vectors)
    assert legs.true_airspeed[0] == pytest.approx(169.996, abs=0.001)
    assert legs.wind == pytest.approx([-1.176, -20.0], abs=0.001)


def test_two_reciprocal_tracks_are_refused_as_they_hide_the_cross_wind() -> None:
    """130 kt with 20 kt across shows 128.45 both ways (derived): refused alone, right with one more leg."""
    ways = np.array([[0.0, 1.0], [0.0, -1.0]]) * math.sqrt(130.0**2 - 20.0**2)
    assert np.hypot(*ways.T) == pytest.approx([128.45, 128.45], abs=0.01)
    with pytest.raises(InputError, match="1 too few"):
        solve_vectors(ways)
    with pytest.raises(InputError, match="condition number"):
        solve_vectors(np.vstack([ways, ways]))
    third = ground(130.0, np.radians([90.0]), np.array([20.0, 0.0]))
    assert solve_vectors(np.vstack([ways, third])).true_airspeed[0] == pytest.approx(130.0)


def test_narrow_headings_are_refused_with_the_mend() -> None:
    """Legs within ± 15° of one heading leave the wind open; the message says how far and what to fly."""
    vectors = ground(50.0, np.radians([-15.0, 0.0, 15.0]), np.array([3.0, 4.0]))
    with pytest.raises(InputError) as refused:
        solve_vectors(vectors)
    (problem,) = refused.value.problems
    assert f"at most {MOST_CONDITION:.0f}" in problem.what
    assert "120° apart" in problem.mend


@settings(max_examples=50)
@given(st.floats(-math.pi, math.pi), st.integers(0, 10_000))
def test_turning_the_compass_turns_only_the_wind(turn: float, seed: int) -> None:
    """Airspeeds and their uncertainty do not depend on where north is."""
    rng = np.random.default_rng(seed)
    groups = ["A"] * 4 + ["B"] * 3
    airspeed = np.array([40.0] * 4 + [55.0] * 3)
    headings = np.radians([0.0, 80.0, 170.0, 260.0, 30.0, 150.0, 270.0])
    vectors = ground(airspeed, headings, np.array([4.0, -6.0])) + rng.normal(0.0, 0.3, (7, 2))
    rotation = np.array([[math.cos(turn), -math.sin(turn)], [math.sin(turn), math.cos(turn)]])
    plain, turned = (solve_vectors(v, 0.3, groups) for v in (vectors, vectors @ rotation.T))
    assert turned.true_airspeed == pytest.approx(plain.true_airspeed, rel=1e-7)
    assert turned.wind == pytest.approx(rotation @ plain.wind, abs=1e-6)
    assert turned.covariance[:2, :2] == pytest.approx(plain.covariance[:2, :2], rel=1e-4, abs=1e-9)


def test_a_group_of_one_leg_borrows_the_wind() -> None:
    """Once four legs have found the wind, one leg more gives another airspeed."""
    headings = np.radians([0.0, 90.0, 180.0, 270.0, 45.0])
    vectors = ground(np.array([50.0] * 4 + [62.0]), headings, np.array([5.0, 2.0]))
    legs = solve_vectors(vectors, groups=["A"] * 4 + ["B"])
    assert legs.groups == ("A", "B")
    assert legs.true_airspeed == pytest.approx([50.0, 62.0])


def test_wandering_wind_is_followed() -> None:
    """A wind that freshens by 3 m/s in half an hour is found leg by leg, the airspeed as surely as stated."""
    time = np.arange(8) * 250.0
    headings = np.radians(np.tile([0.0, 90.0, 180.0, 270.0], 2))
    wind = np.array([2.0, -4.0]) + np.outer(time, [3.0 / 1750.0, 0.001])
    vectors = ground(48.0, headings, wind)
    steady = solve_vectors(vectors)
    legs = solve_vectors(vectors, time=time, wander=0.1)
    assert abs(legs.true_airspeed[0] - 48.0) < 0.5 * np.sqrt(legs.covariance[0, 0]) < 0.25
    assert legs.wind_times == pytest.approx(time)
    assert np.mean(np.abs(legs.winds - wind)) < 0.5 * np.mean(np.abs(steady.winds - wind))
    spread = np.sqrt(np.diag(legs.winds_covariance)).reshape(-1, 2)
    assert np.all(np.abs(legs.winds - wind) < 2.0 * spread)
    assert np.mean(spread[[0, -1]]) > np.mean(spread[3:5])


def test_a_wind_that_hardly_wanders_is_a_steady_one() -> None:
    """With a vanishing wander airspeeds, mean wind and their covariance are those of a steady wind."""
    rng = np.random.default_rng(3)
    headings = np.radians([0.0, 80.0, 170.0, 260.0, 30.0])
    vectors = ground(48.0, headings, np.array([4.0, -6.0])) + rng.normal(0.0, 0.3, (5, 2))
    steady = solve_vectors(vectors, 0.3)
    still = solve_vectors(vectors, 0.3, time=np.arange(5) * 120.0, wander=1e-6)
    assert still.true_airspeed == pytest.approx(steady.true_airspeed, abs=1e-6)
    assert still.wind == pytest.approx(steady.wind, abs=1e-6)
    assert still.covariance == pytest.approx(steady.covariance, rel=1e-4, abs=1e-8)
    assert (still.degrees_of_freedom, steady.degrees_of_freedom) == (2, 2)


def test_known_airspeed_differences_between_legs_are_taken_out() -> None:
    """A leg flown 2 m/s fast by the indicator does not bend the wind."""
    headings = np.radians([0.0, 120.0, 240.0])
    offset = np.array([2.0, -1.0, -1.0])
    vectors = ground(50.0 + offset, headings, np.array([6.0, 1.0]))
    assert solve_vectors(vectors).wind != pytest.approx([6.0, 1.0], abs=0.5)
    legs = solve_vectors(vectors, airspeed_offset=offset)
    assert legs.wind == pytest.approx([6.0, 1.0])
    assert legs.true_airspeed[0] == pytest.approx(50.0)


@pytest.mark.parametrize(
    ("changed", "message"),
    [
        ({"sd": 0.0}, "positive"),
        ({"groups": ["A"]}, "differ in length"),
        ({"wander": 1.0}, "needs the time"),
        ({"time": np.zeros(2), "wander": 1.0}, "each leg needs its time"),
        ({"time": np.arange(3.0), "wander": 0.0}, "must be positive"),
    ],
)
def test_nonsense_is_refused(changed: dict[str, object], message: str) -> None:
    """Lengths that do not match and uncertainties that are not positive never give a number."""
    vectors = ground(50.0, np.radians([0.0, 120.0, 240.0]), np.array([6.0, 1.0]))
    arguments: dict[str, object] = {"sd": 0.1, "groups": ["A"] * 3, **changed}
    with pytest.raises(ValueError, match=message):
        solve(vectors[:, 0], vectors[:, 1], **arguments)  # type: ignore[arg-type]


@given(
    st.lists(
        st.tuples(st.floats(-120, 120), st.floats(-120, 120), st.sampled_from("AB")), min_size=1, max_size=9
    ),
    st.booleans(),
)
def test_any_velocities_are_solved_or_refused(rows: list[tuple[float, float, str]], wandering: bool) -> None:
    """Whatever a log holds, the answer is finite with its uncertainty, or it is refused in words."""
    vectors = np.array([row[:2] for row in rows])
    groups = [row[2] for row in rows]
    more: dict[str, object] = {"time": np.arange(len(rows)) * 90.0, "wander": 0.02} if wandering else {}
    try:
        legs = solve_vectors(vectors, 0.3, groups, **more)
    except InputError:
        return
    assert np.all(np.isfinite(legs.true_airspeed))
    assert np.all(np.linalg.eigvalsh(legs.covariance) > 0.0)


def test_stated_uncertainty_is_honest() -> None:
    """Over many noisy days with a wandering wind, errors of airspeeds and winds are as large as stated."""
    rng = np.random.default_rng(11)
    groups = [name for name in "ABC" for _ in range(4)]
    truth = np.array([38.0, 46.0, 55.0])
    airspeed = np.repeat(truth, 4)
    headings = np.radians(np.tile([20.0, 110.0, 200.0, 290.0], 3))
    time = np.arange(12) * 120.0
    wander = 0.03
    scores = []
    for _ in range(400):
        steps = rng.normal(0.0, wander * np.sqrt(120.0), (11, 2))
        wind = rng.normal(0.0, 6.0, 2) + np.vstack([np.zeros(2), np.cumsum(steps, axis=0)])
        vectors = ground(airspeed, headings + rng.normal(0.0, 0.1, 12), wind)
        vectors += rng.normal(0.0, 0.4, vectors.shape)
        legs = solve_vectors(vectors, 0.4, groups, time=time, wander=wander)
        mean = (np.append(legs.true_airspeed, legs.wind) - np.append(truth, wind.mean(axis=0))) / np.sqrt(
            np.diag(legs.covariance)
        )
        each = (legs.winds - wind).ravel() / np.sqrt(np.diag(legs.winds_covariance))
        scores.append(np.append(mean, each))
    spread = np.std(np.array(scores), axis=0)
    assert np.all((spread > 0.88) & (spread < 1.12)), spread  # three standard errors of 400 days
    assert np.mean(spread) == pytest.approx(1.0, abs=0.05)
