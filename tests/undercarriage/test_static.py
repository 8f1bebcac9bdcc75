"""Static loads and angles against examples worked by hand from the textbook's construction."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from wringout.airplane.airplane import Undercarriage
from wringout.undercarriage import (
    dynamic_nose_load,
    overturn_angle,
    static_loads,
    tip_angle,
    wheelbase,
)

INCH, FOOT, POUND = 0.0254, 0.3048, 0.45359237

# Derived, not published: wheelbase 65 in, track 84 in, CG 52 in behind the nose wheel and 36 in up.
TRICYCLE = Undercarriage("nose wheel", 65 * INCH, 0.0, 84 * INCH, 36 * INCH)


def test_tricycle_by_hand() -> None:
    """Derived: turnover 51.906°, tip-back 19.855°, a fifth of the weight on the nose wheel."""
    cg = 52 * INCH
    assert math.degrees(float(overturn_angle(TRICYCLE, cg))) == pytest.approx(51.906, abs=1e-3)
    assert math.degrees(float(tip_angle(TRICYCLE, cg))) == pytest.approx(19.855, abs=1e-3)
    assert float(static_loads(TRICYCLE, 1000.0, cg).third_share) == pytest.approx(0.200, abs=1e-3)


@pytest.mark.parametrize(("behind", "degrees"), [(12.0, 15.255), (16.0, 19.983)])
def test_tail_wheel_by_hand(behind: float, degrees: float) -> None:
    """Derived: the CG 12 in or 16 in behind the main wheels and 44 in up."""
    gear = Undercarriage("tail wheel", 0.0, 200 * INCH, 80 * INCH, 44 * INCH)
    assert math.degrees(float(tip_angle(gear, behind * INCH))) == pytest.approx(degrees, abs=1e-3)


def test_dynamic_nose_load_of_the_textbook() -> None:
    """10 ft/s², 2 400 lb, CG 3.5 ft up, wheelbase 6 ft: 434.8 lb [Raymer's formula, second-hand]."""
    load = dynamic_nose_load(2400 * POUND, 10 * FOOT, 3.5 * FOOT, 6.0 * FOOT)
    assert float(load) / (POUND * 32.2 * FOOT) == pytest.approx(434.8, abs=0.1)
    with pytest.raises(ValueError, match="wheelbase must be positive"):
        dynamic_nose_load(1000.0, 3.0, 1.0, 0.0)


@given(
    st.floats(-3.0, 3.0),
    st.floats(0.5, 7.0),
    st.booleans(),
    st.lists(st.floats(0.01, 0.99), min_size=1, max_size=5),
)
def test_loads_balance(main: float, base: float, ahead: bool, shares: list[float]) -> None:
    """Main and third loads add up to the mass and balance about the CG, nose wheel or tail wheel."""
    gear = Undercarriage("nose wheel", main, main - base if ahead else main + base, 2.0, 1.2)
    cg = np.array([main + share * (gear.third_arm - main) for share in shares])
    loads = static_loads(gear, 900.0, cg)
    np.testing.assert_allclose(loads.main + loads.third, 900.0)
    moment = loads.main * gear.main_arm + loads.third * gear.third_arm
    np.testing.assert_allclose(moment, 900.0 * cg, atol=1e-9)
    assert np.all(tip_angle(gear, cg) > 0.0)
    assert wheelbase(gear) == pytest.approx(base)


def test_standing_on_its_tail() -> None:
    """A CG behind the main wheels of a nose-wheel airplane shows as a negative share and angle."""
    assert float(static_loads(TRICYCLE, 900.0, 70 * INCH).third_share) < 0.0
    assert float(tip_angle(TRICYCLE, 70 * INCH)) < 0.0
    with pytest.raises(ValueError, match="the same arm"):
        static_loads(Undercarriage("skis", 1.0, 1.0, 2.0, 1.0), 900.0, 1.2)
