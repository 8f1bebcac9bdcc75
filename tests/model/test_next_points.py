"""Planning: the points that most narrow an answer, against what flying them does."""

from dataclasses import replace

import numpy as np
import pytest

from tests.model.invented import airplane, flown_by, planned, true_vector
from wringout.airplane.airplane import PriorOverride
from wringout.dossier.dossier import Strip
from wringout.model import candidates, design, fit, next_points, predict, sortie
from wringout.model.candidates import Limits
from wringout.model.next_points import Design
from wringout.model.question import Question
from wringout.problems import InputError
from wringout.reduction.points import Origin, Points

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


A, B, C = (Origin("plan", name, "", 0.0, 0.0) for name in "ABC")


def by_hand() -> Design:
    """Two parameters of variance 4 and 1; the answer is the first. A measures it with sd 2, B the sum of both
    with sd 1, C the second alone with sd 1."""
    return Design(
        covariance=np.diag([4.0, 1.0]),
        slopes=np.array([[1.0, 0.0], [1.0, 1.0], [0.0, 1.0]]),
        noise=np.diag([4.0, 1.0, 1.0]),
        gradient=np.array([1.0, 0.0]),
        owners=(A, B, C),
    )


def test_a_case_solved_by_hand() -> None:
    """Variances of the answer, by hand: 4; after A 4 − 16/8 = 2; after B 4 − 16/6 = 4/3; after C still 4;
    after B and C with S = ((6, 1), (1, 2)): 4 − 16 · 2/11 = 12/11; after A and B, precisions 1/2 and, as B
    sees the first with variance 2, 1/2: 1."""
    made = by_hand()
    assert made.sd**2 == pytest.approx(4.0)
    assert made.sd_after([A]) ** 2 == pytest.approx(2.0)
    assert made.sd_after([B]) ** 2 == pytest.approx(4.0 / 3.0)
    assert made.sd_after([C]) ** 2 == pytest.approx(4.0)
    assert made.sd_after([B, C]) ** 2 == pytest.approx(12.0 / 11.0)
    assert made.sd_after([A, B]) ** 2 == pytest.approx(1.0)


def test_an_error_that_two_points_share_is_counted_once() -> None:
    """Two looks at the answer that share all of their error tell no more than one."""
    made = replace(
        by_hand(), slopes=np.array([[1.0, 0.0]] * 3), noise=np.full((3, 3), 4.0) + 1e-9 * np.eye(3)
    )
    assert made.sd_after([A, B, C]) == pytest.approx(made.sd_after([A]), rel=1e-6)


def test_a_sortie_counts_minutes_and_what_was_told_before() -> None:
    """B takes 2 − 1.155 in 4 minutes, A 2 − 1.414 in 2: A first by the minute, then B from 1.414 to 1.

    C alone tells nothing at first, and afterwards less than B; in 5 minutes there is only room for A.
    """
    times = {A: 120.0, B: 240.0, C: 60.0}
    full = sortie(by_hand(), times, 480.0)
    assert [step.origin.point for step in full] == ["A", "B", "C"]
    assert [step.sd_after for step in full[:2]] == pytest.approx([2.0**0.5, 1.0])
    assert full[0].per_minute == pytest.approx((2.0 - 2.0**0.5) / 2.0)
    assert [step.origin.point for step in sortie(by_hand(), times, 300.0)] == ["A"]
    assert sortie(by_hand(), times, 30.0) == ()


def test_what_no_point_takes_away_stays() -> None:
    """With a lasting sd of 1.5 beside what points narrow: √(4 + 2.25) = 2.5, after A √(2 + 2.25), and the
    sortie says the same, step by step."""
    made = replace(by_hand(), lasting=1.5)
    assert made.sd == pytest.approx(2.5)
    assert made.sd_after([A]) == pytest.approx(4.25**0.5)
    steps = sortie(made, {A: 120.0, B: 120.0, C: 120.0}, 600.0)
    flown = [step.origin for step in steps]
    assert [step.sd_after for step in steps] == pytest.approx(
        [made.sd_after(flown[: count + 1]) for count in range(len(flown))]
    )


def test_what_lasts_is_what_is_stated_of_the_model() -> None:
    """The stall speed's discrepancy is 0.6 per cent in a manoeuvre, six tenths of it in every one; nothing
    else of its spread would stay if all parameters were known."""
    unflown = fit(airplane(), NONE, seed=1)
    made = design(airplane(), unflown, planned(field=False), Question("stall speed", "tail wheel", 1050.0))
    reach = 2.0  # no stall was flown: the discrepancy is doubled
    assert made.lasting == pytest.approx(0.006 * 0.6 * reach * 20.0, rel=0.1)


def test_points_are_expected_to_be_known_as_well_as_those_flown() -> None:
    """Of eight landing rolls two are known to three tenths, the rest to 27 thousandths: the median is that.

    With six poor ones it is three tenths; with none what logs as a rule give; power where it was logged.
    """
    rng = np.random.default_rng(2)
    made, plan = airplane(), planned()
    points = flown_by(made, plan, true_vector(made, plan, rng, spread=0.0), rng)

    def expected(poor: int) -> float:
        landings = tuple(
            replace(point, ground_roll=replace(point.ground_roll, sd=0.3 * point.ground_roll.value))
            if number < poor
            else replace(point, ground_roll=replace(point.ground_roll, sd=0.027 * point.ground_roll.value))
            for number, point in enumerate(points.landings)
        )
        fitted = fit(made, replace(points, landings=landings), seed=1, draws=50)
        menu = candidates(made, fitted, (), "tail wheel", Limits(kinds=("landing",)))
        roll = menu.points.landings[0].ground_roll
        return (roll.sd or 0.0) / roll.value

    assert expected(2) == pytest.approx(0.027)
    assert expected(6) == pytest.approx(0.3)
    unflown = candidates(TECHNIQUES, fit(TECHNIQUES, NONE, seed=1), (), "tail wheel")
    assert {point.ground_roll.sd for point in unflown.points.landings} == {3.0}
    without = replace(points, levels=tuple(replace(point, power=None) for point in points.levels))
    menu = candidates(made, fit(made, without, seed=1, draws=50), (), "tail wheel")
    assert all(point.power is None and point.fuel_flow is not None for point in menu.points.levels)


def test_limits_are_kept() -> None:
    """No point above the highest altitude, none of a kind left out; no stall where it could not be recovered
    3000 ft above ground; no room at all is told."""
    unflown = fit(TECHNIQUES, NONE, seed=1)
    low = candidates(TECHNIQUES, unflown, (), "tail wheel", Limits(mass=900.0, highest=800.0))
    assert max(item.height for item in low.candidates if item.height is not None) <= 800.0
    assert {item.kind for item in low.candidates} == {"level", "climb", "glide", "take-off", "landing"}
    assert {point.conditions.mass.value for point in low.points.climbs} == {900.0}
    only = candidates(TECHNIQUES, unflown, (), "tail wheel", Limits(kinds=("glide",)))
    assert {item.kind for item in only.candidates} == {"glide"}
    with pytest.raises(InputError, match="no room"):
        candidates(TECHNIQUES, unflown, (), "tail wheel", Limits(highest=100.0))


def test_ground_on_which_nobody_rolled_is_believed_as_in_its_table() -> None:
    """For a first take-off from gravel, take-offs from there take away more than any other point."""
    strip = Strip("quarry", 300.0, 500.0, 0.0, 0.0, "gravel", 0.0, 0.0, False, "")
    unflown = fit(airplane(), NONE, seed=1)
    menu = candidates(airplane(), unflown, (strip,), "tail wheel")
    question = Question("take-off ground roll", "tail wheel", 1050.0, surface="gravel")
    made = design(airplane(), unflown, menu.points, question)
    after = {item.origin: made.sd_after([item.origin]) for item in menu.candidates}
    best = min(menu.candidates, key=lambda item: after[item.origin])
    assert (best.kind, best.strip) == ("take-off", "quarry")
    assert made.sd == pytest.approx(predict(airplane(), unflown, question).estimate.sd, rel=0.25)


def test_a_sortie_of_the_invented_airplane_keeps_its_limits() -> None:
    """Best climb: climbs lead, no speed beyond nine tenths of the never-exceed speed, all in the time given.

    The first two chosen take at least three quarters of the variance that the best of all pairs takes: what
    greedy choice of two is bound to where gains diminish, 1 − (1 − 1/2)² [Nemhauser, Wolsey and Fisher 1978,
    from memory].
    """
    made = replace(TECHNIQUES, never_exceed_speed=60.0)
    unflown = fit(made, NONE, seed=1)
    menu = candidates(made, unflown, (), "tail wheel")
    assert max(item.speed for item in menu.candidates if item.speed is not None) <= 54.0
    experiment = design(
        made, unflown, menu.points, Question("rate of climb", "tail wheel", 1050.0, pressure_altitude=1000.0)
    )
    times = {item.origin: item.time for item in menu.candidates}
    steps = sortie(experiment, times, 1800.0)
    kinds = {item.origin: item.kind for item in menu.candidates}
    assert kinds[steps[0].origin] == "climb"
    assert sum(step.time for step in steps) <= 1800.0
    alike = [origin for origin, kind in kinds.items() if kind == "climb"]
    best = min(experiment.sd_after([one, other]) for one in alike for other in alike if one is not other)
    greedy = sortie(experiment, dict.fromkeys(alike, 240.0), 480.0)
    assert len(greedy) == 2
    assert experiment.sd**2 - greedy[-1].sd_after ** 2 > 0.75 * (experiment.sd**2 - best**2)
