"""What a fit says of itself where something is odd."""

from dataclasses import replace

import numpy as np
import pytest

from tests.model.invented import airplane, flown_by, planned, true_vector
from wringout.airplane.airplane import PriorOverride, Propeller
from wringout.model import candidates, design, fit, parameters
from wringout.model.question import Question
from wringout.model.settling import groups_of
from wringout.model.wording import mending
from wringout.quantity.dimensions import Dimension
from wringout.quantity.estimate import Estimate
from wringout.reduction.points import PositionErrorCurve


def test_a_belief_that_the_flights_contradict_is_told() -> None:
    """A prior of C_Lmax at 2.1 ± 0.05 against stalls of an airplane with 2.4: named, with its side."""
    made, plan = airplane(), planned(field=False)
    rng = np.random.default_rng(2)
    points = flown_by(made, plan, true_vector(made, plan, rng, spread=0.0), rng)
    sure = airplane(priors=(PriorOverride("maximum lift coefficient: flap 45", 2.1, 0.05, "said so"),))
    told = "; ".join(fit(sure, points, seed=1).messages)
    assert "maximum lift coefficient: flap 45 comes out" in told
    assert "standard deviations above what was believed" in told
    assert "comes out" not in "; ".join(fit(made, points, seed=1).messages)


def test_stalls_with_one_flap_share_the_error_of_its_position_error_curve() -> None:
    """Two stalls of 0.3 m/s, 0.25 of it the curve's: to first order they err together by 0.25 and by 0.166
    alone, and a fit of both leaves more than that of independent ones would."""
    plan = planned(field=False)
    curve = PositionErrorCurve("45", (0.0,), ((0.25**2,),), 25.0, 15.0, 60.0, ())
    shared = replace(plan, position_error=(curve,))
    ((first, *_),) = (group.flat[-2:] for group in groups_of(airplane(), shared)[:1])
    assert np.isclose(first.noise * first.measured.value, (0.3**2 - 0.25**2) ** 0.5)
    rng = np.random.default_rng(2)
    vector = true_vector(airplane(), plan, rng, spread=0.0)
    points = flown_by(airplane(), plan, vector, rng)
    found = [
        fit(airplane(), replace(points, position_error=curves), seed=1).parameters
        for curves in ((), (curve,))
    ]
    alone, together = (
        next(row.posterior.sd for row in rows if row.parameter.name.endswith("flap 45")) for rows in found
    )
    assert (together or 0.0) > 1.1 * (alone or np.inf)


def test_every_parameter_has_a_flight_that_would_mend_it() -> None:
    """No parameter of the invented airplane, with either propeller and two pilots, is left without advice."""
    plan = planned()
    plan = replace(plan, takeoffs=(*plan.takeoffs, replace(plan.takeoffs[0], pilot="B")))
    fixed = Propeller("fixed pitch", 1.9, polar_slope=1.7, polar_intercept=-0.056)
    for made in (airplane(), airplane(propeller=fixed)):
        for prior in parameters(made, plan):
            assert "every kind" not in mending(prior.name), prior.name


@pytest.mark.parametrize(
    ("name", "kinds"),
    [
        ("maximum lift coefficient: flap 15", {"stall"}),
        ("zero-lift drag area", {"level", "climb"}),
        ("idle propeller drag area", {"glide"}),
        ("specific consumption factor", {"level"}),
        ("rolling friction: dry grass", {"take-off"}),
        ("touchdown speed ratio: short", {"landing"}),
        ("braking effort: short", {"landing"}),
        ("propeller static efficiency", {"glide", "climb"}),
        ("engine altitude drop", {"climb", "level"}),
    ],
)
def test_the_advice_is_what_the_design_would_choose(name: str, kinds: set[str]) -> None:
    """Of all candidate points the one that most narrows the parameter itself is of the kind advised."""
    made, plan = airplane(), planned()
    rng = np.random.default_rng(2)
    fitted = fit(made, flown_by(made, plan, true_vector(made, plan, rng, spread=0.0), rng), seed=1, draws=200)
    menu = candidates(made, fitted, (), "tail wheel")
    experiment = design(made, fitted, menu.points, Question("stall speed", "tail wheel", 1000.0, flap="0"))
    names = [result.parameter.name for result in fitted.parameters]
    own = replace(experiment, gradient=np.eye(len(names))[names.index(name)])
    best = min(menu.candidates, key=lambda item: own.sd_after([item.origin]))
    assert best.kind in kinds
    assert any(word in mending(name) for word in {"level": ("level", "leg")}.get(best.kind, (best.kind,)))


def test_what_the_legs_show_is_not_told_as_untaught() -> None:
    """The speed at which a governor holds the engine is read from the legs; without legs it is a gap."""
    made, plan = airplane(), planned()
    rng = np.random.default_rng(2)
    logged = replace(
        plan,
        levels=tuple(
            replace(point, engine_speed=Estimate(39.0, 0.2, Dimension.ROTATION, "tachometer"))
            for point in plan.levels
        ),
    )
    for points, told in ((logged, False), (replace(plan, levels=()), True)):
        flown = flown_by(made, points, true_vector(made, points, rng, spread=0.0), rng)
        messages = " ".join(fit(made, flown, seed=1, draws=100).messages)
        assert ("cruise engine speed" in messages) is told
