"""Climb: textbook figures, brute-force optima, ceilings by an independent root finder."""

import numpy as np
import pytest
from numpy.random import default_rng
from scipy.optimize import brentq, minimize_scalar

from tests.model.published import printed
from tests.physics.airplanes import LOWRY_DENSITY, cp1, lowry, utility, utility_draws
from wringout.physics.climb import (
    SLOWEST,
    acceleration_factor,
    best_angle,
    best_rate,
    ceiling,
    climb_angle,
    rate_of_climb,
    specific_excess_power,
)
from wringout.physics.constants import FOOT, GRAVITY, KNOT, POUND
from wringout.physics.cruise import level_speed
from wringout.physics.propulsion import ConstantSpeedPropeller, NaturallyAspiratedEngine
from wringout.physics.vehicle import Air, drag, thrust, true_stall_speed, weight

FILE = "airplane_performance.csv"
SEA_LEVEL = Air.standard(0.0)


def test_the_textbook_airplane_s_best_rate_of_climb() -> None:
    """CP-1 with lift equal to weight, as the book's closed form has it; lift W cos γ adds 12 ft/min."""
    value, unit = printed(FILE, "TX-07")["best rate of climb"]
    speeds = np.linspace(25.0, 60.0, 3501)
    best = float(np.max(specific_excess_power(cp1(), SEA_LEVEL, speeds)))
    assert best * 60 / FOOT == pytest.approx(value, abs=unit)
    exact = float(best_rate(cp1(), SEA_LEVEL).rate_of_climb)
    assert 0 < (exact - best) * 60 / FOOT < 20


@pytest.mark.parametrize(("remaining", "feet"), [(0.0, 27_000.0), (100 * FOOT / 60, 25_000.0)])
def test_the_textbook_airplane_s_ceilings(remaining: float, feet: float) -> None:
    """Absolute and service ceiling of CP-1, which the book reads off a graph (from memory): to 1.5 %."""
    assert float(ceiling(cp1(), remaining)) / FOOT == pytest.approx(feet, rel=0.015)


@pytest.mark.parametrize(
    ("feet", "expected"),
    [(5_000, 1170.0), (10_000, 868.0), (15_000, 588.8), (20_000, 329.1), (25_000, 85.4)],
)
def test_a_second_computation_of_that_airplane_agrees(feet: float, expected: float) -> None:
    """Best rates with lift equal to weight, derived separately (not published)."""
    speeds = np.linspace(25.0, 90.0, 6501)
    best = np.max(specific_excess_power(cp1(), Air.standard(feet * FOOT), speeds))
    assert float(best) * 60 / FOOT == pytest.approx(expected, abs=0.2)


@pytest.mark.parametrize(
    ("altitude", "mass", "density"),
    [(0.0, 2400 * POUND, LOWRY_DENSITY), (5000 * FOOT, 2200 * POUND, None)],
    ids=["sea level", "5000 ft, lighter"],
)
def test_the_bootstrap_example_s_v_speeds(altitude: float, mass: float, density: float | None) -> None:
    """Best angle, best rate and level speed against the book's closed forms.

    V_x = (−H/K)^¼; V_y² = (−E − √(E² − 12 K H))/6K; V_M from K V⁴ + E V² − H = 0; lift equal to weight.
    """
    airplane, standard = lowry(mass), Air.standard(altitude)
    air = Air(standard.pressure, standard.temperature, density or standard.density)
    power = float(airplane.engine.full_power(air.pressure, air.temperature))
    rho, area = float(air.density), float(airplane.wing_area)
    e = float(airplane.propeller.thrust(0.0, rho, power))
    f = rho * (6.25 * FOOT) ** 2 * -0.0564
    g = rho * area * 0.037 / 2
    h = 2 * (mass * GRAVITY) ** 2 * float(airplane.induced_factor) / (rho * area)
    k = f - g
    steepest, fastest_up = (-h / k) ** 0.25, ((-e - (e * e - 12 * k * h) ** 0.5) / (6 * k)) ** 0.5
    level = ((-e - (e * e + 4 * k * h) ** 0.5) / (2 * k)) ** 0.5

    def spare(speed: float) -> float:
        return float(specific_excess_power(airplane, air, speed))

    best = minimize_scalar(lambda speed: -spare(speed), bounds=(25, 60), options={"xatol": 1e-6})
    assert best.x == pytest.approx(fastest_up, rel=1e-5)
    best = minimize_scalar(lambda speed: -spare(speed) / speed, bounds=(20, 60), options={"xatol": 1e-6})
    assert best.x == pytest.approx(steepest, rel=1e-5)
    assert float(level_speed(airplane, air)) == pytest.approx(level, rel=1e-9)


def test_the_bootstrap_example_s_speeds_in_knots_by_a_second_computation() -> None:
    """V_y 75.85 kt, V_M 115.26 kt, 700.3 ft/min at sea level and 2,400 lb: derived, not published."""
    airplane = lowry()
    air = Air(101_325.0, 288.15, 0.0023769 * POUND * GRAVITY / FOOT / FOOT**3)
    speeds = np.linspace(30.0, 50.0, 20_001)
    spare = specific_excess_power(airplane, air, speeds)
    assert speeds[np.argmax(spare)] / KNOT == pytest.approx(75.85, abs=0.01)
    assert float(np.max(spare)) * 60 / FOOT == pytest.approx(700.3, abs=0.1)
    assert float(level_speed(airplane, air)) / KNOT == pytest.approx(115.26, abs=0.01)


def test_the_steady_climb_balances_its_forces() -> None:
    """T = D + W sin γ along the path with the drag of the lift W cos γ, no small angle taken."""
    airplane, speed = utility(engine=NaturallyAspiratedEngine(250e3)), np.array([25.0, 30.0, 40.0])
    angle = climb_angle(airplane, SEA_LEVEL, speed)
    assert np.max(angle) > 0.25
    left = thrust(airplane, SEA_LEVEL, speed) - drag(airplane, SEA_LEVEL, speed, np.cos(angle))
    np.testing.assert_allclose(left, weight(airplane) * np.sin(angle), rtol=1e-7)
    np.testing.assert_allclose(rate_of_climb(airplane, SEA_LEVEL, speed), speed * np.sin(angle))


def test_best_climbs_are_those_of_a_bounded_search() -> None:
    """Against scipy's scalar minimiser, draw by draw: speeds to 1e-6, values to rounding."""
    draws, air = utility_draws(default_rng(5), 6), Air.standard(800.0)
    rate, angle = best_rate(draws, air), best_angle(draws, air)
    for i in range(6):
        propeller, engine = draws.propeller, draws.engine
        assert isinstance(propeller, ConstantSpeedPropeller)
        assert isinstance(engine, NaturallyAspiratedEngine)
        one = utility(
            mass=float(np.asarray(draws.mass)[i]),
            zero_lift_drag=float(np.asarray(draws.zero_lift_drag)[i]),
            induced_factor=float(np.asarray(draws.induced_factor)[i]),
            lift_at_minimum_drag=float(np.asarray(draws.lift_at_minimum_drag)[i]),
            maximum_lift_coefficient=float(np.asarray(draws.maximum_lift_coefficient)[i]),
            propeller=ConstantSpeedPropeller(
                2.03,
                float(np.asarray(propeller.static_efficiency)[i]),
                float(np.asarray(propeller.cruise_efficiency)[i]),
            ),
            engine=NaturallyAspiratedEngine(float(np.asarray(engine.rated_power)[i])),
        )
        slowest = SLOWEST * float(true_stall_speed(one, air))
        found = minimize_scalar(
            lambda speed, one=one: -float(rate_of_climb(one, air, speed)),
            bounds=(slowest, 60.0),
            options={"xatol": 1e-7},
        )
        assert float(rate.rate_of_climb[i]) == pytest.approx(-found.fun, rel=1e-12)
        assert float(rate.true_airspeed[i]) == pytest.approx(found.x, rel=1e-6)
        found = minimize_scalar(
            lambda speed, one=one: -float(climb_angle(one, air, speed)),
            bounds=(slowest, 60.0),
            options={"xatol": 1e-7},
        )
        assert float(angle.climb_angle[i]) >= -found.fun - 1e-9
    assert np.all(angle.true_airspeed <= rate.true_airspeed)


def test_the_best_rate_is_smooth_in_a_parameter() -> None:
    """Over a thousand small steps of drag: third differences at rounding, no grid showing through."""
    zero_lift = np.linspace(0.040, 0.050, 1001)
    best = best_rate(utility(zero_lift_drag=zero_lift), SEA_LEVEL)
    assert np.max(np.abs(np.diff(best.rate_of_climb, 3))) < 1e-9
    assert np.max(np.abs(np.diff(best.true_airspeed, 3))) < 1e-7


def test_best_angle_stays_above_the_stall() -> None:
    """A strong airplane climbs steepest at the slowest speed allowed."""
    strong = utility(engine=NaturallyAspiratedEngine(400e3))
    best = best_angle(strong, SEA_LEVEL)
    assert float(best.true_airspeed) == pytest.approx(SLOWEST * float(true_stall_speed(strong, SEA_LEVEL)))


def test_ceilings_are_those_of_a_root_finder() -> None:
    """Service and absolute ceiling, standard and hot, against brentq on the best rate: to 0.01 m."""
    for remaining, offset in ((0.508, 0.0), (0.0, 0.0), (0.508, 20.0)):

        def spare(altitude: float, remaining: float = remaining, offset: float = offset) -> float:
            best = best_rate(utility(), Air.standard(altitude, offset))
            return float(best.rate_of_climb) - remaining

        twin = brentq(spare, 0.0, 15_000.0, xtol=1e-6)
        assert float(ceiling(utility(), remaining, offset)) == pytest.approx(twin, abs=0.01)


def test_ceilings_out_of_range_say_so() -> None:
    """Below −2 km there is no air for a glider; a rocket passes 20 km; a missing mass has no ceiling."""
    power = np.array([1e3, 149e3, 5e7])
    answer = ceiling(utility(engine=NaturallyAspiratedEngine(power, 0.0)))
    assert answer[0] == -np.inf
    assert np.isfinite(answer[1])
    assert answer[2] == np.inf
    assert np.isnan(ceiling(utility(mass=np.nan)))


def test_more_mass_drag_heat_and_altitude_climb_worse() -> None:
    """Each by itself."""
    base = float(best_rate(utility(), SEA_LEVEL).rate_of_climb)
    worse = [
        best_rate(utility(mass=1150.0), SEA_LEVEL),
        best_rate(utility(zero_lift_drag=0.05), SEA_LEVEL),
        best_rate(utility(), Air.standard(0.0, 20.0)),
        best_rate(utility(), Air.standard(1000.0)),
    ]
    assert all(float(other.rate_of_climb) < base for other in worse)


def test_an_array_of_one_field_answers_with_its_shape() -> None:
    """Whichever field holds the draws, a propeller's too."""
    for airplane in (
        utility(induced_factor=np.full((4, 1), 0.055)),
        utility(propeller=ConstantSpeedPropeller(2.03, np.full((4, 1), 0.75), 0.88)),
    ):
        best = best_rate(airplane, Air.standard(np.array([0.0, 1000.0, 2000.0])))
        assert best.true_airspeed.shape == (4, 3)
        alone = best_rate(utility(), Air.standard(1000.0))
        assert float(best.true_airspeed[2, 1]) == pytest.approx(float(alone.true_airspeed), rel=1e-10)


def test_a_climb_at_constant_calibrated_airspeed_gives_up_what_the_factor_says() -> None:
    """The energy of rising true airspeed: against finite differences of V_e √(ρ₀/ρ) in standard air."""
    altitude, equivalent = 2000.0, 40.0
    low, high = (Air.standard(altitude + step) for step in (-1.0, 1.0))
    true = [equivalent * (1.225 / float(air.density)) ** 0.5 for air in (low, high)]
    middle = Air.standard(altitude)
    speed = equivalent * (1.225 / float(middle.density)) ** 0.5
    expected = 1 + speed / GRAVITY * (true[1] - true[0]) / 2.0
    assert float(acceleration_factor(middle, speed)) == pytest.approx(expected, rel=1e-6)
    assert 0.005 < float(acceleration_factor(middle, speed)) - 1 < 0.01
