"""Gliding: textbook figures, closed forms against a search, the cost of a propeller."""

import numpy as np
import pytest

from tests.model.published import printed
from tests.physics.airplanes import cp1, lowry, utility
from wringout.physics.glide import best_glide, glide_at, least_sink
from wringout.physics.vehicle import Air, drag, weight

FILE = "airplane_performance.csv"
SEA_LEVEL = Air.standard(0.0)


def test_the_textbook_airplane_s_best_glide() -> None:
    """CP-1: least angle, and the distance from 10,000 ft."""
    glide = best_glide(cp1(), SEA_LEVEL)
    value, unit = printed(FILE, "TX-05")["least glide angle"]
    assert float(np.degrees(glide.angle)) == pytest.approx(value, abs=unit)
    value, unit = printed(FILE, "TX-05")["glide distance from 10000 ft"]
    assert 10_000 * float(glide.ratio) == pytest.approx(value, abs=unit)


def test_the_bootstrap_example_glides_at_its_closed_form() -> None:
    """Least angle 5.403° where sin γ = D/W with lift equal to weight (derived, not published)."""
    glide = best_glide(lowry(), SEA_LEVEL)
    assert float(np.degrees(np.arcsin(np.tan(glide.angle)))) == pytest.approx(5.403, abs=0.001)


def test_closed_forms_are_the_best_of_a_search() -> None:
    """The flattest exactly, the least sink for a shallow glide to 1e-4; propeller drag counted."""
    speeds = np.linspace(18.0, 60.0, 42_001)
    for area in (0.0, 0.15):
        airplane = utility(zero_lift_drag=0.025, maximum_lift_coefficient=3.0)
        swept = glide_at(airplane, SEA_LEVEL, speeds, area)
        best = best_glide(airplane, SEA_LEVEL, area)
        assert float(best.ratio) == pytest.approx(float(np.max(swept.ratio)), rel=1e-7)
        assert float(best.true_airspeed) == pytest.approx(float(speeds[np.argmax(swept.ratio)]), rel=1e-3)
        slow = least_sink(airplane, SEA_LEVEL, area)
        assert float(slow.sink) == pytest.approx(float(np.min(swept.sink)), rel=1e-4)


def test_the_glide_balances_its_forces() -> None:
    """D = W sin γ with the drag of the lift W cos γ, at a steep angle too."""
    speed = np.array([22.0, 30.0, 55.0])
    glide = glide_at(utility(zero_lift_drag=0.15), SEA_LEVEL, speed, 0.2)
    resistance = drag(utility(zero_lift_drag=0.15), SEA_LEVEL, speed, np.cos(glide.angle))
    resistance = resistance + 0.5 * float(SEA_LEVEL.density) * speed**2 * 0.2
    assert np.max(glide.angle) > 0.3
    np.testing.assert_allclose(resistance, weight(utility()) * np.sin(glide.angle), rtol=1e-5)


def test_a_windmilling_propeller_costs_glide_and_mass_costs_only_speed() -> None:
    """The ratio does not know the mass; the speed grows with its root."""
    clean, braked = best_glide(utility(), SEA_LEVEL), best_glide(utility(), SEA_LEVEL, 0.2)
    assert float(braked.ratio) < float(clean.ratio)
    assert float(braked.true_airspeed) < float(clean.true_airspeed)
    heavy = best_glide(utility(mass=1308.0), SEA_LEVEL)
    assert float(heavy.ratio) == pytest.approx(float(clean.ratio))
    assert float(heavy.true_airspeed / clean.true_airspeed) == pytest.approx(np.sqrt(1.2))


def test_a_missing_value_stays_missing() -> None:
    """NaN in gives NaN out; no speed is refused."""
    assert np.isnan(glide_at(utility(mass=np.nan), SEA_LEVEL, 30.0).sink)
    with pytest.raises(ValueError, match="airspeed"):
        glide_at(utility(), SEA_LEVEL, 0.0)
