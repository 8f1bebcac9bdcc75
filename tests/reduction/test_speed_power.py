"""Drag from speed and power by the straight line in the fourth power of speed.

No numerical example was found in print: the figures are derived from the published formulas.
"""

import numpy as np
import pytest

from wringout.physics.constants import FOOT, HORSEPOWER, KNOT, POUND
from wringout.problems import InputError
from wringout.reduction.speed_power import fit_polar, standard_power, standard_speed

AREA = 174.0 * FOOT**2
SPAN = float(np.sqrt(7.37 * AREA))
MASS = 2400.0 * POUND
SPEEDS_KT = np.array([60.0, 70.0, 80.0, 90.0, 100.0, 110.0, 120.0])
POWERS_HP = np.array([51.618, 55.658, 64.022, 76.713, 93.909, 115.880, 142.951])


@pytest.mark.parametrize(
    ("power", "true_airspeed", "mass", "viw", "piw"),
    [(110.0, 115.0, 2150.0, "112.788", "120.429"), (75.0, 92.0, 2120.0, "90.866", "83.860")],
)
def test_standard_speed_and_power(
    power: float, true_airspeed: float, mass: float, viw: str, piw: str
) -> None:
    """Two level points at 5,000 ft (σ 0.8617) to 2,400 lb and sea level."""
    equivalent = true_airspeed * np.sqrt(0.8617)
    assert float(standard_speed(equivalent, mass / 2400.0)) == pytest.approx(float(viw), abs=0.001)
    assert float(standard_power(power, 0.8617, mass / 2400.0)) == pytest.approx(float(piw), abs=0.001)


def test_polar_from_the_line() -> None:
    """Seven powers to three decimals give C_D0 0.0320 and e 0.750 back."""
    polar = fit_polar(
        SPEEDS_KT * KNOT,
        POWERS_HP * HORSEPOWER,
        standard_mass=MASS,
        wing_area=AREA,
        span=SPAN,
        propeller_efficiency=0.80,
        power_sd=0.001 * HORSEPOWER,
    )
    assert polar.zero_lift_drag == pytest.approx(0.032, abs=5e-6)
    assert polar.oswald == pytest.approx(0.75, abs=5e-4)
    assert polar.slope * KNOT**3 / HORSEPOWER == pytest.approx(7.230996e-5, rel=2e-4)
    assert polar.intercept / (HORSEPOWER * KNOT) == pytest.approx(2159.919, rel=2e-4)


def test_stated_uncertainty_is_honest() -> None:
    """With errors in speed, power and propeller efficiency, C_D0 and e miss by as much as stated."""
    rng = np.random.default_rng(6)
    speed, power = SPEEDS_KT[::2] * KNOT, POWERS_HP[::2] * HORSEPOWER
    scores = []
    for _ in range(500):
        efficiency = rng.normal(0.80, 0.02)
        polar = fit_polar(
            speed + rng.normal(0.0, 0.3, 4),
            power * 0.80 / efficiency + rng.normal(0.0, 600.0, 4),
            standard_mass=MASS,
            wing_area=AREA,
            span=SPAN,
            propeller_efficiency=0.80,
            propeller_efficiency_sd=0.02,
            speed_sd=0.3,
            power_sd=600.0,
        )
        # A small e is a large intercept: 1/e is what scatters normally.
        error = np.array([polar.zero_lift_drag - 0.032, 1.0 / polar.oswald - 1.0 / 0.75])
        sd = np.sqrt(np.diag(polar.covariance)) / np.array([1.0, polar.oswald**2])
        scores.append(error / sd)
    spread = np.std(scores, axis=0)
    assert np.all((spread > 0.9) & (spread < 1.1)), spread


def test_one_speed_or_an_impossible_line_is_refused() -> None:
    """One speed cannot part the two drags; powers that fall with speed are no drag polar's."""
    arguments = {"standard_mass": MASS, "wing_area": AREA, "span": SPAN, "propeller_efficiency": 0.8}
    with pytest.raises(InputError, match="three or more speeds"):
        fit_polar([50.0, 50.0], [6e4, 6e4], power_sd=100.0, **arguments)
    with pytest.raises(InputError, match="do not rise"):
        fit_polar([40.0, 50.0, 60.0], [9e4, 6e4, 3e4], power_sd=100.0, **arguments)


def test_induced_drag_goes_with_the_square_of_the_weight() -> None:
    """At a tenth of the mass the same intercept means a hundredth of the Oswald's efficiency."""
    one, tenth = (
        fit_polar(
            SPEEDS_KT * KNOT,
            POWERS_HP * HORSEPOWER,
            standard_mass=mass,
            wing_area=AREA,
            span=SPAN,
            propeller_efficiency=0.80,
            power_sd=10.0,
        )
        for mass in (MASS, MASS / 10.0)
    )
    assert tenth.oswald == pytest.approx(one.oswald / 100.0)
