"""Planning: the points that most narrow an answer, against what flying them does."""

from dataclasses import replace

import numpy as np
import pytest

from tests.model.invented import airplane, flown_by, planned, true_vector
from wringout.airplane.airplane import PriorOverride
from wringout.model import fit, next_points
from wringout.model.question import Question
from wringout.problems import InputError
from wringout.reduction.points import Points

NONE = Points((), (), (), (), (), (), (), ())
TECHNIQUES = airplane(
    priors=(
        PriorOverride("lift-off speed ratio: short", 1.1, 0.12, "planned"),
        PriorOverride("touchdown speed ratio: short", 1.12, 0.12, "planned"),
        PriorOverride("rolling friction: dry grass", 0.05, 0.015, "planned"),
    )
)


def test_a_stall_is_narrowed_by_stalls() -> None:
    """For the stall with flaps 45 the two stalls flown so lead, and take most of the variance."""
    unflown = fit(TECHNIQUES, NONE, seed=1)
    ranked = next_points(
        TECHNIQUES, unflown, planned(), Question("stall speed", "tail wheel", 1050.0, flap="45")
    )
    assert {item.origin.point for item in ranked[:2]} == {"day 2-24", "day 2-25"}
    assert ranked[0].gain > 0.8
    assert ranked[0].sd_before == pytest.approx(unflown_spread(), rel=0.1)


def unflown_spread() -> float:
    """Half of ln(1 + 0.25/2.4) of the stall speed at 1050 kg, by hand: 0.0496 × 19.95 m/s."""
    return 0.0496 * 19.95


def test_a_cruise_speed_is_not_narrowed_by_landings() -> None:
    """Full-throttle speed: the full-throttle leg leads, no landing takes more than a few per cent."""
    unflown = fit(TECHNIQUES, NONE, seed=1)
    ranked = next_points(
        TECHNIQUES,
        unflown,
        planned(),
        Question("full-throttle speed", "tail wheel", 1050.0, pressure_altitude=1200.0),
    )
    assert ranked[0].figures == ("true airspeed at full throttle", "fuel flow")
    landings = [item.gain for item in ranked if "touchdown speed" in item.figures]
    assert max(landings) < 0.1


def test_the_promise_is_kept() -> None:
    """Flying two more stalls narrows the answer as promised for one, and a little more."""
    rng = np.random.default_rng(9)
    plan = planned(field=False)
    made = airplane()
    points = flown_by(made, plan, true_vector(made, plan, rng, spread=0.0), rng)
    few = replace(points, stalls=points.stalls[:4])
    question = Question("stall speed", "tail wheel", 1050.0, flap="45")
    first = fit(made, few, seed=1)
    promised = next_points(made, first, replace(NONE, stalls=points.stalls[4:5]), question)[0]
    second = fit(made, replace(few, stalls=points.stalls[:5]), seed=1)
    kept = next_points(made, second, replace(NONE, stalls=points.stalls[4:5]), question)[0]
    assert kept.sd_before == pytest.approx(promised.sd_after, rel=0.15)


def test_a_technique_unknown_to_the_fit_is_told() -> None:
    """Candidates of a technique without parameters: the mend is a prior."""
    with pytest.raises(InputError, match="short"):
        next_points(
            airplane(),
            fit(airplane(), NONE, seed=1),
            planned(),
            Question("stall speed", "tail wheel", 1000.0),
        )


def test_nothing_planned_gives_nothing() -> None:
    """No candidates, no ranking."""
    unflown = fit(airplane(), NONE, seed=1)
    assert next_points(airplane(), unflown, NONE, Question("stall speed", "tail wheel", 1000.0)) == ()
