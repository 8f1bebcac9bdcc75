"""The truth asked one question at a time: no gusts, no sensors, a pilot who never varies."""

from collections.abc import Callable
from datetime import UTC, datetime
from math import radians, sqrt, tan

import numpy as np

from wringout.demo import steady
from wringout.demo.air import STANDARD_DENSITY, STANDARD_LAPSE, STANDARD_TEMPERATURE, UniformAir, still_air
from wringout.demo.craft import Craft, Noise, Runway
from wringout.demo.flights import USUAL
from wringout.demo.ground import LandingFlown, TakeOffFlown, approach_and_land, take_off
from wringout.demo.machine import Machine
from wringout.demo.pilot import stall_speed
from wringout.demo.procedures import Outing, StallFlown
from wringout.demo.sensors import calibrated_airspeed
from wringout.demo.setup import Setup
from wringout.demo.stalls import stall
from wringout.model.question import Question

GROUND = {"dry grass": (0.055, 0.42), "gravel": (0.045, 0.36)}  # rolling friction and grip under brakes
CRUISE_SPEEDS = (0.0, 100.0, 200.0, 300.0, 400.0)  # rev/min above 400 below rated: the slowest that does
CEILING_CLIMB = 0.508  # m/s
LEANED_ABOVE = 2200.0  # m, full rich below
_LONG_AGO = datetime(2025, 1, 1, tzinfo=UTC)
_STALL_HEIGHT = 1000.0
_FINAL = 1500.0  # m
# Equivalent speeds of the break at maximum mass, CG in the middle, by airplane and flap setting.
_CLEAN: dict[tuple[Machine, str], float] = {}


def true_answer(setup: Setup, question: Question) -> float:
    """What the simulated airplane truly does. [SI]

    The CG lies at the machine's middle; a stall is read at the break, at 1 kt/s; climbs are full rich below
    2200 m and leaned to best power above; a power fraction is set by the maker's chart at the slowest engine
    speed that gives it, leaned to best power; without a governor the throttle gives what the chart would.

    Raises
    ------
    ValueError
        A quantity, configuration or surface that the simulator does not know.
    """
    quantity = question.quantity
    if quantity == "stall speed":
        return calibrated(nominal_stall(setup, question).break_speed, question.pressure_altitude)
    if quantity in ("take-off ground roll", "take-off distance"):
        off = nominal_take_off(setup, question)
        return off.ground_roll + (off.air_distance if quantity == "take-off distance" else 0.0)
    if quantity in ("landing ground roll", "landing distance"):
        down = nominal_landing(setup, question)
        return down.ground_roll + (down.air_distance if quantity == "landing distance" else 0.0)
    return _steady_answer(setup, question)


def _steady_answer(setup: Setup, question: Question) -> float:
    altitude, fraction = question.pressure_altitude, question.power_fraction
    machine = setup.machine
    condition = _condition(setup, question, altitude)
    full = steady.full(machine, leaned=altitude >= LEANED_ABOVE)
    answers: dict[str, Callable[[], float]] = {
        "full-throttle speed": lambda: steady.level_speed(condition, full),
        "best climb speed": lambda: calibrated(steady.best_climb(condition, full)[0], altitude),
        "glide ratio": lambda: steady.best_glide(condition)[1],
        "best glide speed": lambda: calibrated(steady.best_glide(condition)[0], altitude),
        "service ceiling": lambda: _ceiling(setup, question),
    }
    if question.speed is None:
        answers["rate of climb"] = lambda: steady.best_climb(condition, full)[1]
    if fraction is not None:
        answers["cruise speed"] = lambda: steady.level_speed(condition, _cruise_power(condition, fraction))
        shaft = fraction * machine.engine.rated_power * machine.engine.health
        answers["fuel flow"] = lambda: machine.engine.fuel_flow(shaft, 1.0) / machine.fuel_density
    if question.quantity not in answers:
        raise ValueError(f"the simulator has no answer to {question}")
    return answers[question.quantity]()


def _condition(setup: Setup, question: Question, altitude: float) -> steady.Condition:
    return steady.Condition(
        setup.machine,
        setup.machine.gear(question.configuration),
        question.mass,
        0.0,
        setup.machine.middle_cg,
        _air(altitude, question.temperature, 0.0),
        altitude,
    )


def _air(altitude: float, temperature: float | None, head_wind: float) -> UniformAir:
    """Air whose standard pressure stands at the altitude; the strip of every question points north."""
    warmth = STANDARD_TEMPERATURE - STANDARD_LAPSE * altitude if temperature is None else temperature
    return UniformAir(still_air(altitude, warmth, 101325.0, _LONG_AGO), 0.0, -head_wind)


def _cruise_power(condition: steady.Condition, fraction: float) -> steady.Power:
    engine = condition.machine.engine
    if not condition.machine.propeller.governed:
        shaft = fraction * engine.rated_power * engine.health
        power = steady.Power(None, engine.rated_speed, 1.0, shaft)
        most = steady.running(condition, steady.full(condition.machine, leaned=True), 40.0).shaft
        return power if most > shaft else steady.full(condition.machine, leaned=True)
    for above in CRUISE_SPEEDS:
        speed = engine.rated_speed * 60.0 - 400.0 + above
        try:
            manifold = steady.chart_manifold(condition, fraction, speed / 60.0)
        except ValueError:
            continue
        power = steady.Power(manifold, speed / 60.0, 1.0)
        if steady.running(condition, power, 55.0).manifold == manifold:
            return power
    raise ValueError(f"the engine does not give {fraction:.0%} there")


def _ceiling(setup: Setup, question: Question) -> float:
    low, high = 1000.0, 10500.0
    while high - low > 0.5:
        middle = 0.5 * (low + high)
        condition = _condition(setup, question, middle)
        climb = steady.best_climb(condition, steady.full(setup.machine, leaned=True))[1]
        low, high = (middle, high) if climb > CEILING_CLIMB else (low, middle)
    return 0.5 * (low + high)


def calibrated(equivalent: float, pressure_altitude: float) -> float:
    """Calibrated airspeed of an equivalent airspeed in the standard atmosphere. [m/s]"""
    pressure, temperature, density = _air(pressure_altitude, None, 0.0).at(pressure_altitude)
    true = equivalent * sqrt(STANDARD_DENSITY / density)
    return float(calibrated_airspeed(np.array(true), np.array(pressure), np.array(temperature)))


def nominal_stall(setup: Setup, question: Question, entry_rate: float = 1.0) -> StallFlown:
    """The stall manoeuvre in still air; the equivalent airspeed of the break hardly depends on height."""
    craft = _craft(setup, question, _air(0.0, None, 0.0))
    craft.height, craft.ground_height = _STALL_HEIGHT, 0.0
    _airborne(craft, 1.5 * stall_speed(craft, 0.0))
    outing = Outing(craft, _runway(setup, question), Noise(None), setup.habits)
    flap = setup.machine.flap_angle(question.flap)
    stall(outing, "truth", flap=flap, rate=entry_rate, height=_STALL_HEIGHT, heading=0.0)
    return outing.stalls[0][1]


def stall_speed_at(setup: Setup, flap: str, mass: float, cg: float) -> float:
    """Equivalent stall speed [m/s] at idle and 1 kt/s in smooth air, at a mass [kg] and a CG arm [m]."""
    machine = setup.machine
    most = machine.maximum_mass
    question = Question("stall speed", machine.gears[0].name, most, flap)
    if (machine, flap) not in _CLEAN:
        _CLEAN[machine, flap] = nominal_stall(setup, question).break_speed
    return _CLEAN[machine, flap] * sqrt(mass / most / (1.0 + machine.cg_effect * (cg - machine.middle_cg)))


def nominal_take_off(setup: Setup, question: Question) -> TakeOffFlown:
    """The take-off with the technique as it is meant."""
    technique = setup.take_offs[question.technique or USUAL]
    craft = _craft(
        setup, question, _air(question.pressure_altitude, question.temperature, question.head_wind)
    )
    return take_off(craft, _runway(setup, question), technique)


def nominal_landing(setup: Setup, question: Question) -> LandingFlown:
    """The landing with the technique as it is meant, from a final of 1500 m at the approach speed."""
    technique = setup.landings[question.technique or USUAL]
    craft = _craft(
        setup, question, _air(question.pressure_altitude, question.temperature, question.head_wind)
    )
    runway = _runway(setup, question)
    craft.flap = technique.flap
    craft.north = -_FINAL
    craft.height = runway.elevation + _FINAL * tan(radians(technique.approach_angle))
    thin = sqrt(STANDARD_DENSITY / craft.air.at(craft.height)[2])
    _airborne(craft, technique.approach * stall_speed(craft, technique.flap) * thin)
    return approach_and_land(craft, runway, technique, 0.0)


def _craft(setup: Setup, question: Question, air: UniformAir) -> Craft:
    fuel = 60.0
    machine = setup.machine
    gear = machine.gear(question.configuration)
    craft = Craft(machine, gear, air, Noise(None), question.mass - fuel, fuel, machine.middle_cg)
    craft.engine_speed = craft.engine_speed_command = machine.engine.rated_speed
    craft.mixture = machine.engine.rich
    craft.height = craft.ground_height = air.base_height
    return craft


def _airborne(craft: Craft, speed: float) -> None:
    craft.airspeed = craft.indicated = speed
    craft.manifold = craft.manifold_command = 55.0e3
    craft.lift_coefficient = 0.9
    craft.wheels = 0.0
    craft.north_speed = speed


def _runway(setup: Setup, question: Question) -> Runway:
    strip = setup.strip
    own = {strip.surface: (strip.rolling, strip.grip)}
    rolling, grip = {**GROUND, **own}[question.surface]
    return Runway(
        "truth",
        0.0,
        0.0,
        question.pressure_altitude,
        3000.0,
        0.0,
        question.slope,
        question.surface,
        rolling,
        grip,
    )
