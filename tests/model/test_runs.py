"""Airplane and pilot apart: habits, the best run, the typical one, and what holds nine in ten."""

from dataclasses import replace

import numpy as np
import pytest

from tests.model.invented import airplane, conditions, flown_by, origin, planned, true_vector
from wringout.model import fit, parameters, predict, runs
from wringout.model.fit import Fit
from wringout.model.question import Question
from wringout.problems import InputError
from wringout.reduction.points import Points

ROLL = Question("take-off ground roll", "tail wheel", 1010.0, flap="15", pressure_altitude=300.0)


def two_pilots(points: Points) -> Points:
    """Every second take-off and landing by B."""
    return replace(
        points,
        takeoffs=tuple(
            replace(point, pilot="AB"[number % 2]) for number, point in enumerate(points.takeoffs)
        ),
        landings=tuple(
            replace(point, pilot="AB"[number % 2]) for number, point in enumerate(points.landings)
        ),
    )


@pytest.fixture(scope="module")
def alone() -> tuple[Points, Fit]:
    """Forty take-offs of one pilot over eight days, fitted."""
    plan = planned()
    first = plan.takeoffs[0]
    many = tuple(
        replace(
            first,
            origin=origin(f"day {number // 5}", number),
            # The wind is known well, lest its error pass for the pilot's scatter.
            head_wind=replace(first.head_wind, sd=0.05),
            conditions=conditions("15", 1010.0, 300.0),
        )
        for number in range(40)
    )
    rng = np.random.default_rng(5)
    made = airplane()
    plan = replace(plan, takeoffs=many)
    points = flown_by(made, plan, true_vector(made, plan, rng, spread=0.3), rng)
    return points, fit(made, points, seed=1, draws=600)


def test_one_pilot_has_no_habits_and_two_have() -> None:
    """Of one pilot the techniques are his; of two each has three habits of take-off and five of landing."""
    single = [prior.name for prior in parameters(airplane(), planned())]
    assert not any("habit" in name for name in single)
    both = [prior.name for prior in parameters(airplane(), two_pilots(planned()))]
    for pilot in "AB":
        assert sum(name.endswith(f"habit: {pilot}") for name in both) == 8


class Silent(np.random.Generator):
    """Chance that does nothing."""

    def __init__(self) -> None:
        super().__init__(np.random.PCG64(0))

    def standard_normal(self, size: int | None = None) -> object:  # type: ignore[override]
        """Zeros."""
        return 0.0 if size is None else np.zeros(size)


def test_a_pilot_who_lifts_off_late_is_found() -> None:
    """B lifts off 8 % faster and no run scatters: his habit is found above A's by a good part of it, as
    far as the scatter to be expected lets it be believed, and his roll is the longer."""
    made, plan = airplane(), two_pilots(planned())
    rng = Silent()
    vector = true_vector(made, plan, rng, spread=0.0)
    names = [prior.name for prior in parameters(made, plan)]
    vector[names.index("lift-off speed habit: B")] = np.log(1.08)
    fitted = fit(made, flown_by(made, plan, vector, rng), seed=1, draws=400)
    found = {result.parameter.name: result.posterior.value for result in fitted.parameters}
    apart = found["lift-off speed habit: B"] - found["lift-off speed habit: A"]
    assert 0.03 < apart < 0.10
    slow, fast = (predict(made, fitted, replace(ROLL, pilot=pilot)).estimate.value for pilot in "AB")
    average = predict(made, fitted, ROLL).estimate.value
    assert slow < average < fast


def test_nine_runs_in_ten_keep_within_what_is_said(alone: tuple[Points, Fit]) -> None:
    """Forty runs of one pilot in one condition but for the wind: half within the typical, nine tenths within
    the other, each within two standard errors of the binomial."""
    points, fitted = alone
    inside: list[tuple[bool, bool]] = []
    for point in points.takeoffs:
        told = runs(
            airplane(),
            fitted,
            points,
            replace(ROLL, head_wind=point.head_wind.value, slope=point.slope.value),
        )
        assert told.mine is not None
        length = point.ground_roll.value
        inside.append((length < told.mine.typical.value, length < told.mine.nine_in_ten.value))
    half, most = np.mean(inside, axis=0)
    assert 0.34 < half < 0.66
    assert 0.80 < most <= 1.0


def test_the_best_run_at_its_own_condition_is_what_was_measured(alone: tuple[Points, Fit]) -> None:
    """Nothing has to be brought anywhere: the shortest measured roll, with its own uncertainty."""
    points, fitted = alone
    still = replace(
        points,
        takeoffs=tuple(
            replace(
                point,
                head_wind=replace(point.head_wind, value=0.0),
                slope=replace(point.slope, value=0.0),
            )
            for point in points.takeoffs
        ),
    )
    told = runs(airplane(), fitted, still, replace(ROLL, temperature=286.2))
    shortest = min(still.takeoffs, key=lambda point: point.ground_roll.value)
    assert told.best is not None
    assert told.best.origin == shortest.origin
    assert told.best.count == 40
    assert told.best.length.value == pytest.approx(shortest.ground_roll.value, rel=1e-3)
    assert told.best.length.sd == pytest.approx(shortest.ground_roll.sd, rel=0.01)


def test_an_average_pilot_is_less_certain_than_the_one_who_flew(alone: tuple[Points, Fit]) -> None:
    """From one pilot alone: the same middle, a wider spread, and more room for nine runs in ten."""
    points, fitted = alone
    told = runs(airplane(), fitted, points, ROLL)
    assert told.pilot == "A"
    assert told.mine is not None
    assert told.average.typical.value == pytest.approx(told.mine.typical.value, rel=0.02)
    assert (told.average.typical.sd or 0.0) > 1.5 * (told.mine.typical.sd or np.inf)
    assert told.average.nine_in_ten.value > 1.02 * told.mine.nine_in_ten.value
    assert told.mine.nine_in_ten.value > 1.05 * told.mine.typical.value


def test_what_cannot_be_asked_is_told(alone: tuple[Points, Fit]) -> None:
    """A pilot who did not fly, a quantity without runs; a technique not flown has no best run."""
    points, fitted = alone
    with pytest.raises(InputError, match="pilot who flew a take-off 'Z'"):
        predict(airplane(), fitted, replace(ROLL, pilot="Z"))
    with pytest.raises(InputError, match="stall speed has no runs"):
        runs(airplane(), fitted, points, Question("stall speed", "tail wheel", 1000.0))
    assert runs(airplane(), fitted, points, replace(ROLL, flap="45")).best is None
