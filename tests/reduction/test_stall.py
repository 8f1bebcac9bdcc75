"""Stall speed to standard mass and entry rate.

The figures of mass correction are derived from the published formula, not published.
"""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from wringout.physics.aerodynamics import stall_speed
from wringout.physics.constants import SEA_LEVEL_DENSITY
from wringout.reduction.stall import (
    ENTRY_RATE_SD,
    REPEATABILITY_SD,
    STANDARD_ENTRY_RATE,
    entry_rate_effect,
    maximum_lift_coefficient,
    to_standard_entry_rate,
    to_standard_mass,
    warning_margin,
)


@pytest.mark.parametrize(
    ("flown", "standard", "corrected"),
    [(2200.0, 2400.0, "52.223"), (2000.0, 2400.0, "54.772"), (2300.0, 2400.0, "51.075")],
)
def test_standard_mass(flown: float, standard: float, corrected: str) -> None:
    """50 KCAS at three test masses, brought to 2400 lb."""
    assert f"{float(to_standard_mass(50.0, flown, standard)):.3f}" == corrected


def test_one_knot_a_second() -> None:
    """The standard entry rate is one knot a second."""
    assert pytest.approx(0.514444, abs=1e-6) == STANDARD_ENTRY_RATE


@given(st.floats(0.8, 3.0), st.floats(300.0, 3000.0), st.floats(8.0, 30.0))
def test_lift_coefficient_inverts_the_stall_speed(coefficient: float, mass: float, area: float) -> None:
    """What the physics makes of a lift coefficient is read back from the speed."""
    speed = stall_speed(mass, SEA_LEVEL_DENSITY, area, coefficient)
    assert float(maximum_lift_coefficient(speed, mass, area)) == pytest.approx(coefficient)


def test_entry_rates_teach_the_slope() -> None:
    """Stalls at two rates in two flap settings share one slope; the slow ones need no correction."""
    groups = ["up"] * 4 + ["30"] * 4
    rates = np.tile([1.0, 1.0, 2.6, 2.6], 2) * STANDARD_ENTRY_RATE
    true_slope = 0.04 / STANDARD_ENTRY_RATE
    level = np.array([1.5] * 4 + [2.1] * 4)
    effect = entry_rate_effect(level * np.exp(true_slope * rates), rates, groups)
    assert effect.taught
    assert effect.slope == pytest.approx(true_slope, abs=2.0 * effect.slope_sd)
    assert effect.slope_sd < 0.5 * ENTRY_RATE_SD
    speed, _ = to_standard_entry_rate(25.0, 0.3, 2.6 * STANDARD_ENTRY_RATE, 0.05, effect)
    slow, _ = to_standard_entry_rate(25.0, 0.3, STANDARD_ENTRY_RATE, 0.05, effect)
    assert slow == 25.0
    assert speed == pytest.approx(25.0 * np.exp(0.5 * effect.slope * 1.6 * STANDARD_ENTRY_RATE))


def test_one_entry_rate_corrects_nothing_and_widens() -> None:
    """With one rate only nothing is corrected; the uncertainty grows with the distance from 1 kt/s."""
    effect = entry_rate_effect([1.5, 1.52], [1.0, 1.0], ["up", "up"])
    assert not effect.taught
    assert effect.slope == 0.0
    assert effect.slope_sd == pytest.approx(ENTRY_RATE_SD)
    near = to_standard_entry_rate(25.0, 0.3, STANDARD_ENTRY_RATE, 0.05, effect)
    far = to_standard_entry_rate(25.0, 0.3, 3.0 * STANDARD_ENTRY_RATE, 0.05, effect)
    assert near[0] == far[0] == 25.0
    assert far[1] > 2.0 * near[1]


def test_repeatability_is_learnt_from_the_scatter() -> None:
    """Wildly scattered stalls widen what a single one is worth; steady ones narrow it."""
    rng = np.random.default_rng(3)
    rates = rng.uniform(0.4, 1.5, 20)
    wild = entry_rate_effect(np.exp(rng.normal(0.4, 0.10, 20)), rates, ["up"] * 20)
    steady = entry_rate_effect(np.exp(rng.normal(0.4, 0.002, 20)), rates, ["up"] * 20)
    assert wild.repeatability > 3.0 * REPEATABILITY_SD
    assert steady.repeatability < 0.6 * REPEATABILITY_SD


def test_what_readings_scatter_is_no_scatter_of_the_stalls() -> None:
    """Stalls that repeat to 0.5 % read with 2 % noise each are told to repeat well, not to scatter by 2 %."""
    rng = np.random.default_rng(5)
    rates = rng.uniform(0.4, 1.5, 40)
    logs = rng.normal(0.4, 0.005, 40) + rng.normal(0.0, 0.02, 40)
    plain = entry_rate_effect(np.exp(logs), rates, ["up"] * 40)
    told = entry_rate_effect(np.exp(logs), rates, ["up"] * 40, np.full(40, 0.02))
    assert plain.repeatability == pytest.approx(0.02, rel=0.25)
    assert told.repeatability < 0.5 * plain.repeatability
    assert told.slope == pytest.approx(plain.slope, rel=0.05)


def test_slope_uncertainty_is_honest() -> None:
    """Slopes as the prior imagines them, scatter as usual: the error of the slope is as large as stated."""
    rng = np.random.default_rng(8)
    groups = ["up"] * 3 + ["30"] * 3 + ["45"] * 3
    scores = []
    for _ in range(500):
        slope = rng.normal(0.0, ENTRY_RATE_SD)
        rates = np.tile([1.0, 1.0, 2.6], 3) * STANDARD_ENTRY_RATE * rng.normal(1.0, 0.1, 9)
        logs = np.repeat([0.4, 0.7, 0.8], 3) + slope * rates + rng.normal(0.0, REPEATABILITY_SD, 9)
        effect = entry_rate_effect(np.exp(logs), rates, groups)
        scores.append((effect.slope - slope) / effect.slope_sd)
    assert 0.9 < np.std(scores) < 1.1


def test_warning_margin_forgets_what_both_speeds_share() -> None:
    """The position error common to warning and stall drops out of the margin."""
    margin, sd = warning_margin(28.0, 1.0, 25.0, 1.0, 0.99)
    assert margin == 3.0
    assert sd == pytest.approx(np.sqrt(0.02))


@pytest.mark.parametrize("mass", [0.0, -5.0])
def test_impossible_masses_are_refused(mass: float) -> None:
    """A mass of nothing has no stall speed."""
    with pytest.raises(ValueError, match="positive"):
        to_standard_mass(25.0, mass, 1000.0)


def test_lengths_must_match() -> None:
    """Each stall needs its rate and its group."""
    with pytest.raises(ValueError, match="entry rate and group"):
        entry_rate_effect([1.5, 1.6], [0.5], ["up", "up"])
