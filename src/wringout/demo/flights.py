"""The flights of an invented evaluation, flown by the simulator from start-up to shut-down."""

from dataclasses import dataclass

import numpy as np

from wringout.demo.air import KNOT, AirMass
from wringout.demo.craft import FINE_STEP, Craft, Noise
from wringout.demo.ground import stand
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
from wringout.demo.setup import Circuits, Loaded, Plan, Sawtooth, Setup
from wringout.demo.stalls import stall

USUAL = "normal"  # the technique of what is no test point


@dataclass(frozen=True, slots=True)
class Flown:
    """One flight as it truly happened; `samples` has one row per 0.2 s and the columns of craft.COLUMNS."""

    setup: Setup
    plan: Plan
    outing: Outing
    samples: np.ndarray
    mass_at_start: float
    cg_at_start: float
    fuel_left: float  # [L]


def true_mass_and_cg(setup: Setup, configuration: str, loaded: Loaded) -> tuple[float, float]:
    """Mass without fuel [kg] and CG arm [m] with the fuel at start-up."""
    empty, arm = setup.empty[configuration]
    mass, moment = empty, empty * arm
    for station, load in loaded.stations.items():
        mass += load
        moment += load * loaded.arms.get(station, setup.station_arms[station])
    fuel = sum(loaded.fuel.values()) * 1e-3 * setup.machine.fuel_density
    return mass, (moment + fuel * setup.fuel_arm) / (mass + fuel)


def fly(setup: Setup, plan: Plan, seed: int | None) -> Flown:
    """Fly one plan; a seed of None flies it in smooth air with a pilot who never varies.

    Every flight has its own stream of chance, and those of one day share the wind's.
    """
    generator = day = None
    if seed is not None:
        generator = np.random.default_rng([seed, setup.plans.index(plan), 0])
        day = np.random.default_rng([seed, plan.weather.reference.toordinal()])
    dry, cg = true_mass_and_cg(setup, plan.configuration, plan.loaded)
    machine = setup.machine
    density = machine.fuel_density
    fuel = sum(plan.loaded.fuel.values()) * 1e-3 * density
    air_noise, people_noise = Noise(generator), Noise(generator)
    craft = Craft(
        machine, machine.gear(plan.configuration), AirMass(plan.weather, day), air_noise, dry, fuel, cg,
        ticks=round(plan.start / FINE_STEP), mixture=machine.engine.rich,
    )  # fmt: skip
    strip = setup.strip
    x, y = strip.direction
    craft.east, craft.north = strip.east + 15.0 * x, strip.north + 15.0 * y
    craft.heading = np.radians(strip.heading)
    craft.height = craft.ground_height = strip.height(15.0)
    outing = Outing(craft, strip, people_noise, setup.habits)
    stand(craft, strip, 75.0)
    _programme(setup, plan, outing)
    shut_down(outing)
    return Flown(setup, plan, outing, np.array(craft.rows), dry + fuel, cg, craft.fuel / density * 1e3)


def _programme(setup: Setup, plan: Plan, outing: Outing) -> None:
    """All that the plan asks for, from the first take-off to the last landing, neither a test point."""
    measured_take_off(outing, None, setup.take_offs[USUAL])
    climb_away(outing)
    aloft = plan.climb is not None
    if plan.climb is not None:
        climb_to(outing, plan.climb.height, plan.climb.speed * KNOT, plan.climb.course)
    number = 0
    if plan.levels is not None:
        for setting in plan.levels.settings:
            number += 1
            point = f"{plan.prefix}.{number}"
            level_legs(outing, point, setting, plan.levels.headings, plan.levels.height)
    for runs, idle in ((plan.climbs, False), (plan.glides, True)):
        if runs is not None:
            number = _runs(outing, plan.prefix, number, runs, idle=idle)
    if plan.stalls is not None:
        number = _stalls(plan, outing, number)
    if plan.circuits is not None:
        if aloft:
            descend_to(outing, setup.strip.elevation + 590.0, 1.05 * setup.habits.arrival * KNOT, None, 4.5)
            go_home(outing)
        _circuits(setup, plan.prefix, plan.circuits, outing)
        return
    go_home(outing)
    circuit_to_final(outing)
    measured_landing(outing, None, setup.landings[USUAL])


def _runs(outing: Outing, prefix: str, number: int, runs: Sawtooth, *, idle: bool) -> int:
    for turn, speed in enumerate(runs.speeds):
        number += 1
        heading = runs.headings[turn % len(runs.headings)]
        reposition(outing, runs.top if idle else runs.bottom, speed, heading)
        sawtooth(
            outing, f"{prefix}.{number}", speed,
            bottom=runs.bottom, top=runs.top, heading=heading, idle=idle,
        )  # fmt: skip
    return number


def _stalls(plan: Plan, outing: Outing, number: int) -> int:
    assert plan.stalls is not None
    asked = [(flap, rate) for flap in plan.stalls.flaps for rate in plan.stalls.rates]
    for turn, (flap, rate) in enumerate(asked):
        number += 1
        heading = plan.stalls.headings[turn % len(plan.stalls.headings)]
        point = f"{plan.prefix}.{number}"
        stall(outing, point, flap=flap, rate=rate, height=plan.stalls.height, heading=heading)
    return number


def _circuits(setup: Setup, prefix: str, circuits: Circuits, outing: Outing) -> None:
    """Landings and the take-offs between them."""
    for number, landing in enumerate(circuits.landings, 1):
        circuit_to_final(outing)
        filmed = number == circuits.camera
        measured_landing(outing, f"{prefix}.L{number}", setup.landings[landing], camera=filmed)
        if number <= len(circuits.take_offs):
            backtrack(outing, 35.0)
            technique = setup.take_offs[circuits.take_offs[number - 1]]
            measured_take_off(outing, f"{prefix}.T{number}", technique, camera=filmed)
            climb_away(outing)
