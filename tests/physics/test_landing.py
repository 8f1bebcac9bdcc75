"""Landing: hand integrals, differential-equation twins, handbook rules, and where no answer is the answer."""

from math import atan, cos, sin, tan

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.random import default_rng
from scipy.integrate import solve_ivp

from tests.model.published import printed
from tests.physics.airplanes import utility, utility_draws
from wringout.physics.aerodynamics import ground_effect_factor
from wringout.physics.constants import FOOT, GRAVITY, OBSTACLE_HEIGHT
from wringout.physics.landing import landing, landing_air_distance, landing_roll
from wringout.physics.vehicle import Air, Vehicle, drag, weight

SEA_LEVEL = Air.standard(0.0)


def airless() -> Vehicle:
    """No lift or drag to speak of: the handbook's rules are then exact."""
    return utility(zero_lift_drag=1e-12, induced_factor=1e-12, lift_at_minimum_drag=0.0)


def roll_by_differential_equation(
    vehicle: Vehicle, air: Air, *, touchdown: float, braking: float, wind: float, slope: float, free: float
) -> tuple[float, float]:
    """The roll by scipy's integrator in time, brakes on after the free roll."""
    tilt, mass, lift = atan(slope), float(vehicle.mass), 0.3
    effect = float(ground_effect_factor(float(vehicle.wing_height) / float(vehicle.span)))
    coefficient = (
        float(vehicle.zero_lift_drag)
        + effect * float(vehicle.induced_factor) * (lift - float(vehicle.lift_at_minimum_drag)) ** 2
    )

    def motion(friction: float, state: np.ndarray) -> list[float]:
        speed = state[1] + wind
        force = 0.5 * float(air.density) * speed * abs(speed) * float(vehicle.wing_area)
        wheels = max(mass * GRAVITY * cos(tilt) - lift * abs(force), 0.0)
        return [state[1], -(coefficient * force + friction * wheels + mass * GRAVITY * sin(tilt)) / mass]

    def stops(_: float, state: np.ndarray) -> float:
        return float(state[1])

    stops.terminal = True  # type: ignore[attr-defined]
    first = solve_ivp(
        lambda _, state: motion(0.05, state), (0, free), [0.0, touchdown - wind], rtol=1e-11, atol=1e-9
    )
    second = solve_ivp(
        lambda _, state: motion(braking, state),
        (0, 500),
        first.y[:, -1],
        events=stops,
        rtol=1e-11,
        atol=1e-9,
        method="DOP853",
    )
    return float(second.y_events[0][0][0]), float(second.t_events[0][0]) + free


@pytest.mark.parametrize(
    ("braking", "wind", "slope", "altitude"),
    [(0.3, 0.0, 0.0, 0.0), (0.15, 6.0, 0.02, 1500.0), (0.35, -3.0, -0.09, 0.0), (0.08, 0.0, 0.0, 3000.0)],
    ids=["level", "windy, uphill, high", "downhill, tail wind", "wet, high"],
)
def test_the_roll_is_the_differential_equation_s(
    braking: float, wind: float, slope: float, altitude: float
) -> None:
    """Distance and time to 2e-5: quadrature is exact to 1e-6, the free roll takes one mean deceleration."""
    vehicle, air = utility(), Air.standard(altitude)
    distance, time, _ = landing_roll(
        vehicle, air, touchdown_speed=24.0, braking=braking, head_wind=wind, slope=slope, free_roll_time=1.0
    )
    twin, twin_time = roll_by_differential_equation(
        vehicle, air, touchdown=24.0, braking=braking, wind=wind, slope=slope, free=1.0
    )
    assert float(distance) == pytest.approx(twin, rel=2e-5)
    assert float(time) == pytest.approx(twin_time, rel=2e-5)


def test_a_constant_braking_needs_the_distance_of_the_energy() -> None:
    """V²/2μg after V·t of free roll, in V/μg after t."""
    distance, time, peak = landing_roll(
        airless(), SEA_LEVEL, touchdown_speed=25.0, braking=0.4, rolling_friction=0.0, free_roll_time=1.5
    )
    lift_free = landing_roll(
        airless(),
        SEA_LEVEL,
        touchdown_speed=25.0,
        braking=0.4,
        rolling_friction=0.0,
        free_roll_time=0.0,
        ground_lift_coefficient=0.0,
    )[0]
    assert float(lift_free) == pytest.approx(625 / (2 * 0.4 * GRAVITY))
    assert float(distance) > float(lift_free) + 25.0 * 1.5  # lift takes load off the wheels
    assert float(time) > 1.5 + 25.0 / (0.4 * GRAVITY)
    assert float(peak) == pytest.approx(0.4 * GRAVITY)


def test_the_handbook_s_landing_rules_hold_for_constant_braking() -> None:
    """+10 % distance for 10 % mass at the same lift coefficient, +16 % at 5,000 ft, wind by the square."""

    def roll(speed: float, **changes: float) -> float:
        return float(
            landing_roll(
                airless(),
                SEA_LEVEL,
                touchdown_speed=speed,
                braking=0.4,
                free_roll_time=0.0,
                ground_lift_coefficient=0.0,
                **changes,
            )[0]
        )

    base = roll(25.0)
    value, unit = printed("field_rules.csv", "PH-14")["landing distance factor, mass +10 %"]
    assert roll(25.0 * 1.1**0.5) / base == pytest.approx(value, abs=unit)
    value, unit = printed("field_rules.csv", "PH-15")["landing distance factor, 5000 ft"]
    thin = float(Air.standard(5000 * FOOT).density) / float(SEA_LEVEL.density)
    assert roll(25.0 / thin**0.5) / base == pytest.approx(value, abs=unit)
    value, unit = printed("field_rules.csv", "PH-12")["distance factor, head wind 10 % of speed"]
    assert roll(25.0, head_wind=2.5) / base == pytest.approx(value, abs=unit)


def test_the_default_approach_is_the_certification_rule_s_steepest() -> None:
    """3° is 5.2 %, the steepest a part-23 landing distance was allowed by default."""
    value, unit = printed("field_rules.csv", "CF-05")["steepest approach gradient"]
    assert 100 * tan(0.0524) == pytest.approx(value, abs=unit)


def test_without_a_flare_the_approach_is_a_straight_line() -> None:
    """A hard pull and touching down at the approach speed: h/tan γ."""
    distance, time = landing_air_distance(
        utility(),
        SEA_LEVEL,
        approach_speed=26.0,
        touchdown_speed=26.0,
        approach_angle=0.1,
        load_factor=1e5,
    )
    assert float(distance) == pytest.approx(OBSTACLE_HEIGHT / tan(0.1), rel=1e-4)
    assert float(time) == pytest.approx(OBSTACLE_HEIGHT / sin(0.1) / 26.0, rel=1e-4)


def test_the_flare_s_circle_adds_its_tangent_length() -> None:
    """A circle into a straight line replaces two tangents by an arc: R tan γ/2 more along the ground."""
    angle, speed, load = 0.1, 26.0, 1.2
    distance = landing_air_distance(
        utility(),
        SEA_LEVEL,
        approach_speed=speed,
        touchdown_speed=speed,
        approach_angle=angle,
        load_factor=load,
    )[0]
    radius = speed**2 / (GRAVITY * (load - sin(angle) / angle))
    assert float(distance) == pytest.approx(OBSTACLE_HEIGHT / tan(angle) + radius * tan(angle / 2), rel=1e-9)


def test_the_float_is_the_differential_equation_s() -> None:
    """From the end of the flare to touchdown at idle in ground effect, drag and slope slowing it."""
    vehicle = utility(zero_lift_drag=0.07)
    arguments = {"approach_speed": 30.0, "approach_angle": 0.06, "slope": 0.01}
    slow = landing_air_distance(vehicle, SEA_LEVEL, touchdown_speed=22.0, **arguments)
    fast = landing_air_distance(vehicle, SEA_LEVEL, touchdown_speed=25.0, **arguments)
    effect = float(ground_effect_factor(2.1 / 10.9))

    def motion(_: float, state: np.ndarray) -> list[float]:
        held = float(drag(vehicle, SEA_LEVEL, state[1], 1.0, effect) / weight(vehicle))
        return [state[1], -GRAVITY * (held + sin(atan(0.01)))]

    def touches(_: float, state: np.ndarray) -> float:
        return float(state[1] - 22.0)

    touches.terminal = True  # type: ignore[attr-defined]
    flown = solve_ivp(motion, (0, 60), [0.0, 25.0], events=touches, rtol=1e-10, atol=1e-10)
    assert float(slow[0] - fast[0]) == pytest.approx(flown.y_events[0][0][0], rel=1e-5)
    assert float(slow[1] - fast[1]) == pytest.approx(flown.t_events[0][0], rel=1e-5)


def test_energy_says_how_long_the_air_distance_is() -> None:
    """Power off at the angle of the idle glide: energy height over drag over weight is the distance."""
    vehicle = utility(zero_lift_drag=0.09, wing_height=500.0)
    glide = float(drag(vehicle, SEA_LEVEL, 30.0, 1.0) / weight(vehicle))
    distance = landing_air_distance(
        vehicle,
        SEA_LEVEL,
        approach_speed=30.0,
        touchdown_speed=25.0,
        approach_angle=float(np.arcsin(glide)),
        load_factor=1.15,
    )[0]
    mean = float(drag(vehicle, SEA_LEVEL, 28.0, 1.05) / weight(vehicle))
    assert float(distance) == pytest.approx((OBSTACLE_HEIGHT + (900 - 625) / (2 * GRAVITY)) / mean, rel=0.03)


def test_wind_and_slope_shift_the_path_as_they_should() -> None:
    """A head wind takes its drift off; an uphill strip meets the path, a steep downhill one runs away."""
    arguments = {"approach_speed": 26.0, "touchdown_speed": 23.0, "approach_angle": 0.08}
    still, time = landing_air_distance(utility(), SEA_LEVEL, **arguments)
    windy, windy_time = landing_air_distance(utility(), SEA_LEVEL, head_wind=5.0, **arguments)
    assert float(windy_time) == pytest.approx(float(time), rel=1e-9)
    assert float(windy) == pytest.approx(float(still - 5.0 * time), rel=1e-9)
    up = landing_air_distance(utility(), SEA_LEVEL, slope=0.05, **arguments)[0]
    down = landing_air_distance(utility(), SEA_LEVEL, slope=-0.05, **arguments)[0]
    assert float(up) < float(still) < float(down)
    away = landing_air_distance(utility(), SEA_LEVEL, slope=-0.09, **arguments)[0]
    assert np.isinf(away)


def test_a_head_wind_lost_on_the_way_down_shortens_the_float() -> None:
    """What the wind loses below the flare is airspeed lost, at most as by an approach slower by all of it."""
    arguments = {"touchdown_speed": 22.0, "approach_angle": 0.08, "load_factor": 1.15}
    still = landing_air_distance(utility(), SEA_LEVEL, approach_speed=28.0, **arguments)
    windy = landing_air_distance(utility(), SEA_LEVEL, approach_speed=28.0, wind_gain=1.5, **arguments)
    slower = landing_air_distance(utility(), SEA_LEVEL, approach_speed=26.5, **arguments)
    drift = 1.5 * float(windy[1])
    assert float(slower[0]) - drift < float(windy[0]) < float(still[0])


def test_what_does_not_stop_is_infinite() -> None:
    """Down a slope without brakes; and its neighbours are not touched."""
    result = landing(
        utility(),
        SEA_LEVEL,
        approach_speed=26.0,
        touchdown_speed=23.0,
        approach_angle=0.15,
        slope=-0.06,
        braking=np.array([0.0, 0.3, np.nan]),
    )
    assert np.isinf(result.ground_roll[0])
    assert np.isinf(result.distance[0])
    assert np.isfinite(result.distance[1])
    assert np.isnan(result.ground_roll[2])
    assert np.isnan(result.distance[2])


def test_a_wind_as_fast_as_the_touchdown_needs_no_roll() -> None:
    """No roll, no negative one, no division by it."""
    result = landing(
        utility(), SEA_LEVEL, approach_speed=26.0, touchdown_speed=20.0, braking=0.3, head_wind=20.0
    )
    assert float(result.ground_roll) == 0.0
    assert float(result.mean_deceleration) == 0.0


def test_stopping_within_the_free_roll_ends_it() -> None:
    """Uphill at a crawl: the roll ends where the speed does, not after the free-roll time."""
    distance, time, _ = landing_roll(
        airless(), SEA_LEVEL, touchdown_speed=2.0, braking=0.3, slope=0.2, free_roll_time=5.0
    )
    deceleration = GRAVITY * (sin(atan(0.2)) + 0.05 * cos(atan(0.2)))
    assert float(time) == pytest.approx(2.0 / deceleration, rel=1e-2)
    assert float(distance) == pytest.approx(4.0 / (2 * deceleration), rel=1e-2)


def test_the_mean_deceleration_is_that_of_the_whole_roll() -> None:
    """From touchdown ground speed to rest over the roll, below the peak."""
    result = landing(
        utility(), SEA_LEVEL, approach_speed=26.0, touchdown_speed=22.0, braking=0.35, head_wind=3.0
    )
    assert float(result.mean_deceleration) == pytest.approx(19.0**2 / (2 * float(result.ground_roll)))
    assert float(result.mean_deceleration) < float(result.peak_deceleration)


@settings(max_examples=25)
@given(st.floats(0.1, 0.4), st.floats(-0.02, 0.05), st.floats(20.0, 26.0), st.floats(-3.0, 8.0))
def test_worse_is_longer(braking: float, slope: float, touchdown: float, wind: float) -> None:
    """Less braking, slope, wind and approach angle, and more approach speed, each lengthen it."""

    def distance(**changes: float) -> float:
        arguments = {
            "approach_speed": touchdown + 3.0,
            "touchdown_speed": touchdown,
            "braking": braking,
            "slope": slope,
            "head_wind": wind,
            "approach_angle": 0.08,
        } | changes
        return float(landing(utility(), SEA_LEVEL, **arguments).distance)

    base = distance()
    assert distance(braking=braking - 0.02) > base
    assert distance(slope=slope - 0.01) > base
    assert distance(head_wind=wind - 1.0) > base
    assert distance(approach_angle=0.07) > base
    assert distance(approach_speed=touchdown + 4.0) > base
    assert distance(free_roll_time=2.0) > base


def test_draws_by_conditions_keep_their_places() -> None:
    """A column of draws against a row of winds; each the same as alone."""
    draws = utility_draws(default_rng(7), 5)
    mass, zero_lift = (np.reshape(value, (-1, 1)) for value in (draws.mass, draws.zero_lift_drag))
    winds = np.array([-2.0, 0.0, 6.0])
    arguments = {"approach_speed": 26.0, "touchdown_speed": 22.0, "braking": 0.3}
    whole = landing(utility(mass=mass, zero_lift_drag=zero_lift), SEA_LEVEL, head_wind=winds, **arguments)
    assert whole.distance.shape == (5, 3)
    assert whole.time.shape == (5, 3)
    assert whole.peak_deceleration.shape == (5, 3)
    one = landing(
        utility(mass=float(mass[3, 0]), zero_lift_drag=float(zero_lift[3, 0])),
        SEA_LEVEL,
        head_wind=6.0,
        **arguments,
    )
    assert float(one.distance) == pytest.approx(float(whole.distance[3, 2]), rel=1e-12)


def test_impossible_arguments_are_refused() -> None:
    """A clear sentence each."""
    arguments = {"approach_speed": 26.0, "touchdown_speed": 22.0, "braking": 0.3}
    for name, value, words in (
        ("approach_speed", 0.0, "approach speed"),
        ("touchdown_speed", -1.0, "touchdown speed"),
        ("braking", -0.1, "braking"),
        ("approach_angle", 0.0, "approach angle"),
        ("load_factor", 1.0, "load factor"),
        ("free_roll_time", -1.0, "free-roll"),
    ):
        with pytest.raises(ValueError, match=words):
            landing(utility(), SEA_LEVEL, **(arguments | {name: value}))
