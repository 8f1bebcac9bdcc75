"""The five flights of the two invented days, flown by the simulator from start-up to shut-down."""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import UTC, datetime

import numpy as np

from wringout.demo import machine
from wringout.demo.air import KNOT, AirMass, Weather
from wringout.demo.craft import Craft, Noise, Runway
from wringout.demo.ground import stand
from wringout.demo.machine import NOSE_WHEEL, TAIL_WHEEL, Gear
from wringout.demo.pilot import NORMAL_LANDING, NORMAL_TAKE_OFF, SHORT_LANDING, SHORT_TAKE_OFF
from wringout.demo.procedures import (
    Outing,
    backtrack,
    circuit_to_final,
    climb_away,
    climb_to,
    descend_to,
    go_home,
    level_legs,
    measured_landing,
    measured_take_off,
    reposition,
    sawtooth,
    shut_down,
)
from wringout.demo.stalls import stall

STRIP = Runway("Corran Mill", 0.0, 0.0, 310.0, 720.0, 238.0, 0.006, "dry grass", 0.055, 0.42)

FIRST_DAY = Weather(
    reference=datetime(2025, 6, 17, 6, 0, tzinfo=UTC), elevation=310.0, qnh=101880.0, temperature=286.35,
    lapse=0.0062, dew_point=281.2, wind_speed=3.1, wind_from=232.0, roughness=0.03, shear=3.2, veer=14.0,
    veer_per_hour=2.0, rise_per_hour=0.18, gust_sd=0.42, lift_sd=0.16,
)  # fmt: skip
SECOND_DAY = Weather(
    reference=datetime(2025, 6, 18, 6, 0, tzinfo=UTC), elevation=310.0, qnh=100960.0, temperature=283.75,
    lapse=0.0067, dew_point=279.4, wind_speed=2.2, wind_from=250.0, roughness=0.03, shear=2.4, veer=10.0,
    veer_per_hour=-3.0, rise_per_hour=0.10, gust_sd=0.36, lift_sd=0.14,
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class Loaded:
    """True loading at start-up: masses [kg] by station, their arms, fuel [L] by tank."""

    stations: dict[str, float]
    arms: dict[str, float]
    fuel: dict[str, float]


@dataclass(frozen=True, slots=True)
class Plan:
    """One flight of the evaluation: when, in which build and loading, and what is flown."""

    name: str
    title: str
    configuration: str
    gear: Gear
    weather: Weather
    start: float  # s after the weather's reference
    loaded: Loaded
    programme: Callable[[Outing], None]


@dataclass(frozen=True, slots=True)
class Flown:
    """One flight as it truly happened; `samples` has one row per 0.2 s and the columns of craft.COLUMNS."""

    plan: Plan
    outing: Outing
    samples: np.ndarray
    mass_at_start: float
    cg_at_start: float
    fuel_left: float  # [L]


EMPTY = {
    "tail wheel": (668.3, 0.935),
    "nose wheel": (675.2, 0.9282),
}  # true mass [kg] and arm [m], kit exchanged
STATION_ARMS = {"left seat": 1.05, "right seat": 1.05, "cargo bay": 2.20, "aft shelf": 3.05}
FUEL_ARM = 1.14


def true_mass_and_cg(configuration: str, loaded: Loaded) -> tuple[float, float]:
    """Mass without fuel [kg] and CG arm [m] with the fuel at start-up."""
    empty, arm = EMPTY[configuration]
    mass, moment = empty, empty * arm
    for station, load in loaded.stations.items():
        mass += load
        moment += load * loaded.arms.get(station, STATION_ARMS[station])
    fuel = sum(loaded.fuel.values()) * 1e-3 * machine.FUEL_DENSITY
    return mass, (moment + fuel * FUEL_ARM) / (mass + fuel)


def fly(plan: Plan, seed: int | None) -> Flown:
    """Fly one plan; a seed of None flies it in smooth air with a pilot who never varies.

    Every flight has its own stream of chance, and those of one day share the wind's.
    """
    generator = day = None
    if seed is not None:
        generator = np.random.default_rng([seed, PLANS.index(plan), 0])
        day = np.random.default_rng([seed, plan.weather.reference.toordinal()])
    dry, cg = true_mass_and_cg(plan.configuration, plan.loaded)
    fuel = sum(plan.loaded.fuel.values()) * 1e-3 * machine.FUEL_DENSITY
    air_noise, people_noise = Noise(generator), Noise(generator)
    craft = Craft(
        plan.gear, AirMass(plan.weather, day), air_noise, dry, fuel, cg, ticks=round(plan.start / 0.02)
    )
    direction = STRIP.direction
    craft.east, craft.north = STRIP.east + 15.0 * direction[0], STRIP.north + 15.0 * direction[1]
    craft.heading = np.radians(STRIP.heading)
    craft.engine_speed = 16.0  # idling
    craft.height = craft.ground_height = STRIP.height(15.0)
    outing = Outing(craft, STRIP, people_noise)
    stand(craft, STRIP, 75.0)
    plan.programme(outing)
    shut_down(outing)
    return Flown(plan, outing, np.array(craft.rows), dry + fuel, cg, craft.fuel / machine.FUEL_DENSITY * 1e3)


def land_normally(outing: Outing) -> None:
    """Home and down, not a test point."""
    go_home(outing)
    circuit_to_final(outing)
    measured_landing(outing, None, NORMAL_LANDING)


def first_flight(outing: Outing) -> None:
    """Level legs at five speeds on four headings, sawtooth climbs at five speeds, three glides."""
    measured_take_off(outing, None, NORMAL_TAKE_OFF)
    climb_away(outing)
    level = 1640.0
    climb_to(outing, level, 76.0 * KNOT, 1.2)
    headings = (240.0, 330.0, 60.0, 150.0)
    settings = ((0.0, 2700.0), (23.8, 2500.0), (22.0, 2400.0), (19.5, 2300.0), (16.2, 2200.0))
    for number, setting in enumerate(settings, 1):
        level_legs(outing, f"1.{number}", setting, headings, level)
    for number, speed in enumerate((58.0, 66.0, 74.0, 83.0, 93.0)):
        heading = 150.0 if number % 2 else 330.0
        reposition(outing, 1420.0, speed, heading)
        sawtooth(outing, f"1.{number + 6}", speed, bottom=1420.0, top=1800.0, heading=heading)
    for number, speed in enumerate((58.0, 68.0, 80.0)):
        heading = 330.0 if number % 2 else 150.0
        reposition(outing, 1800.0, speed, heading)
        sawtooth(outing, f"1.{number + 11}", speed, bottom=1430.0, top=1800.0, heading=heading, idle=True)
    land_normally(outing)


def stalling(prefix: str) -> Callable[[Outing], None]:
    """Stalls in three flap settings at two entry rates."""

    def programme(outing: Outing) -> None:
        measured_take_off(outing, None, NORMAL_TAKE_OFF)
        climb_away(outing)
        climb_to(outing, 1350.0, 74.0 * KNOT, 4.2)
        number = 0
        for flap in (0.0, 30.0, 45.0):
            for rate in (1.0, 1.0, 2.6):
                number += 1
                heading = 240.0 if number % 2 else 60.0
                stall(outing, f"{prefix}.{number}", flap=flap, rate=rate, height=1350.0, heading=heading)
        land_normally(outing)

    return programme


def circuits(prefix: str, outing: Outing) -> None:
    """Four landings and the three take-offs between them."""
    landings = (NORMAL_LANDING, SHORT_LANDING, SHORT_LANDING, NORMAL_LANDING)
    take_offs = (NORMAL_TAKE_OFF, SHORT_TAKE_OFF, SHORT_TAKE_OFF)
    for number, landing in enumerate(landings):
        circuit_to_final(outing)
        measured_landing(outing, f"{prefix}.L{number + 1}", landing, camera=number == 1)
        if number < len(take_offs):
            backtrack(outing, 35.0)
            measured_take_off(outing, f"{prefix}.T{number + 1}", take_offs[number], camera=number == 1)
            climb_away(outing)


def strip_work(outing: Outing) -> None:
    """The strip work of the first day."""
    measured_take_off(outing, None, NORMAL_TAKE_OFF)
    climb_away(outing)
    circuits("3a", outing)


def nose_wheel_work(outing: Outing) -> None:
    """The second day: a few legs to see the kit's drag, then the strip work."""
    measured_take_off(outing, None, NORMAL_TAKE_OFF)
    climb_away(outing)
    level = 1560.0
    climb_to(outing, level, 76.0 * KNOT, 1.2)
    headings = (240.0, 0.0, 120.0)
    for number, setting in enumerate(((0.0, 2700.0), (23.0, 2500.0), (19.5, 2300.0)), 1):
        level_legs(outing, f"3b.{number}", setting, headings, level)
    descend_to(outing, 900.0, 105.0 * KNOT, None, 4.5)
    go_home(outing)
    circuits("3b", outing)


CREW = {"left seat": 84.0, "right seat": 76.0}

PLANS = (
    Plan(
        "flight-1", "Level speeds, climbs and glides", "tail wheel", TAIL_WHEEL, FIRST_DAY, 1.2 * 3600.0,
        Loaded({**CREW, "cargo bay": 60.0}, {"cargo bay": 1.90}, {"left": 82.0, "right": 80.0}),
        first_flight,
    ),
    Plan(
        "flight-2a", "Stalls, forward CG", "tail wheel", TAIL_WHEEL, FIRST_DAY, 3.6 * 3600.0,
        Loaded(CREW, {}, {"left": 50.0, "right": 52.0}),
        stalling("2a"),
    ),
    Plan(
        "flight-2b", "Stalls, aft CG", "tail wheel", TAIL_WHEEL, FIRST_DAY, 5.1 * 3600.0,
        Loaded(
            {**CREW, "cargo bay": 105.0, "aft shelf": 12.0}, {"cargo bay": 2.40},
            {"left": 48.0, "right": 50.0},
        ),
        stalling("2b"),
    ),
    Plan(
        "flight-3a", "Strip work with the tail wheel", "tail wheel", TAIL_WHEEL, FIRST_DAY, 9.2 * 3600.0,
        Loaded({**CREW, "cargo bay": 90.0}, {"cargo bay": 1.95}, {"left": 70.0, "right": 72.0}),
        strip_work,
    ),
    Plan(
        "flight-3b", "Speeds and strip work with the nose wheel", "nose wheel", NOSE_WHEEL, SECOND_DAY,
        2.3 * 3600.0,
        Loaded({**CREW, "cargo bay": 90.0}, {"cargo bay": 1.95}, {"left": 80.0, "right": 78.0}),
        nose_wheel_work,
    ),
)  # fmt: skip
