"""Brakes, pivots and steps."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.loading.airplanes import NOSE, TAIL, hauler
from wringout.airplane.airplane import Undercarriage
from wringout.undercarriage import (
    braking_limit,
    castor_to_pivot,
    climbable_step,
    step_pull,
    turn_radius,
    undercarriage_report,
)


def test_nose_wheel_braking_by_hand() -> None:
    """μ a/(L + μ h): 0.4 × 1.45/(1.80 + 0.4 × 1.3)."""
    assert float(braking_limit(NOSE, 2.00, 0.4)) == pytest.approx(0.4 * 1.45 / (1.80 + 0.52))


def test_tail_wheel_braking_ends_at_nose_over() -> None:
    """However good the grip, a tail-wheel airplane brakes at x/h at most; and the forward CG is the worse."""
    limits = braking_limit(TAIL, 2.0, np.array([0.1, 0.3, 0.8, 1.5]))
    assert float(limits[-1]) == pytest.approx(0.4 / 1.3)
    assert np.all(np.diff(limits) >= 0.0)
    assert float(limits[0]) < 0.1
    assert float(braking_limit(TAIL, 1.9, 0.8)) < float(braking_limit(TAIL, 2.1, 0.8))


def test_skis_do_not_brake_and_the_cg_must_stand_between_the_wheels() -> None:
    """Without brakes there is no braking; a CG ahead of the main wheels is refused."""
    skis = Undercarriage("skis", 1.6, 7.0, 2.2, 1.3, braking=False)
    assert float(braking_limit(skis, 2.0, 0.3)) == 0.0
    with pytest.raises(ValueError, match="must lie between the wheels"):
        braking_limit(TAIL, 1.5, 0.3)


def test_pivot_about_a_main_wheel() -> None:
    """Derived: L = 1.80 m and t = 2.3 m need atan(2L/t) = 57.4° of castor to turn on t/2."""
    needed = castor_to_pivot(NOSE)
    assert math.degrees(needed) == pytest.approx(57.43, abs=0.01)
    assert turn_radius(NOSE, needed) == pytest.approx(1.15)
    assert turn_radius(NOSE, math.radians(45.0)) == pytest.approx(1.80)
    assert turn_radius(NOSE) == pytest.approx(1.15)
    with pytest.raises(ValueError, match="must be positive"):
        turn_radius(NOSE, 0.0)


@pytest.mark.parametrize(
    ("step", "pull"), [(0.5, 296.9), (1.0, 442.6), (2.0, 705.5), (3.0, 999.2), (4.0, 1385.6)]
)
def test_step_by_statics(step: float, pull: float) -> None:
    """Derived: an 8 in wheel under 800 lb."""
    assert 800.0 * float(step_pull(8.0, step)) == pytest.approx(pull, abs=0.1)


@given(st.floats(0.05, 0.6), st.floats(0.0, 0.95))
def test_step_and_pull_are_inverse(radius: float, share: float) -> None:
    """The step that a pull can climb is the step that needs it."""
    step = share * radius
    assert float(climbable_step(radius, step_pull(radius, step))) == pytest.approx(step, abs=1e-9)


def test_steps_that_no_pull_climbs() -> None:
    """A step as high as the axle is refused; 0.3 of the load climbs 0.337 in with an 8 in wheel (derived)."""
    with pytest.raises(ValueError, match="below its axle"):
        step_pull(0.2, 0.2)
    with pytest.raises(ValueError, match="not negative"):
        climbable_step(0.2, -0.1)
    assert float(climbable_step(8.0, 0.3)) == pytest.approx(0.337, abs=1e-3)
    assert np.isnan(step_pull(0.2, np.nan))


def test_report_over_the_envelope() -> None:
    """Rows for every corner of the envelope; rules told with the worst of them."""
    airplane = hauler()
    report = undercarriage_report(airplane, "nose wheel")
    assert report.cg.shape == report.third_share.shape == (5,)
    worst = {rule.name: rule for rule in report.rules}
    assert worst["greatest nose-wheel load"].found == pytest.approx(100.0 * (2.35 - 1.80) / 1.80)
    assert not worst["greatest nose-wheel load"].holds
    assert "greatest nose-wheel load 30.6 %, asked 20 % or less" in report.sentence
    tail = undercarriage_report(airplane, "tail wheel")
    assert tail.kind == "tail wheel"
    assert {rule.unit for rule in tail.rules} == {"°"}
