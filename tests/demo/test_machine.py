"""The invented airplane hangs together: with mechanics, with its own description, and with a simple polar."""

import tomllib
from importlib import resources
from math import pi, sqrt
from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from wringout.demo import machine
from wringout.demo.air import STANDARD_GRAVITY, AirMass, standard_altitude, standard_pressure
from wringout.demo.flights import EMPTY, FIRST_DAY, STATION_ARMS
from wringout.demo.machine import NOSE_WHEEL, TAIL_WHEEL
from wringout.physics.atmosphere import pressure_at
from wringout.physics.atmosphere import standard_pressure as checked_pressure
from wringout.quantity import Dimension, parse


@pytest.fixture(scope="module")
def described() -> dict[str, Any]:
    """airplane.toml of the demo as typed."""
    place = resources.files("wringout.demo") / "dossier" / "airplane.toml"
    return tomllib.loads(place.read_text(encoding="utf-8"))


@given(st.floats(5.0e3, 160.0e3), st.floats(0.0, 75.0), st.floats(0.6, 1.3), st.floats(30.0, 45.0))
def test_thrust_satisfies_the_momentum_balance(
    power: float, airspeed: float, density: float, engine_speed: float
) -> None:
    """Thrust × (airspeed + induced speed) is the useful power, induced speed by the thrust itself."""
    thrust = machine.thrust(power, airspeed, density, engine_speed, 80.0e3)
    stream = 2.0 * density * machine.PROPELLER_AREA
    induced = 0.5 * (sqrt(airspeed**2 + 4.0 * thrust / stream) - airspeed)
    useful = power * machine.blade_efficiency(airspeed / (engine_speed * machine.PROPELLER_DIAMETER))
    assert thrust * (airspeed + induced) == pytest.approx(useful, rel=1e-4)


@given(st.floats(0.0, 60.0), st.floats(30.0, 45.0))
def test_no_propeller_beats_the_ideal_disk(airspeed: float, engine_speed: float) -> None:
    """The blade efficiency stays below one, so that no thrust exceeds the actuator disk's."""
    assert 0.4 < machine.blade_efficiency(airspeed / (engine_speed * machine.PROPELLER_DIAMETER)) < 0.92


def test_the_drag_is_nearly_a_parabola_where_it_is_flown() -> None:
    """Between 1.3 times the stall speed and cruise a fitted parabola comes within three per cent."""
    lift = np.linspace(0.2, machine.MAXIMUM_LIFT[0] / 1.3**2, 40)
    drag = np.array(
        [machine.drag_coefficient(TAIL_WHEEL, 0.0, c, machine.MAXIMUM_LIFT[0], 1000.0) for c in lift]
    )
    design = np.column_stack([np.ones_like(lift), lift**2])
    fitted = design @ np.linalg.lstsq(design, drag, rcond=None)[0]
    assert np.abs(fitted / drag - 1.0).max() < 0.03


def test_the_drag_leaves_the_parabola_near_the_stall() -> None:
    """At the greatest lift the drag is clearly more than the same airplane's without the buffet rise."""
    near = machine.drag_coefficient(TAIL_WHEEL, 0.0, 1.55, 1.60, 1000.0)
    far = machine.drag_coefficient(TAIL_WHEEL, 0.0, 1.55, 3.0, 1000.0)
    assert near > far + 0.01


@given(st.floats(0.1, 1.5), st.floats(1.0, 20.0))
def test_the_ground_takes_some_of_the_induced_drag(lift: float, height: float) -> None:
    """Drag near the ground is never more than far above it."""
    free = machine.drag_coefficient(NOSE_WHEEL, 15.0, lift, 1.9, 1000.0)
    assert machine.drag_coefficient(NOSE_WHEEL, 15.0, lift, 1.9, height) <= free


def test_description_and_machine_are_one_airplane(described: dict[str, Any]) -> None:
    """Span, area, propeller, masses and gear of airplane.toml are those that the simulator flies."""
    geometry = described["geometry"]
    assert parse(geometry["span"], Dimension.LENGTH) == machine.SPAN
    assert parse(geometry["wing_area"], Dimension.AREA) == machine.WING_AREA
    assert parse(geometry["wing_height"], Dimension.LENGTH) == machine.WING_HEIGHT
    assert parse(described["propeller"]["diameter"], Dimension.LENGTH) == machine.PROPELLER_DIAMETER
    assert parse(described["engine"]["rated_power"], Dimension.POWER) == machine.RATED_POWER
    assert parse(described["engine"]["rated_speed"], Dimension.ROTATION) == pytest.approx(machine.RATED_SPEED)
    assert parse(described["fuel"]["density"], Dimension.DENSITY) == pytest.approx(machine.FUEL_DENSITY)
    assert tuple(flap["name"] for flap in described["flap"]) == machine.FLAP_NAMES
    assert {station["name"] for station in described["station"]} == set(STATION_ARMS)
    for envelope in described["envelope"]:
        assert parse(envelope["maximum_takeoff_mass"], Dimension.MASS) == machine.MAXIMUM_MASS
    for gear, configuration in zip((TAIL_WHEEL, NOSE_WHEEL), described["configuration"], strict=False):
        legs = configuration["undercarriage"]
        assert configuration["name"] == gear.name
        assert parse(legs["main_arm"], Dimension.LENGTH) == gear.main_arm
        assert parse(legs["third_arm"], Dimension.LENGTH) == gear.third_arm
        assert parse(legs["cg_height"], Dimension.LENGTH) == gear.cg_height


def test_kit_arithmetic_gives_the_true_empty_mass(described: dict[str, Any]) -> None:
    """True empty mass and arm with the nose wheel are those with the tail wheel, items off, items on."""
    mass, moment = EMPTY["tail wheel"][0], EMPTY["tail wheel"][0] * EMPTY["tail wheel"][1]
    kit = described["kit"][0]
    for sign, items in ((-1.0, kit["off"]), (1.0, kit["on"])):
        for item in items:
            weight = sign * parse(item["mass"], Dimension.MASS)
            mass += weight
            moment += weight * parse(item["arm"], Dimension.LENGTH)
    assert EMPTY["nose wheel"] == pytest.approx((mass, moment / mass), abs=1e-4)


def test_the_makers_chart_is_the_engine_at_its_best(described: dict[str, Any]) -> None:
    """Each row of the part-power chart is the healthy engine's power and fuel, as printed."""
    for row in described["engine"]["chart"]:
        altitude = parse(row["pressure_altitude"], Dimension.LENGTH)
        power = machine.engine_power(
            parse(row["manifold_pressure"], Dimension.PRESSURE),
            parse(row["engine_speed"], Dimension.ROTATION),
            standard_pressure(altitude),
            288.15 - 0.0065 * altitude,
            mixture=1.0,
            health=1.0,
        )
        flow = machine.fuel_flow(power, 1.0) / machine.FUEL_DENSITY
        assert parse(row["power"], Dimension.POWER) == pytest.approx(power, abs=60.0)
        assert parse(row["fuel_flow"], Dimension.VOLUME_FLOW) * 3.6e6 == pytest.approx(flow * 3.6e6, abs=0.06)


def test_full_throttle_at_sea_level_is_rated_power() -> None:
    """A healthy engine with its throttle open gives 149 kW at 2700 rev/min on a standard day at sea level."""
    manifold = machine.full_manifold_pressure(101325.0, machine.RATED_SPEED, 0.0)
    power = machine.engine_power(manifold, machine.RATED_SPEED, 101325.0, 288.15, mixture=1.0, health=1.0)
    assert power == pytest.approx(machine.RATED_POWER)


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
    greatest = machine.maximum_lift(45.0, machine.MIDDLE_CG, 1.0, 0.0)
    speed = sqrt(2.0 * 1090.0 * STANDARD_GRAVITY / (1.225 * machine.WING_AREA * greatest))
    assert 38.0 < speed / 0.514444 < 45.0
    assert pytest.approx(1.0 / (pi * (10.9**2 / 17.6) * 0.79)) == machine.INDUCED
