"""The truth asked one question at a time: no gusts, no sensors, a pilot who never varies."""

from collections.abc import Callable
from datetime import UTC, datetime
from functools import lru_cache
from math import radians, sqrt, tan

import numpy as np

from wringout.demo import steady
from wringout.demo.air import STANDARD_DENSITY, STANDARD_LAPSE, STANDARD_TEMPERATURE, UniformAir, still_air
from wringout.demo.craft import Craft, Noise, Runway
from wringout.demo.ground import LandingFlown, TakeOffFlown, approach_and_land, take_off
from wringout.demo.machine import (
    CG_EFFECT,
    FLAP_NAMES,
    FUEL_DENSITY,
    HEALTH,
    MIDDLE_CG,
    NOSE_WHEEL,
    RATED_POWER,
    TAIL_WHEEL,
    fuel_flow,
)
from wringout.demo.pilot import (
    NORMAL_LANDING,
    NORMAL_TAKE_OFF,
    SHORT_LANDING,
    SHORT_TAKE_OFF,
    LandingTechnique,
    TakeOffTechnique,
)
from wringout.demo.procedures import Outing, StallFlown
from wringout.demo.sensors import calibrated_airspeed
from wringout.demo.stalls import stall
from wringout.model.question import Question

GEARS = {gear.name: gear for gear in (TAIL_WHEEL, NOSE_WHEEL)}
TAKE_OFFS = {technique.name: technique for technique in (SHORT_TAKE_OFF, NORMAL_TAKE_OFF)}
LANDINGS = {technique.name: technique for technique in (SHORT_LANDING, NORMAL_LANDING)}
GROUND = {"dry grass": (0.055, 0.42), "gravel": (0.045, 0.36)}  # rolling friction and grip under brakes
CRUISE_SPEEDS = (2300.0, 2400.0, 2500.0, 2600.0, 2700.0)  # rev/min, the slowest that gives the power
CEILING_CLIMB = 0.508  # m/s
LEANED_ABOVE = 2200.0  # m, full rich below
_LONG_AGO = datetime(2025, 1, 1, tzinfo=UTC)
_STALL_HEIGHT = 1000.0


def true_answer(question: Question) -> float:
    """What the simulated airplane truly does. [SI]

    The CG lies at `machine.MIDDLE_CG`; a stall is read at the break, at 1 kt/s; climbs are full rich below
    2200 m and leaned to best power above; a power fraction is set by the maker's chart at the slowest engine
    speed that gives it, leaned to best power.

    Raises
    ------
    ValueError
        A quantity, configuration or surface that the simulator does not know.
    """
    quantity = question.quantity
    if quantity == "stall speed":
        return calibrated(nominal_stall(question).break_speed, question.pressure_altitude)
    if quantity in ("take-off ground roll", "take-off distance"):
        off = nominal_take_off(question)
        return off.ground_roll + (off.air_distance if quantity == "take-off distance" else 0.0)
    if quantity in ("landing ground roll", "landing distance"):
        down = nominal_landing(question)
        return down.ground_roll + (down.air_distance if quantity == "landing distance" else 0.0)
    return _steady_answer(question)


def _steady_answer(question: Question) -> float:
    altitude, fraction = question.pressure_altitude, question.power_fraction
    condition = _condition(question, altitude)
    full = steady.FULL if altitude < LEANED_ABOVE else steady.FULL_LEANED
    answers: dict[str, Callable[[], float]] = {
        "full-throttle speed": lambda: steady.level_speed(condition, full),
        "best climb speed": lambda: calibrated(steady.best_climb(condition, full)[0], altitude),
        "glide ratio": lambda: steady.best_glide(condition)[1],
        "best glide speed": lambda: calibrated(steady.best_glide(condition)[0], altitude),
        "service ceiling": lambda: _ceiling(question),
    }
    if question.speed is None:
        answers["rate of climb"] = lambda: steady.best_climb(condition, full)[1]
    if fraction is not None:
        answers["cruise speed"] = lambda: steady.level_speed(condition, _cruise_power(condition, fraction))
        answers["fuel flow"] = lambda: fuel_flow(fraction * RATED_POWER * HEALTH, 1.0) / FUEL_DENSITY
    if question.quantity not in answers:
        raise ValueError(f"the simulator has no answer to {question}")
    return answers[question.quantity]()


def _condition(question: Question, altitude: float) -> steady.Condition:
    return steady.Condition(
        GEARS[question.configuration],
        question.mass,
        0.0,
        MIDDLE_CG,
        _air(altitude, question.temperature, 0.0),
        altitude,
    )


def _air(altitude: float, temperature: float | None, head_wind: float) -> UniformAir:
    """Air whose standard pressure stands at the altitude; the strip of every question points north."""
    warmth = STANDARD_TEMPERATURE - STANDARD_LAPSE * altitude if temperature is None else temperature
    return UniformAir(still_air(altitude, warmth, 101325.0, _LONG_AGO), 0.0, -head_wind)


def _cruise_power(condition: steady.Condition, fraction: float) -> steady.Power:
    for speed in CRUISE_SPEEDS:
        manifold = steady.chart_manifold(condition, fraction, speed / 60.0)
        power = steady.Power(manifold, speed / 60.0, 1.0)
        if steady.shaft_power(condition, power, 55.0)[1] == manifold:
            return power
    raise ValueError(f"the engine does not give {fraction:.0%} there")


def _ceiling(question: Question) -> float:
    low, high = 1000.0, 8000.0
    while high - low > 0.5:
        middle = 0.5 * (low + high)
        climb = steady.best_climb(_condition(question, middle), steady.FULL_LEANED)[1]
        low, high = (middle, high) if climb > CEILING_CLIMB else (low, middle)
    return 0.5 * (low + high)


def calibrated(equivalent: float, pressure_altitude: float) -> float:
    """Calibrated airspeed of an equivalent airspeed in the standard atmosphere. [m/s]"""
    pressure, temperature, density = _air(pressure_altitude, None, 0.0).at(pressure_altitude)
    true = equivalent * sqrt(STANDARD_DENSITY / density)
    return float(calibrated_airspeed(np.array(true), np.array(pressure), np.array(temperature)))


def nominal_stall(question: Question, entry_rate: float = 1.0) -> StallFlown:
    """The stall manoeuvre in still air; the equivalent airspeed of the break hardly depends on height."""
    craft = _craft(question, _air(0.0, None, 0.0))
    craft.height, craft.ground_height = _STALL_HEIGHT, 0.0
    _airborne(craft, 36.0)
    outing = Outing(craft, _runway(question), Noise(None))
    flap = 15.0 * FLAP_NAMES.index(question.flap or "up")
    stall(outing, "truth", flap=flap, rate=entry_rate, height=_STALL_HEIGHT, heading=0.0)
    return outing.stalls[0][1]


@lru_cache(maxsize=16)
def _clean_break(flap: str) -> float:
    """Equivalent speed [m/s] of the break at 1000 kg, idle, 1 kt/s, CG in the middle."""
    return nominal_stall(Question("stall speed", TAIL_WHEEL.name, 1000.0, flap)).break_speed


def stall_speed_at(flap: str, mass: float, cg: float) -> float:
    """Equivalent stall speed [m/s] at idle and 1 kt/s in smooth air, at a mass [kg] and a CG arm [m]."""
    return _clean_break(flap) * sqrt(mass / 1000.0 / (1.0 + CG_EFFECT * (cg - MIDDLE_CG)))


def nominal_take_off(question: Question) -> TakeOffFlown:
    """The take-off with the technique as it is meant."""
    technique: TakeOffTechnique = TAKE_OFFS[question.technique or NORMAL_TAKE_OFF.name]
    craft = _craft(question, _air(question.pressure_altitude, question.temperature, question.head_wind))
    return take_off(craft, _runway(question), technique)


def nominal_landing(question: Question) -> LandingFlown:
    """The landing with the technique as it is meant, from a final of 900 m."""
    technique: LandingTechnique = LANDINGS[question.technique or NORMAL_LANDING.name]
    craft = _craft(question, _air(question.pressure_altitude, question.temperature, question.head_wind))
    runway = _runway(question)
    craft.flap = technique.flap
    craft.north = -900.0
    craft.height = runway.elevation + 900.0 * tan(radians(technique.approach_angle))
    _airborne(craft, 30.0)
    return approach_and_land(craft, runway, technique, 0.0)


def _craft(question: Question, air: UniformAir) -> Craft:
    fuel = 60.0
    craft = Craft(GEARS[question.configuration], air, Noise(None), question.mass - fuel, fuel, MIDDLE_CG)
    craft.height = craft.ground_height = air.base_height
    return craft


def _airborne(craft: Craft, speed: float) -> None:
    craft.airspeed = craft.indicated = speed
    craft.manifold = craft.manifold_command = 55.0e3
    craft.lift_coefficient = 0.9
    craft.wheels = 0.0
    craft.north_speed = speed


def _runway(question: Question) -> Runway:
    rolling, grip = GROUND[question.surface]
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
