"""The compiled take-offs and landings: as an integrator flies them, and as the vectorised functions say."""

from collections.abc import Iterator
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from numpy.random import default_rng

from tests.physics.airplanes import utility
from tests.physics.flown_paths import landing_flown, one, take_off_flown
from wringout.physics import takeoff
from wringout.physics.arrays import Array
from wringout.physics.constants import SEA_LEVEL_DENSITY
from wringout.physics.field_arrays import Conditions, LandingRows, TakeOffRows
from wringout.physics.field_kernels import FieldDistances, landings, room_for, take_offs
from wringout.physics.ground import nose_wheel_braking, tail_wheel_braking
from wringout.physics.landing import landing
from wringout.physics.propulsion import (
    ConstantSpeedPropeller,
    ElectricMotor,
    Engine,
    FixedPitchPropeller,
    NaturallyAspiratedEngine,
    Propeller,
    TurbochargedEngine,
)
from wringout.physics.takeoff import take_off
from wringout.physics.vehicle import Air, Vehicle
from wringout.physics.wind import LogarithmicGain

FIXED_PITCH = FixedPitchPropeller(1.95, 1.75, -0.06, 45.0)
GOVERNED = ConstantSpeedPropeller(2.03, 0.75, 0.88)
BREATHING = NaturallyAspiratedEngine(149e3)
ROLLING = np.array([0.05, 0.08])


def taking_off(vehicle: Vehicle | None = None, **changes: object) -> TakeOffRows:
    """An invented airplane lifting off at 25 m/s, passing the obstacle at 28 m/s."""
    rows = TakeOffRows(vehicle or utility(), 25.0, 28.0, ROLLING)
    return replace(rows, **changes)  # type: ignore[arg-type]


def landing_at(vehicle: Vehicle | None = None, **changes: object) -> LandingRows:
    """The same approaching at 28 m/s and touching down at 23 m/s, on a tail wheel."""
    braking = tail_wheel_braking(np.array([0.4, 0.2]), 6.0, 1.2, 0.5)
    rows = LandingRows(vehicle or utility(), 28.0, 23.0, braking, ROLLING, propeller_drag_area=0.15)
    return replace(rows, **changes)  # type: ignore[arg-type]


def hours(**changes: object) -> Conditions:
    """Four hours on two surfaces: standard, hot and high with a head wind, uphill, a tail wind downhill."""
    given = Conditions(
        Air.standard(np.array([0.0, 1500.0, 300.0, 900.0]), np.array([0.0, 20.0, -10.0, 5.0])),
        head_wind=np.array([0.0, 5.0, 2.0, -2.0]),
        slope=np.array([0.0, 0.0, 0.04, -0.02]),
        surface=np.array([0, 1, 1, 0]),
    )
    return replace(given, **changes)  # type: ignore[arg-type]


TAKE_OFFS = {
    "governed": taking_off(),
    "fixed pitch, less power": taking_off(
        utility(propeller=FIXED_PITCH, engine=NaturallyAspiratedEngine(120e3))
    ),
    "charged": taking_off(utility(engine=TurbochargedEngine(130e3, 1000.0))),
    "electric": taking_off(utility(engine=ElectricMotor(140e3, 0.6, 0.1))),
    "passing the obstacle on the arc": taking_off(obstacle_speed=25.0),
    "pulled hard": taking_off(load_factor=1.5, obstacle_speed=26.0),
    "low wing": taking_off(utility(wing_height=0.9), load_factor=1.3),
}


@pytest.mark.parametrize("case", TAKE_OFFS, ids=str)
def test_a_take_off_is_the_flown_one(case: str) -> None:
    """Ground roll and distance to 1e-6 of the integrator's, 5e-6 of a low wing's; in steady wind."""
    rows, conditions = TAKE_OFFS[case], hours()
    found = take_offs(rows, conditions)
    for hour in range(4):
        roll, distance = take_off_flown(rows, one(conditions, hour))
        assert found.roll[0, hour] == pytest.approx(roll, rel=1e-6)
        assert found.distance[0, hour] == pytest.approx(distance, rel=5e-6 if case == "low wing" else 1e-6)


def test_a_growing_head_wind_lifts_the_path_as_flown() -> None:
    """To 2e-5, with half of it kept as airspeed at the obstacle."""
    rows, conditions = taking_off(gain_kept=0.5), hours(wind_gain=np.array([0.0, 1.5, 0.7, -0.5]))
    found = take_offs(rows, conditions)
    for hour in range(4):
        roll, distance = take_off_flown(rows, one(conditions, hour))
        assert found.roll[0, hour] == pytest.approx(roll, rel=1e-6)
        assert found.distance[0, hour] == pytest.approx(distance, rel=2e-5)


LANDINGS = {
    "tail wheel": landing_at(),
    "nose wheel": landing_at(braking=nose_wheel_braking(np.array([0.4, 0.2]), 1.8, 1.2, 1.5)),
    "aimed at a point": landing_at(aims=1.0, approach_angle=0.09, flare_height=5.0, slowest_touchdown=20.0),
    "low wing": landing_at(utility(wing_height=0.9)),
    "brakes at once": landing_at(free_roll_time=0.0),
    "no float": landing_at(touchdown_speed=27.5),
}


@pytest.mark.parametrize("case", LANDINGS, ids=str)
def test_a_landing_is_the_flown_one(case: str) -> None:
    """Roll and distance to 1e-6 of the integrator's, in winds that grow with height too."""
    rows, conditions = LANDINGS[case], hours(wind_gain=np.array([0.0, 1.5, 0.7, -0.5]))
    found = landings(rows, conditions)
    for hour in range(4):
        roll, distance = landing_flown(rows, one(conditions, hour))
        assert found.roll[0, hour] == pytest.approx(roll, rel=1e-6)
        assert found.distance[0, hour] == pytest.approx(distance, rel=1e-6)


def vectorised_take_off(rows: TakeOffRows, conditions: Conditions) -> FieldDistances:
    """The same by `take_off`, which takes one vehicle's numbers."""
    true = np.sqrt(SEA_LEVEL_DENSITY / np.asarray(conditions.air.density))
    found = take_off(
        rows.vehicle,
        conditions.air,
        lift_off_speed=rows.lift_off_speed * true,
        obstacle_speed=rows.obstacle_speed * true + rows.gain_kept * np.asarray(conditions.wind_gain),
        rolling_friction=rows.rolling_friction[np.asarray(conditions.surface)],
        head_wind=conditions.head_wind,
        wind_gain=conditions.wind_gain,
        slope=conditions.slope,
        ground_lift_coefficient=rows.ground_lift_coefficient,
        load_factor=rows.load_factor,
    )
    return FieldDistances(found.ground_roll, found.distance)


def vectorised_landing(rows: LandingRows, conditions: Conditions) -> FieldDistances:
    """The same by `landing`, with the technique's sums done here."""
    true = np.sqrt(SEA_LEVEL_DENSITY / np.asarray(conditions.air.density))
    wind, gain = np.asarray(conditions.head_wind), np.asarray(conditions.wind_gain)
    approach = rows.approach_speed * true - rows.approach_lag * gain
    lost = LogarithmicGain(gain, rows.vehicle.wing_height, rows.obstacle_height).at(rows.flare_height)
    closing = 1 - np.clip((wind + gain) / approach, -0.5, 0.5)
    aimed = np.clip(rows.approach_angle * closing, 0.01, 0.5)
    surface = np.asarray(conditions.surface)
    found = landing(
        rows.vehicle,
        conditions.air,
        approach_speed=approach,
        touchdown_speed=np.maximum(rows.touchdown_speed * true - lost, rows.slowest_touchdown * true),
        braking=rows.braking[surface],
        approach_angle=aimed if rows.aims else rows.approach_angle,
        head_wind=wind,
        wind_gain=gain,
        slope=conditions.slope,
        load_factor=rows.load_factor,
        free_roll_time=rows.free_roll_time,
        rolling_friction=rows.rolling_friction[surface],
        ground_lift_coefficient=rows.ground_lift_coefficient,
        propeller_drag_area=rows.propeller_drag_area,
    )
    return FieldDistances(found.ground_roll, found.distance)


def together(ours: Array, theirs: Array, share: float) -> None:
    """The two agree to a share of the distance, more where it is long: there forces all but cancel.

    Beyond 1.5 km, and whether endless there, is a matter of the last digits of what is left to accelerate.
    """
    far = np.maximum(ours, theirs) > 1500.0
    assert np.all(np.isfinite(ours) & np.isfinite(theirs) | far)
    apart = np.abs(ours[~far] / theirs[~far] - 1)
    assert np.max(apart / (1 + (theirs[~far] / 500.0) ** 3), initial=0.0) <= share


PROPELLERS = st.one_of(
    st.builds(ConstantSpeedPropeller, st.floats(1.6, 2.3), st.floats(0.55, 0.8), st.floats(0.75, 0.92)),
    st.builds(
        FixedPitchPropeller, st.floats(1.6, 2.1), st.floats(1.4, 2.0), st.floats(-0.08, -0.04), st.just(43.0)
    ),
)
ENGINES = st.one_of(
    st.builds(NaturallyAspiratedEngine, st.floats(60e3, 220e3)),
    st.builds(TurbochargedEngine, st.floats(60e3, 220e3), st.floats(0.0, 4000.0)),
    st.builds(ElectricMotor, st.floats(60e3, 220e3), st.floats(0.2, 1.0), st.floats(0.0, 0.3)),
)


@st.composite
def drawn_hours(draw: st.DrawFn) -> Conditions:
    """Seventy hours, more than the loops take at once, of one drawn seed."""
    generator = default_rng(draw(st.integers(0, 2**32)))
    count = 70
    air = Air.standard(generator.uniform(-200, 3500, count), generator.uniform(-25, 30, count))
    gain = draw(st.sampled_from([0.0, 1.0]))
    return Conditions(
        air,
        head_wind=generator.uniform(-4, 10, count),
        slope=generator.uniform(-0.06, 0.06, count),
        surface=generator.integers(0, 2, count),
        wind_gain=gain * generator.uniform(-0.5, 2.0, count),
    )


VEHICLES = st.builds(
    lambda mass, height, drag, induced, offset, propeller, engine: utility(
        mass=mass,
        wing_height=height,
        zero_lift_drag=drag,
        induced_factor=induced,
        lift_at_minimum_drag=offset,
        propeller=propeller,
        engine=engine,
    ),
    st.floats(700.0, 1500.0),
    st.floats(0.8, 2.5),
    st.floats(0.03, 0.08),
    st.floats(0.04, 0.08),
    st.floats(0.0, 0.3),
    PROPELLERS,
    ENGINES,
)


@pytest.fixture
def finely() -> Iterator[None]:
    """The vectorised ground roll with 48 nodes in place of 12, which a run that hardly accelerates needs."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(takeoff, "GROUND_NODES", 48)
        yield


@pytest.mark.usefixtures("finely")
@settings(max_examples=40, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(VEHICLES, drawn_hours(), st.floats(20.0, 30.0), st.floats(1.0, 1.15), st.floats(1.1, 1.6))
def test_take_offs_are_those_of_the_vectorised_functions(
    vehicle: Vehicle, conditions: Conditions, lift_off: float, faster: float, load: float
) -> None:
    """Rolls to 3e-5; distances to 2e-2, as far as `take_off` is right about climbs of 1 in 5."""
    rows = taking_off(vehicle, lift_off_speed=lift_off, obstacle_speed=lift_off * faster, load_factor=load)
    found, expected = take_offs(rows, conditions), vectorised_take_off(rows, conditions)
    together(found.roll[0], expected.roll, 3e-5)
    with np.errstate(invalid="ignore"):
        climbs = expected.distance - expected.roll < 5 * rows.obstacle_height
    together(found.distance[0, climbs], expected.distance[climbs], 2e-2)


@pytest.mark.parametrize(
    ("power", "propeller", "lift_off", "obstacle", "load"),
    [
        (62e3, GOVERNED, 27.0, 28.0, 1.25),
        (66e3, GOVERNED, 27.0, 29.0, 1.4),
        (85e3, FIXED_PITCH, 27.0, 29.0, 1.35),
        (90e3, FIXED_PITCH, 27.0, 28.0, 1.15),
    ],
)
def test_an_airplane_that_hardly_climbs_is_the_flown_one(
    power: float, propeller: Propeller, lift_off: float, obstacle: float, load: float
) -> None:
    """To 1e-4 where the climb is 1 in 20 or less, where `take_off` takes the speed for linear along it."""
    vehicle = utility(mass=1150.0, propeller=propeller, engine=NaturallyAspiratedEngine(power))
    rows = taking_off(vehicle, lift_off_speed=lift_off, obstacle_speed=obstacle, load_factor=load)
    conditions = Conditions(Air.standard(np.array([0.0])))
    found = take_offs(rows, conditions)
    roll, distance = take_off_flown(rows, one(conditions, 0))
    assert distance - roll > 20 * 15.24
    assert found.distance[0, 0] == pytest.approx(distance, rel=1e-4)


@settings(max_examples=40, deadline=None)
@given(
    VEHICLES,
    drawn_hours(),
    st.floats(21.0, 33.0),
    st.floats(0.7, 1.0),
    st.floats(0.03, 0.15),
    st.floats(0.02, 0.4),
    st.sampled_from([0.0, 1.0]),
)
def test_landings_are_those_of_the_vectorised_functions(  # noqa: PLR0917
    vehicle: Vehicle,
    conditions: Conditions,
    approach: float,
    slower: float,
    angle: float,
    grip: float,
    aims: float,
) -> None:
    """To 5e-4: `landing` takes one mean deceleration for the free roll; endless where nothing stops it."""
    rows = landing_at(
        vehicle,
        approach_speed=approach,
        touchdown_speed=approach * slower,
        approach_angle=angle,
        braking=np.array([grip, grip / 2]),
        aims=aims,
        flare_height=5.0 * aims,
        approach_lag=0.5 * aims,
        slowest_touchdown=0.65 * approach,
    )
    found, expected = landings(rows, conditions), vectorised_landing(rows, conditions)
    together(found.roll[0], expected.roll, 5e-4)
    together(found.distance[0], expected.distance, 5e-4)


def test_what_cannot_be_done_is_endless() -> None:
    """Not accelerate, not climb, not stop, never meet the strip: each infinite beside what is finite."""
    powers = np.array([149e3, 5e3, 33e3])
    weak = utility(engine=NaturallyAspiratedEngine(powers))
    still = Conditions(Air.standard(np.zeros(2)), slope=np.array([0.0, -0.1]))
    found = take_offs(taking_off(weak, rolling_friction=np.array([0.03])), still)
    assert np.isfinite(found.distance[0]).all()
    assert np.isinf(found.roll[1, 0])
    assert np.isinf(found.distance[1, 0])
    assert np.isfinite(found.roll[2, 0])
    assert np.isinf(found.distance[2, 0])
    ice = landings(landing_at(braking=np.array([0.05]), rolling_friction=np.array([0.02])), still)
    assert np.isfinite(ice.roll[0, 0])
    assert np.isinf(ice.roll[0, 1])
    away = landings(landing_at(approach_angle=0.05), still)
    assert np.isfinite(away.roll[0]).all()
    assert np.isfinite(away.distance[0, 0])
    assert np.isinf(away.distance[0, 1])


def test_a_missing_number_is_missing_where_it_is_needed_and_nowhere_else() -> None:
    """NaN in a row spoils the row, in a condition its column, on a surface the hours on it."""
    masses = np.array([1090.0, np.nan])
    winds = hours(head_wind=np.array([0.0, np.nan, 2.0, -2.0]))
    expected = np.array([[False, True, False, False], [True, True, True, True]])
    for found in (
        take_offs(taking_off(utility(mass=masses)), winds),
        landings(landing_at(utility(mass=masses)), winds),
    ):
        assert np.array_equal(np.isnan(found.roll), expected)
        assert np.array_equal(np.isnan(found.distance), expected)
    soft = take_offs(taking_off(rolling_friction=np.array([0.05, np.nan])), hours())
    assert np.isnan(soft.distance[0]).tolist() == [False, True, True, False]


@pytest.mark.parametrize("count", [1, 63, 64, 65, 700])
def test_threads_and_portions_change_nothing(count: int) -> None:
    """Every case has the same bits alone, in a crowd, on one thread and on three."""
    generator = default_rng(7)
    vehicle = utility(mass=generator.uniform(900, 1200, 3))
    conditions = Conditions(
        Air.standard(generator.uniform(0, 2000, count)),
        head_wind=generator.uniform(-2, 6, count),
        surface=generator.integers(0, 2, count),
    )
    up, down = taking_off(vehicle), landing_at(vehicle)
    last = one(conditions, count - 1)
    for whole, many, alone in (
        (take_offs(up, conditions, threads=1), take_offs(up, conditions, threads=3), take_offs(up, last)),
        (landings(down, conditions, threads=1), landings(down, conditions, threads=3), landings(down, last)),
    ):
        assert np.array_equal(whole.distance, many.distance)
        assert np.array_equal(whole.roll, many.roll)
        assert np.array_equal(whole.distance[:, -1:], alone.distance)


def test_given_arrays_are_filled_and_returned() -> None:
    """The same arrays serve chunk after chunk; others than the shape asks are refused."""
    room = room_for(1, 4)
    found = take_offs(taking_off(), hours(), into=room)
    assert found is room
    assert np.array_equal(room.distance, take_offs(taking_off(), hours()).distance)
    with pytest.raises(ValueError, match=r"shape \(1, 4\)"):
        take_offs(taking_off(), hours(), into=room_for(4, 1))


def test_impossible_arguments_are_refused() -> None:
    """By the words of the vectorised functions, and a surface that no table knows."""
    with pytest.raises(ValueError, match="lift-off speed"):
        take_offs(taking_off(lift_off_speed=0.0), hours())
    with pytest.raises(ValueError, match="rolling friction"):
        take_offs(taking_off(rolling_friction=np.array([-0.1, 0.1])), hours())
    with pytest.raises(ValueError, match="load factor"):
        take_offs(taking_off(load_factor=1.0), hours())
    with pytest.raises(ValueError, match="braking"):
        landings(landing_at(braking=np.array([-0.1, 0.1])), hours())
    with pytest.raises(ValueError, match="none of the 2"):
        landings(landing_at(), hours(surface=2))


def test_parts_of_another_kind_are_refused() -> None:
    """The loops know the three engines and the two propellers."""

    class Steam:
        """No engine of these."""

    engine: Engine = Steam()  # type: ignore[assignment]
    propeller: Propeller = Steam()  # type: ignore[assignment]
    with pytest.raises(TypeError, match="Steam"):
        take_offs(taking_off(utility(engine=engine)), hours())
    with pytest.raises(TypeError, match="Steam"):
        take_offs(taking_off(utility(propeller=propeller)), hours())
