"""What an invented evaluation is made of: airplane, strip, weather, people and plans, read from its data."""

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass, fields
from datetime import UTC
from functools import lru_cache
from importlib import resources
from typing import Any

from wringout.demo.air import Weather
from wringout.demo.craft import Runway
from wringout.demo.machine import Machine, machine_of
from wringout.demo.pilot import Habits, LandingTechnique, TakeOffTechnique
from wringout.problems import InputError, Problem

AIRPLANES = ("shepherd", "dunlin", "fieldfare")  # the first is the one that `wringout demo` makes


@dataclass(frozen=True, slots=True)
class Loaded:
    """True loading at start-up: masses [kg] by station, their arms, fuel [L] by tank."""

    stations: Mapping[str, float]
    arms: Mapping[str, float]
    fuel: Mapping[str, float]


@dataclass(frozen=True, slots=True)
class ClimbAway:
    """The climb to where the work is: height above sea level [m], speed [kt], course [rad]."""

    height: float
    speed: float
    course: float


@dataclass(frozen=True, slots=True)
class Levels:
    """Legs at one height on several headings [degrees] for each setting: (inHg or 0 for open, rev/min)."""

    height: float
    headings: tuple[float, ...]
    settings: tuple[tuple[float, float], ...]


@dataclass(frozen=True, slots=True)
class Sawtooth:
    """Climbs or glides through a band [m] at several speeds [kt], on headings [degrees] in turn."""

    bottom: float
    top: float
    speeds: tuple[float, ...]
    headings: tuple[float, ...]


@dataclass(frozen=True, slots=True)
class Stalls:
    """Stalls from one height [m]: flaps [degrees] by entry rates [kt/s], on headings [degrees] in turn."""

    height: float
    flaps: tuple[float, ...]
    rates: tuple[float, ...]
    headings: tuple[float, ...]


@dataclass(frozen=True, slots=True)
class Circuits:
    """Landings by technique and the take-offs between them; the camera sees one of each, counted from one."""

    landings: tuple[str, ...]
    take_offs: tuple[str, ...]
    camera: int = 0


@dataclass(frozen=True, slots=True)
class Plan:
    """One flight of the evaluation: when, in which build and loading, and what is flown, in this order."""

    name: str
    title: str
    prefix: str  # of its points
    configuration: str
    weather: Weather
    start: float  # s after the weather's reference
    loaded: Loaded
    climb: ClimbAway | None = None
    levels: Levels | None = None
    climbs: Sawtooth | None = None
    glides: Sawtooth | None = None
    stalls: Stalls | None = None
    circuits: Circuits | None = None
    clock_error: float = 0.0  # s by which the engine monitor's clock was fast


@dataclass(frozen=True, slots=True)
class Asked:
    """Where the truth is asked: masses [kg], heights [m] and their air, to be named in its questions."""

    light: float
    field: float
    cruise: tuple[tuple[float, float], ...]  # pressure altitude and power fraction
    full_throttle: float
    climb: float
    high_field: float


@dataclass(frozen=True, slots=True)
class Setup:
    """An invented airplane and everything that is needed to evaluate it in the simulator."""

    name: str
    machine: Machine
    strip: Runway
    empty: Mapping[str, tuple[float, float]]  # configuration → true mass [kg] and arm [m]
    station_arms: Mapping[str, float]
    fuel_arm: float
    take_offs: Mapping[str, TakeOffTechnique]
    landings: Mapping[str, LandingTechnique]
    habits: Habits
    plans: tuple[Plan, ...]
    asked: Asked


def text(airplane: str, name: str) -> str:
    """A text file of an airplane, or one that all share; empty where there is neither."""
    root = resources.files("wringout.demo") / "airplanes"
    for place in (root / airplane / name, root / name):
        if place.is_file():
            return place.read_text(encoding="utf-8")
    return ""


@lru_cache(maxsize=8)
def setup(airplane: str = AIRPLANES[0]) -> Setup:
    """The data of one of the invented airplanes.

    Raises
    ------
    InputError
        There is no airplane of that name.
    """
    if airplane not in AIRPLANES:
        raise InputError(
            Problem(f"there is no demo airplane '{airplane}'", f"name one of: {', '.join(AIRPLANES)}")
        )
    days, programme = (tomllib.loads(text(airplane, name)) for name in ("days.toml", "programme.toml"))
    weathers = {str(day): Weather(**_day(air, days["elevation"])) for day, air in days["day"].items()}
    return Setup(
        name=airplane,
        machine=machine_of(tomllib.loads(text(airplane, "machine.toml"))),
        strip=Runway(**days["strip"], elevation=days["elevation"]),
        empty={name: (mass, arm) for name, (mass, arm) in programme["empty"].items()},
        station_arms=programme["station_arms"],
        fuel_arm=programme["fuel_arm"],
        take_offs={one["name"]: TakeOffTechnique(**one) for one in programme["take_off"]},
        landings={one["name"]: LandingTechnique(**one) for one in programme["landing"]},
        habits=Habits(**programme["habits"]),
        plans=tuple(plan_of(flight, weathers) for flight in programme["flight"]),
        asked=Asked(**{name: _frozen(value) for name, value in programme["asked"].items()}),
    )


def _day(air: Mapping[str, Any], elevation: float) -> dict[str, Any]:
    return {**air, "reference": air["reference"].astimezone(UTC), "elevation": elevation}


def plan_of(flight: Mapping[str, Any], weathers: Mapping[str, Weather]) -> Plan:
    """A plan from its table, with the weather of its day by name."""
    parts: dict[str, type] = {
        "loaded": Loaded,
        "climb": ClimbAway,
        "levels": Levels,
        "climbs": Sawtooth,
        "glides": Sawtooth,
        "stalls": Stalls,
        "circuits": Circuits,
    }
    names = {field.name for field in fields(Plan)}
    made: dict[str, Any] = {
        name: parts[name](**{key: _frozen(each) for key, each in value.items()}) if name in parts else value
        for name, value in flight.items()
        if name in names
    }
    return Plan(**made, weather=weathers[flight["day"]])


def _frozen(value: Any) -> Any:
    return tuple(_frozen(each) for each in value) if isinstance(value, list) else value
