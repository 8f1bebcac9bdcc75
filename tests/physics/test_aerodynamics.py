"""The polar's textbook figures and closed forms against brute force."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.model.published import printed
from tests.physics.airplanes import LOWRY_DENSITY, cp1, lowry
from wringout.physics.aerodynamics import (
    best_glide_lift_coefficient,
    drag_coefficient,
    ground_effect_factor,
    induced_drag_factor,
    least_power_lift_coefficient,
    speed_at_lift_coefficient,
    stall_speed,
)
from wringout.physics.constants import FOOT, GRAVITY, POUND, SEA_LEVEL_DENSITY
from wringout.physics.vehicle import Air, drag, weight

FILE = "airplane_performance.csv"
POUND_FORCE = POUND * GRAVITY


def test_the_textbook_airplane_at_200_feet_a_second() -> None:
    """Lift and drag coefficient and lift over drag of CP-1 at sea level."""
    airplane, answers = cp1(), printed(FILE, "TX-01")
    lift = float(weight(airplane)) / (0.5 * SEA_LEVEL_DENSITY * (200 * FOOT) ** 2 * float(airplane.wing_area))
    resistance = float(drag_coefficient(lift, 0.025, airplane.induced_factor))
    for name, value in (
        ("lift coefficient", lift),
        ("drag coefficient", resistance),
        ("lift over drag", lift / resistance),
    ):
        assert value == pytest.approx(answers[name][0], abs=answers[name][1]), name


def test_the_textbook_airplane_s_best_ratios() -> None:
    """Greatest L/D and C_L^1.5/C_D of CP-1, and greatest L/D of CJ-1."""
    airplane, answers = cp1(), printed(FILE, "TX-04")
    lift = best_glide_lift_coefficient(0.025, airplane.induced_factor)
    best = lift / drag_coefficient(lift, 0.025, airplane.induced_factor)
    value, unit = answers["greatest lift over drag"]
    assert float(best) == pytest.approx(value, abs=unit)
    lift = least_power_lift_coefficient(0.025, airplane.induced_factor)
    quality = lift**1.5 / drag_coefficient(lift, 0.025, airplane.induced_factor)
    value, unit = answers["greatest CL^1.5 over CD"]
    assert float(quality) == pytest.approx(value, abs=unit)
    factor = induced_drag_factor(16.25, 29.54, 0.81)
    lift = best_glide_lift_coefficient(0.02, factor)
    value, unit = printed(FILE, "TX-13")["greatest lift over drag"]
    assert float(lift / drag_coefficient(lift, 0.02, factor)) == pytest.approx(value, abs=unit)


def test_glide_speeds_of_the_textbook_airplane() -> None:
    """At the lift coefficient and angle that the book reads off its graph, lift W cos γ, at two heights."""
    airplane, answers = cp1(), printed(FILE, "TX-06")
    angle = np.radians(printed(FILE, "TX-05")["least glide angle"][0])
    for feet in (10_000, 2_000):
        density = Air.standard(feet * FOOT).density
        speed = speed_at_lift_coefficient(0.634, airplane.mass, density, airplane.wing_area, np.cos(angle))
        value, unit = answers[f"glide speed at {feet} ft"]
        assert float(speed) / FOOT == pytest.approx(value, abs=unit)


def test_the_drag_terms_of_the_bootstrap_example() -> None:
    """G and H of drag = G V² + H/V², in pounds and feet per second, at the book's rounded density."""
    airplane, answers = lowry(), printed(FILE, "TX-20")
    air = Air(101_325.0, 288.15, LOWRY_DENSITY)
    square = np.array([150.0, 250.0]) ** 2
    force = drag(airplane, air, np.sqrt(square) * FOOT) / POUND_FORCE
    terms = np.linalg.solve(np.stack([square, 1 / square], axis=1), force)
    for name, term in zip("GH", terms, strict=True):
        assert term == pytest.approx(answers[name][0], abs=answers[name][1]), name


def mutual(height_over_span: float) -> float:
    """Induced drag that the image below an elliptically loaded wing takes off it, over the wing's own.

    Prandtl's multiplane theory: the downwash of the image's trailing vortices on the wing, both of span 2
    with circulation √(1 − y²) at y = cos θ, 2 h apart, integrated by the midpoint rule.
    """
    across = (np.arange(400) + 0.5) * np.pi / 400
    y, vortex = np.cos(across), np.cos(across)  # dΓ = cos θ dθ
    apart = y[None, :] - y[:, None]
    gap = 4.0 * height_over_span  # of 2 h over half the span
    wash = np.sum(vortex[None, :] * apart / (apart**2 + gap**2), axis=1) * np.pi / 400
    own = np.pi  # the same integral at no gap: π for every y
    return float(np.sum(np.sin(across) ** 2 * wash) / np.sum(np.sin(across) ** 2) / own)


@pytest.mark.parametrize("height", [0.08, 0.1, 0.15, 0.2, 0.3, 0.5, 0.8])
def test_ground_effect_against_the_wing_s_image(height: float) -> None:
    """Within 0.05 of one less the image's share by lifting line, and of Prandtl's interpolation for biplanes,
    σ = (1 − 0.66 μ)/(1.05 + 3.7 μ), μ = 2 h/b, in its range of μ to 0.5 [Prandtl1921, from memory]."""
    ours = float(ground_effect_factor(height))
    assert ours == pytest.approx(1.0 - mutual(height), abs=0.05)
    if height <= 0.25:
        gap = 2.0 * height
        assert ours == pytest.approx(1.0 - (1.0 - 0.66 * gap) / (1.05 + 3.7 * gap), abs=0.05)


def test_the_vortex_pair_leaves_more_of_the_induced_drag() -> None:
    """A textbook's figure by (16 h/b)²/(1 + (16 h/b)²) is what its two vortices give; the image of the whole
    wing takes off more, and so do we."""
    value, unit = printed(FILE, "TX-14")["ground-effect factor"]
    height = 6 / 53.3
    pair = (16 * height) ** 2 / (1 + (16 * height) ** 2)
    assert pair == pytest.approx(value, abs=unit)
    assert float(ground_effect_factor(height)) < 1.0 - mutual(height) + 0.05 < pair


def test_ground_effect_at_its_limits() -> None:
    """Nothing left of induced drag on the ground, all of it far above."""
    assert float(ground_effect_factor(0.0)) == 0.0
    assert float(ground_effect_factor(100.0)) == pytest.approx(1.0, abs=1e-4)
    with pytest.raises(ValueError, match="height over span"):
        ground_effect_factor(-0.1)


@given(st.floats(0.01, 0.1), st.floats(0.03, 0.12), st.floats(-0.2, 0.5))
def test_closed_forms_are_the_optima_of_a_brute_search(zero: float, factor: float, offset: float) -> None:
    """No lift coefficient on a fine grid does better than the closed forms, offset polar included."""
    lift = np.linspace(0.05, 4.0, 4000)
    resistance = drag_coefficient(lift, zero, factor, offset)
    best = best_glide_lift_coefficient(zero, factor, offset)
    ratio = best / drag_coefficient(best, zero, factor, offset)
    assert float(ratio) >= np.max(lift / resistance) * (1 - 1e-12)
    slow = least_power_lift_coefficient(zero, factor, offset)
    quality = slow**1.5 / drag_coefficient(slow, zero, factor, offset)
    assert float(quality) >= np.max(lift**1.5 / resistance) * (1 - 1e-12)


@given(st.floats(500.0, 2000.0), st.floats(0.7, 1.3), st.floats(1.0, 3.0))
def test_stall_speed_carries_the_weight_and_grows_with_its_root(
    mass: float, density: float, maximum: float
) -> None:
    """The definition of the greatest lift coefficient; 1.1 times the mass stalls 4.9 % faster."""
    speed = float(stall_speed(mass, density, 17.6, maximum))
    assert 0.5 * density * speed**2 * 17.6 * maximum == pytest.approx(mass * GRAVITY)
    assert float(stall_speed(1.1 * mass, density, 17.6, maximum)) / speed == pytest.approx(np.sqrt(1.1))


def test_nonsense_is_refused() -> None:
    """Where a silent answer would be a plausible speed."""
    with pytest.raises(ValueError, match="mass"):
        stall_speed(0.0, 1.225, 17.6, 2.0)
    with pytest.raises(ValueError, match="C_Lmax"):
        stall_speed(1000.0, 1.225, 17.6, np.array([2.0, -1.0]))
    assert np.isnan(stall_speed(np.nan, 1.225, 17.6, 2.0))
