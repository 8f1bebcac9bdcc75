"""Propeller and tail against the ground."""

import math
from dataclasses import replace

import numpy as np
import pytest

from tests.loading.airplanes import NOSE, TAIL, hauler
from tests.undercarriage.printed import example
from wringout.airplane.airplane import Propeller, Undercarriage
from wringout.undercarriage import (
    nose_down_to_touch,
    propeller_clearances,
    spread_of,
    tail_down_to_touch,
    tip_angle,
    undercarriage_report,
    undercarriage_rules,
)
from wringout.undercarriage.clearance import NOSE_WHEEL_CLEARANCE, TAIL_WHEEL_CLEARANCE

INCH = 0.0254
TRICYCLE = Undercarriage(
    "nose wheel",
    main_arm=1.5,
    third_arm=-0.5,
    track=2.2,
    cg_height=1.1,
    thrust_line_height=1.25,
    main_static_deflection=0.10,
    third_static_deflection=0.06,
    main_flat_drop=0.20,
    third_flat_drop=0.15,
    tail_low_arm=5.5,
    tail_low_height=0.8,
)
CONVENTIONAL = Undercarriage(
    "tail wheel",
    0.5,
    5.3,
    2.1,
    1.2,
    thrust_line_height=1.35,
    ground_attitude=math.radians(12.0),
    main_flat_drop=0.2,
)


@pytest.mark.parametrize(
    ("case", "ours"), [("LG-02a", NOSE_WHEEL_CLEARANCE), ("LG-02b", TAIL_WHEEL_CLEARANCE)]
)
def test_the_regulation_s_clearances(case: str, ours: float) -> None:
    """7 in with a nose wheel, 9 in with a tail wheel [14 CFR 23.925(a)]."""
    _, printed, unit = example(case)
    assert ours / INCH == pytest.approx(printed, abs=1e-6 * unit)


def test_every_attitude_of_a_nose_wheel_airplane_by_hand() -> None:
    """Disk 1.0 m ahead of the nose wheel, wheelbase 2.0 m: the lever on a sunk nose wheel is 1.5.

    Level 1.25 − 0.95 = 0.300; at 1.5 g mains 0.05, nose 0.03 down: 0.05 − 0.02 × 1.5 = 0.020 less; one main
    tyre flat takes half of 0.20 at the mains, which lifts the disk: 0.10 − 0.10 × 1.5 = −0.05; nose flat
    0.15 × 1.5 = 0.225 less.
    """
    found = {item.attitude: item.found for item in propeller_clearances(TRICYCLE, 1.9, -1.5)}
    assert found["level, standing"] == pytest.approx(0.300)
    assert found["level at 1.5 g"] == pytest.approx(0.280)
    assert found["a main tyre flat, its strut bottomed"] == pytest.approx(0.350)
    assert found["nose tyre flat, strut bottomed"] == pytest.approx(0.075)
    assert "at rest" not in found


def test_tail_wheel_at_rest_level_and_on_a_flat_tyre_by_hand() -> None:
    """At rest, 12° nose up the disk 2.0 m ahead stands 0.40 cos 12° + 2 sin 12° = 0.807 m clear."""
    found = {item.attitude: item.found for item in propeller_clearances(CONVENTIONAL, 1.9, -1.5)}
    assert found["at rest"] == pytest.approx(
        0.4 * math.cos(math.radians(12)) + 2.0 * math.sin(math.radians(12))
    )
    assert found["level, standing"] == pytest.approx(0.40)
    assert found["a main tyre flat, its strut bottomed"] == pytest.approx(0.30)


def test_clearance_agrees_with_turning_every_point_of_the_disk() -> None:
    """Brute force: the lowest of many points of the disk, turned about the main wheels' contact."""
    theta = math.radians(12.0)
    around = np.linspace(0.0, 2.0 * np.pi, 3601)
    up = 1.35 + 0.95 * np.sin(around)  # the disk stands square to the thrust line
    forward = np.full_like(up, 0.5 - -1.5)
    turned = up * math.cos(theta) + forward * math.sin(theta)
    (rest, *_) = propeller_clearances(CONVENTIONAL, 1.9, -1.5)
    assert rest.found == pytest.approx(float(turned.min()), abs=1e-6)


def test_nose_down_and_tail_down_until_something_touches() -> None:
    """tan φ = 0.40/2.0 for the propeller, tan θ = 0.8/4.0 for the tail."""
    assert nose_down_to_touch(CONVENTIONAL, 1.9, -1.5) == pytest.approx(math.atan(0.2))
    assert tail_down_to_touch(TRICYCLE) == pytest.approx(math.atan(0.2))
    assert tail_down_to_touch(TAIL) is None
    assert nose_down_to_touch(TAIL, 1.9, -1.5) is None
    assert nose_down_to_touch(CONVENTIONAL, 1.9, 0.9) is None
    assert propeller_clearances(NOSE, 1.9, -1.5) == ()
    assert len(propeller_clearances(TRICYCLE, 1.9, None)) == 1


def test_the_rules_take_the_clearances_in() -> None:
    """With its propeller 5.9 in clear it breaks the 7 in, and touches with the nose tyre flat."""
    gear = replace(TRICYCLE, thrust_line_height=1.15, third_flat_drop=0.18)
    airplane = replace(hauler(), propeller=Propeller("constant speed", 2.0, arm=-1.5))
    rules = {rule.name: rule for rule in undercarriage_rules(airplane, gear, np.array([1.0, 1.2]))}
    level = rules["propeller clear of the ground, level, standing"]
    assert level.found == pytest.approx(150.0)
    assert level.asked == "177.8 mm or more"
    assert not level.holds
    flat = rules["propeller clear of the ground, nose tyre flat, strut bottomed"]
    assert flat.found == pytest.approx(1000.0 * (0.15 - 0.18 * 1.5))
    assert not flat.holds
    assert rules["propeller clear of the ground, level at 1.5 g"].holds


def test_tip_back_is_asked_up_to_where_the_tail_touches() -> None:
    """With the tail clear up to 18.4° the textbook's 15° are not enough."""
    high = replace(TRICYCLE, tail_low_height=1.333)
    rules = {rule.name: rule for rule in undercarriage_rules(hauler(), high, np.array([1.17]))}
    back = rules["least tip-back angle"]
    assert back.asked == "18.4° or more, where the tail touches"
    assert back.found == pytest.approx(math.degrees(math.atan(0.33 / 1.1)))
    assert not back.holds


def test_lengths_by_tape_leave_an_uncertainty() -> None:
    """By hand: tan θ = d/h with d ± √2 × 5 mm is not what moves: main arm alone ± 5 mm, h ± 30 mm."""
    gear = replace(TRICYCLE, measured_sd=0.005, cg_height_sd=0.030)
    d, h = 0.4, 1.1
    by_hand = math.hypot(0.005 * h, 0.030 * d) / (d * d + h * h)
    found = spread_of(lambda item: float(tip_angle(item, 1.1)), gear)
    assert found == pytest.approx(by_hand, rel=1e-3)
    assert spread_of(lambda item: float(tip_angle(item, 1.1)), TRICYCLE) is None
    told = undercarriage_report(hauler(), "nose wheel").rules
    assert all(rule.sd is None for rule in told)
