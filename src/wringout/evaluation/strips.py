"""The dossier's strips through its year of weather, with one load, configuration and practice."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from pathlib import Path

import numpy as np

from wringout.airplane.lookups import configuration as configuration_named
from wringout.airplane.lookups import configuration_envelope
from wringout.dossier.dossier import Dossier, Strip
from wringout.dossier.store import digest, software
from wringout.dossier.weather import Weather
from wringout.dossier.weather_reading import read_weather, weather_of
from wringout.evaluation.codec import fingerprint
from wringout.evaluation.evaluation import Evaluation
from wringout.evaluation.keys import stage_keys
from wringout.evaluation.stages import Stages
from wringout.loading import capacity, empty_mass, usual_pilot
from wringout.missions.practice import Movement, Practice
from wringout.missions.runs import Asking, field_runs
from wringout.missions.strip_hours import daylight
from wringout.missions.suitability import HARD, StripAnswer, strip_answer
from wringout.missions.unprepared import Look, RoughGround, inspection, rough_ground
from wringout.model import predict_each
from wringout.model.fit import Fit
from wringout.model.question import PredictedQuantity, Question
from wringout.model.surfaces import table_name
from wringout.physics.atmosphere import standard_temperature
from wringout.problems import InputError, Problem
from wringout.quantity.showing import show

STAGE = "strips"
DRAWS = 40
MASSES = 4
USUAL_STEP = 0.1  # m: a rut or stone to think of; common practice, no source


@dataclass(frozen=True, slots=True)
class StripsAsked:
    """What is asked of every strip; None the usual.

    `payload` [kg] counts the pilot, `fuel` [m³] is aboard at landing and at take-off again; `surface` stands
    for what each strip's table says, after rain or in winter; `step` is a rut or stone [m].
    """

    configuration: str | None = None
    payload: float | None = None
    fuel: float | None = None
    surface: str | None = None
    take_off_technique: str | None = None
    landing_technique: str | None = None
    step: float = USUAL_STEP
    all_hours: bool = False
    practice: Practice = field(default_factory=Practice)


@dataclass(frozen=True, slots=True)
class StripFound:
    """One strip's answer, what its wheels climb, and what to look at; a reason where it is not judged."""

    strip: Strip
    answer: StripAnswer | None
    kept_payload: float | None
    rough: tuple[RoughGround, ...]
    looks: tuple[Look, ...]
    refused: str = ""


@dataclass(frozen=True, slots=True)
class StripsAnswer:
    """All strips of a dossier as asked; `payload` and `mass` [kg], `fuel` [m³], `techniques` as used.

    `most_payload` [kg] is the most that mass, CG and stations allow with this fuel.
    """

    asked: StripsAsked
    configuration: str
    payload: float
    fuel: float
    mass: float
    most_payload: float
    techniques: tuple[str, str]
    site: str
    site_elevation: float
    hours: int
    left_out: int
    found: tuple[StripFound, ...]
    notes: tuple[str, ...]


def dossier_weather(dossier: Dossier) -> Weather:
    """The hours of the dossier's weather file; InputError where there is none, or as `read_weather`."""
    path = weather_of(dossier.root)
    if path is None:
        raise InputError(
            Problem(
                "the dossier has no weather",
                "put a year of hours into weather/: an EPW, a TMY3-type CSV, or a description of another",
            )
        )
    return read_weather(path)


def hours_counted(weather: Weather, *, all_hours: bool) -> Weather:
    """The hours in which strips are judged: those of daylight, or all; InputError where there is none."""
    counted = weather if all_hours else weather.only(daylight(weather))
    if not len(counted.month):
        raise InputError(Problem("no hour of the weather lies in daylight", "ask for all hours"))
    return counted


def answer_strips(dossier: Dossier, fit: Fit, asked: StripsAsked | None = None) -> StripsAnswer:
    """Every strip of the dossier through its weather.

    Parameters
    ----------
    dossier : Dossier
    fit : Fit
        Forty of its draws are used.
    asked : StripsAsked, optional

    Raises
    ------
    InputError
        No weather; a load, configuration, technique or practice that cannot be.
    """
    wanted = asked or StripsAsked()
    if not dossier.strips:
        raise InputError(Problem("the dossier names no strip", "write them into strips.csv"))
    weather = dossier_weather(dossier)
    counted = hours_counted(weather, all_hours=wanted.all_hours)
    airplane, units = dossier.airplane, dossier.units
    name = wanted.configuration or airplane.configurations[0].name
    load = asked_load(dossier, name, wanted)
    few = replace(fit, draws=fit.draws[:: max(1, len(fit.draws) // DRAWS)])
    surfaces = _surfaces(dossier, wanted)
    techniques = shortest_techniques(dossier, few, name, load.mass, wanted)
    runs = field_runs(Asking(airplane, few, name, techniques), load.masses, surfaces)
    gear = configuration_named(airplane, name).undercarriage
    found = []
    for described in dossier.strips:
        strip = replace(described, surface=wanted.surface or described.surface)
        try:
            answer = strip_answer(strip, counted, runs, wanted.practice, airplane.geometry.wing_height)
        except InputError as error:
            found.append(StripFound(strip, None, None, (), (), error.problems[0].what))
            continue
        kept = None if answer.kept_mass is None else answer.kept_mass - load.beside
        kept = None if kept is None or kept < 0.0 else min(kept, load.most)
        rough = rough_ground(gear, runs, strip.elevation, wanted.step)
        found.append(StripFound(strip, answer, kept, rough, inspection(answer, gear, rough, units)))
    return StripsAnswer(
        wanted,
        name,
        load.payload,
        load.fuel,
        load.mass,
        load.most,
        techniques,
        weather.site.name,
        weather.site.elevation,
        len(counted.month),
        len(weather.problems),
        tuple(found),
        (*runs.notes, *weather.site.notes),
    )


def kept_strips(dossier: Dossier, fit: Fit) -> StripsAnswer | None:
    """The usual answer, from the store where it was kept; None where the dossier has no weather or strip."""
    path = weather_of(dossier.root)
    if path is None or not dossier.strips:
        return None
    key = _key(dossier, path)
    stages = Stages(dossier.root, {STAGE: key})
    return stages.run(STAGE, StripsAnswer, lambda: answer_strips(dossier, fit))


def strips_of(evaluation: Evaluation) -> StripsAnswer | None:
    """The usual answer of an evaluated dossier; None without strips, or without weather that can be read."""
    try:
        return kept_strips(evaluation.dossier, evaluation.fit)
    except InputError:
        return None


def _key(dossier: Dossier, weather: Path) -> str:
    """The fit, the strips, and every file of the weather's folder."""
    files = sorted(entry for entry in weather.parent.iterdir() if entry.is_file())
    fit = stage_keys(dossier)["fit"].encode()
    strips = fingerprint(dossier.strips, tuple[Strip, ...])
    return digest(software().encode(), fit, strips, *(entry.read_bytes() for entry in files))


@dataclass(frozen=True, slots=True)
class StripLoad:
    """Payload asked for and the most that goes [kg], fuel [m³], masses [kg], and the mass beside payload."""

    payload: float
    most: float
    fuel: float
    mass: float
    beside: float
    masses: tuple[float, ...]


def asked_load(dossier: Dossier, name: str, wanted: StripsAsked) -> StripLoad:
    """The load asked for, or the usual: the pilot and one more, half the fuel; InputError what cannot go."""
    airplane, units = dossier.airplane, dossier.units
    full = sum(tank.usable for tank in airplane.tanks)
    fuel = 0.5 * full if wanted.fuel is None else wanted.fuel
    if not 0.0 <= fuel <= full:
        raise InputError(
            Problem(
                f"the tanks hold {show(full, units.fuel, digits=0)}, not {show(fuel, units.fuel, digits=0)}",
                "ask with less fuel",
                field="fuel",
            )
        )
    pilot = usual_pilot(airplane).mass
    most = float(capacity(airplane, name, [fuel]).payload[0])
    beside = empty_mass(airplane, name).mass.value + fuel * airplane.fuel.density
    highest = configuration_envelope(airplane, name).maximum_takeoff_mass
    if not most >= 0.0:
        raise InputError(
            Problem(f"as {name} with this fuel not even the pilot goes", "ask with less fuel", field="fuel")
        )
    payload = min(2.0 * pilot, most) if wanted.payload is None else wanted.payload
    if not 0.0 <= payload <= most:
        raise InputError(
            Problem(
                f"as {name} with {show(fuel, units.fuel, digits=0)} of fuel at most "
                f"{show(most, units.mass, digits=0)} go, pilot counted",
                "ask with less, or with less fuel",
                field="load",
            )
        )
    mass = beside + payload
    others = np.linspace(min(beside + 0.75 * pilot, mass), min(beside + most, highest), MASSES)
    masses = tuple(float(other) for other in others if abs(other - mass) > 1.0)
    return StripLoad(payload, most, fuel, mass, beside, (mass, *masses))


def _surfaces(dossier: Dossier, wanted: StripsAsked) -> tuple[str, ...]:
    described = [strip.surface for strip in dossier.strips] if wanted.surface is None else [wanted.surface]
    return tuple(dict.fromkeys((*described, HARD)))


def shortest_techniques(
    dossier: Dossier, fit: Fit, name: str, mass: float, wanted: StripsAsked
) -> tuple[str, str]:
    """As asked, or the shorter of those that were flown."""
    return (
        wanted.take_off_technique or _shortest(dossier, fit, name, mass, "take-off"),
        wanted.landing_technique or _shortest(dossier, fit, name, mass, "landing"),
    )


def _shortest(dossier: Dossier, fit: Fit, name: str, mass: float, movement: Movement) -> str:
    quantity: PredictedQuantity = "take-off distance" if movement == "take-off" else "landing distance"
    known = fit.techniques[movement]
    surface = table_name(dossier.strips[0].surface) if dossier.strips else HARD
    asked = [
        Question(
            quantity,
            name,
            mass,
            temperature=float(standard_temperature(0.0)),
            surface=surface,
            technique=technique,
        )
        for technique in known
    ]
    lengths = [answer.estimate.value for answer in predict_each(dossier.airplane, fit, asked)]
    return known[int(np.argmin(lengths))]
