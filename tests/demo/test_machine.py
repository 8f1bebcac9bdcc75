"""The invented airplane hangs together: with mechanics, with its own description, and with a simple polar."""

import tomllib
from math import pi, radians, sqrt
from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from wringout.demo import steady
from wringout.demo.air import (
    STANDARD_GRAVITY,
    AirMass,
    UniformAir,
    standard_altitude,
    standard_pressure,
    still_air,
)
from wringout.demo.propellers import ConstantSpeed
from wringout.demo.setup import AIRPLANES, setup, text
from wringout.physics.atmosphere import pressure_at
from wringout.physics.atmosphere import standard_pressure as checked_pressure
from wringout.quantity import Dimension, parse

SHEPHERD = setup()
MACHINE = SHEPHERD.machine
TAIL_WHEEL, NOSE_WHEEL = MACHINE.gears
FIRST_DAY = SHEPHERD.plans[0].weather
assert isinstance(MACHINE.propeller, ConstantSpeed)
PROPELLER: ConstantSpeed = MACHINE.propeller
every = pytest.mark.parametrize("airplane", AIRPLANES)


def described(airplane: str) -> dict[str, Any]:
    """airplane.toml of a demo as typed."""
    return tomllib.loads(text(airplane, "airplane.toml"))


@given(st.floats(5.0e3, 160.0e3), st.floats(0.0, 75.0), st.floats(0.6, 1.3), st.floats(30.0, 45.0))
def test_thrust_satisfies_the_momentum_balance(
    power: float, airspeed: float, density: float, engine_speed: float
) -> None:
    """Thrust × (airspeed + induced speed) is the useful power, induced speed by the thrust itself."""
    thrust = PROPELLER.thrust(power, airspeed, density, engine_speed, 80.0e3)
    stream = 2.0 * density * pi / 4.0 * PROPELLER.diameter**2
    induced = 0.5 * (sqrt(airspeed**2 + 4.0 * thrust / stream) - airspeed)
    useful = power * PROPELLER.blade_efficiency(airspeed / (engine_speed * PROPELLER.diameter))
    assert thrust * (airspeed + induced) == pytest.approx(useful, rel=1e-4)


@given(st.floats(0.0, 60.0), st.floats(30.0, 45.0))
def test_no_propeller_beats_the_ideal_disk(airspeed: float, engine_speed: float) -> None:
    """The blade efficiency stays below one, so that no thrust exceeds the actuator disk's."""
    assert 0.4 < PROPELLER.blade_efficiency(airspeed / (engine_speed * PROPELLER.diameter)) < 0.92


def test_the_drag_is_nearly_a_parabola_where_it_is_flown() -> None:
    """Between 1.3 times the stall speed and cruise a fitted parabola comes within three per cent."""
    lift = np.linspace(0.2, MACHINE.maximum_lift[0] / 1.3**2, 40)
    drag = np.array(
        [MACHINE.drag_coefficient(TAIL_WHEEL, 0.0, c, MACHINE.maximum_lift[0], 1000.0) for c in lift]
    )
    design = np.column_stack([np.ones_like(lift), lift**2])
    fitted = design @ np.linalg.lstsq(design, drag, rcond=None)[0]
    assert np.abs(fitted / drag - 1.0).max() < 0.03


def test_the_drag_leaves_the_parabola_near_the_stall() -> None:
    """At the greatest lift the drag is clearly more than the same airplane's without the buffet rise."""
    near = MACHINE.drag_coefficient(TAIL_WHEEL, 0.0, 1.55, 1.60, 1000.0)
    far = MACHINE.drag_coefficient(TAIL_WHEEL, 0.0, 1.55, 3.0, 1000.0)
    assert near > far + 0.01


@given(st.floats(0.1, 1.5), st.floats(1.0, 20.0))
def test_the_ground_takes_some_of_the_induced_drag(lift: float, height: float) -> None:
    """Drag near the ground is never more than far above it."""
    free = MACHINE.drag_coefficient(NOSE_WHEEL, 15.0, lift, 1.9, 1000.0)
    assert MACHINE.drag_coefficient(NOSE_WHEEL, 15.0, lift, 1.9, height) <= free


@every
def test_description_and_machine_are_one_airplane(airplane: str) -> None:
    """Span, area, propeller, masses and gear of airplane.toml are those that the simulator flies."""
    typed, made = described(airplane), setup(airplane)
    machine, engine, geometry = made.machine, made.machine.engine, typed["geometry"]
    assert parse(geometry["span"], Dimension.LENGTH) == machine.span
    assert parse(geometry["wing_area"], Dimension.AREA) == machine.wing_area
    assert parse(geometry["wing_height"], Dimension.LENGTH) == machine.wing_height
    assert parse(geometry["length"], Dimension.LENGTH) == pytest.approx(machine.nose - machine.tail)
    assert parse(typed["propeller"]["diameter"], Dimension.LENGTH) == machine.propeller.diameter
    assert (typed["propeller"]["kind"] == "constant speed") is machine.propeller.governed
    assert parse(typed["engine"]["rated_power"], Dimension.POWER) == engine.rated_power
    assert parse(typed["engine"]["rated_speed"], Dimension.ROTATION) == pytest.approx(engine.rated_speed)
    assert (typed["engine"]["kind"] == "turbocharged") is bool(engine.boost_limit)
    assert parse(typed["fuel"]["density"], Dimension.DENSITY) == pytest.approx(machine.fuel_density)
    assert tuple(flap["name"] for flap in typed["flap"]) == machine.flap_names
    for flap, degrees in zip(typed["flap"], machine.flap_degrees, strict=True):
        assert parse(flap["deflection"], Dimension.ANGLE) == pytest.approx(radians(degrees))
    assert {station["name"] for station in typed["station"]} == set(made.station_arms)
    flown = {configuration["envelope"] for configuration in typed["configuration"]}
    for envelope in (item for item in typed["envelope"] if item["name"] in flown):
        assert parse(envelope["maximum_takeoff_mass"], Dimension.MASS) == machine.maximum_mass
    for gear, configuration in zip(machine.gears, typed["configuration"], strict=False):
        legs = configuration["undercarriage"]
        assert configuration["name"] == gear.name
        assert (legs["kind"] == "tail wheel") is gear.tail_wheel
        assert parse(legs["main_arm"], Dimension.LENGTH) == gear.main_arm
        assert parse(legs["third_arm"], Dimension.LENGTH) == gear.third_arm
        assert parse(legs["cg_height"], Dimension.LENGTH) == gear.cg_height


def test_kit_arithmetic_gives_the_true_empty_mass() -> None:
    """True empty mass and arm with the nose wheel are those with the tail wheel, items off, items on."""
    kit, empty = described(AIRPLANES[0])["kit"][0], SHEPHERD.empty
    mass, moment = empty["tail wheel"][0], empty["tail wheel"][0] * empty["tail wheel"][1]
    for sign, items in ((-1.0, kit["off"]), (1.0, kit["on"])):
        for item in items:
            weight = sign * parse(item["mass"], Dimension.MASS)
            mass += weight
            moment += weight * parse(item["arm"], Dimension.LENGTH)
    assert empty["nose wheel"] == pytest.approx((mass, moment / mass), abs=1e-4)


@every
def test_the_weighing_is_the_true_empty_mass(airplane: str) -> None:
    """What stood on the scales, less what was aboard and was not empty, is the truth within their errors."""
    weighing = described(airplane)["weighing"]
    mass = moment = 0.0
    rows = [(1.0, one["reading"], one["arm"]) for one in weighing["reading"]]
    rows += [(-1.0, one["tare"], one["arm"]) for one in weighing["reading"] if "tare" in one]
    rows += [(-1.0, one["mass"], one["arm"]) for one in weighing.get("aboard_not_empty", ())]
    rows += [(1.0, one["mass"], one["arm"]) for one in weighing.get("missing_from_empty", ())]
    for sign, weight, arm in rows:
        mass += sign * parse(weight, Dimension.MASS)
        moment += sign * parse(weight, Dimension.MASS) * parse(arm, Dimension.LENGTH)
    true_mass, true_arm = setup(airplane).empty[weighing["configuration"]]
    assert mass == pytest.approx(true_mass, abs=1.5)
    assert moment / mass == pytest.approx(true_arm, abs=0.004)


@every
def test_the_makers_chart_is_the_engine_at_its_best(airplane: str) -> None:
    """Each row of the part-power chart is the healthy engine's power and fuel, as printed."""
    machine = setup(airplane).machine
    rows = described(airplane)["engine"].get("chart", ())
    assert bool(rows) is machine.propeller.governed
    for row in rows:
        altitude = parse(row["pressure_altitude"], Dimension.LENGTH)
        power = machine.engine.power(
            parse(row["manifold_pressure"], Dimension.PRESSURE),
            parse(row["engine_speed"], Dimension.ROTATION),
            standard_pressure(altitude),
            288.15 - 0.0065 * altitude,
            mixture=1.0,
            health=1.0,
        )
        flow = machine.engine.fuel_flow(power, 1.0) / machine.fuel_density
        assert parse(row["power"], Dimension.POWER) == pytest.approx(power, abs=60.0)
        assert parse(row["fuel_flow"], Dimension.VOLUME_FLOW) * 3.6e6 == pytest.approx(flow * 3.6e6, abs=0.06)


@every
def test_full_throttle_at_sea_level_is_rated_power(airplane: str) -> None:
    """A healthy engine, throttle open, gives its rated power on a standard day at sea level."""
    engine = setup(airplane).machine.engine
    manifold = engine.full_manifold(101325.0, engine.rated_speed, 0.0)
    power = engine.power(manifold, engine.rated_speed, 101325.0, 288.15, mixture=1.0, health=1.0)
    assert power == pytest.approx(engine.rated_power)


def test_a_charger_holds_its_power_up_to_the_critical_altitude() -> None:
    """The Fieldfare gives nearly its rated power where its maker says, and clearly less 1500 m above."""
    typed, engine = described("fieldfare")["engine"], setup("fieldfare").machine.engine

    def full(altitude: float) -> float:
        air = standard_pressure(altitude), 288.15 - 0.0065 * altitude
        manifold = engine.full_manifold(air[0], engine.rated_speed, 0.0)
        return engine.power(manifold, engine.rated_speed, *air, mixture=1.0, health=1.0)

    critical = parse(typed["critical_altitude"], Dimension.LENGTH)
    assert full(critical) == pytest.approx(engine.rated_power, rel=0.04)
    assert full(critical + 1500.0) < 0.9 * full(critical)


@given(st.floats(0.0, 60.0), st.floats(12.0, 50.0))
def test_blades_that_stand_still_obey_energy(airspeed: float, turns: float) -> None:
    """A fixed-pitch propeller that pulls never gives more than it takes, nor much of what it takes."""
    propeller = setup("dunlin").machine.propeller
    pull = propeller.thrust(0.0, airspeed, 1.1, turns, 80.0e3)
    if pull > 0.0:
        assert pull * airspeed < 0.88 * propeller.absorbed(airspeed, 1.1, turns)


def test_blades_that_stand_still_unload_with_speed() -> None:
    """At full throttle the Dunlin's engine turns faster the faster it flies, at rated speed flat out."""
    made = setup("dunlin")
    machine, air = made.machine, UniformAir(still_air(0.0, 288.15, 101325.0, FIRST_DAY.reference), 0.0, 0.0)
    condition = steady.Condition(machine, machine.gears[0], 560.0, 0.0, machine.middle_cg, air, 0.0)
    turns = [
        steady.running(condition, steady.full(machine), speed).turns for speed in (1.0, 20.0, 30.0, 40.0)
    ]
    assert turns == sorted(turns)
    assert 0.78 * machine.engine.rated_speed < turns[0] < 0.92 * machine.engine.rated_speed
    flat_out = steady.level_speed(condition, steady.full(machine))
    top = steady.running(condition, steady.full(machine), flat_out).turns
    assert top == pytest.approx(machine.engine.rated_speed, rel=0.06)


def test_the_simulators_own_air_agrees_with_the_checked_atmosphere() -> None:
    """Standard pressure, its inverse and QNH meet the physics package, which meets the printed tables."""
    for altitude in (0.0, 310.0, 1500.0, 5000.0):
        assert standard_pressure(altitude) == pytest.approx(float(checked_pressure(altitude)), rel=1e-6)
        assert standard_altitude(standard_pressure(altitude)) == pytest.approx(altitude, abs=1e-6)
    air = AirMass(FIRST_DAY)
    assert air.base_pressure == pytest.approx(
        float(pressure_at(FIRST_DAY.qnh, FIRST_DAY.elevation)), rel=1e-6
    )


def test_the_air_hangs_on_its_own_weight() -> None:
    """The day's pressure falls with height as density and gravity say."""
    air = AirMass(FIRST_DAY)
    for height in (320.0, 900.0, 1800.0):
        fall = (air.at(height - 1.0)[0] - air.at(height + 1.0)[0]) / 2.0
        density = air.at(height)[2] * air.moisture  # the profile is that of dry air
        assert fall == pytest.approx(density * STANDARD_GRAVITY, rel=1e-5)


def test_the_stall_speed_of_the_sheet_is_plausible() -> None:
    """Full flap at maximum mass lies where airplanes of this wing loading stall, 38 to 45 kt."""
    greatest = MACHINE.greatest_lift(45.0, MACHINE.middle_cg, 1.0, 0.0)
    speed = sqrt(2.0 * 1090.0 * STANDARD_GRAVITY / (1.225 * MACHINE.wing_area * greatest))
    assert 38.0 < speed / 0.514444 < 45.0
    assert pytest.approx(1.0 / (pi * (10.9**2 / 17.6) * 0.79)) == MACHINE.induced
