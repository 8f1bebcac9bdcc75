"""The electrical system asked: this failure, this cold, this age; what goes dark, how far that carries."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from wringout.airplane.airplane import Electrical
from wringout.airplane.lookups import unknown_name
from wringout.dossier.dossier import Dossier, Mission
from wringout.electrical import (
    SHEDDINGS,
    TEMPERATURE_SD,
    Failure,
    PlayedEstimate,
    Shedding,
    at_age,
    play,
    play_estimate,
    reach_on_battery,
    usual_failures,
    worst_leg,
)
from wringout.evaluation.inquiry import InquiryError
from wringout.evaluation.on_water import speaking
from wringout.evaluation.usual import CRUISE_POWER, maximum_mass
from wringout.model import predict_each
from wringout.model.fit import Fit
from wringout.model.question import Question
from wringout.problems import InputError, Problem
from wringout.quantity.dimensions import Dimension
from wringout.quantity.estimate import Estimate
from wringout.quantity.text import parse
from wringout.quantity.units import to_si

RECOGNITION = 300.0  # s until the pilot has seen it (common practice, no source)
TEMPERATURE = 283.15  # K, 10 °C: a battery on a mild day aloft (common practice, no source)
TEMPERATURES = tuple(273.15 + celsius for celsius in (-20.0, -10.0, 0.0, 10.0, 20.0, 30.0))
AGES = (1.0, 0.9, 0.8, 0.7, 0.6)
FIELDS = ("failure", "temperature", "age", "shedding", "recognition")


@dataclass(frozen=True, slots=True)
class ElectricsAsked:
    """A failure in the words of `usual_failures`, battery temperature [K], what is shed, when [s].

    `age` is what is left of every battery's rated charge, None: as described.
    """

    failure: str
    temperature: float = TEMPERATURE
    age: float | None = None
    shedding: Shedding = "to the essential"
    recognition: float = RECOGNITION


@dataclass(frozen=True, slots=True)
class TripOnBattery:
    """The mission that leads farthest from a landing, against what is left.

    `needed` [s] and `distance` [m] are those from the worst place to the nearer end in time; `reach` [m] is
    flown until the engine stops and glided on from cruise height; `probability` that it suffices.
    """

    mission: str
    distance: float
    needed: float
    true_airspeed: Estimate
    reach: Estimate | None  # None: the engine runs on
    probability: float


@dataclass(frozen=True, slots=True)
class ElectricsAnswer:
    """One failure played through, every usual one beside it, the trip, and what cold and age do.

    `minutes` [s], shape (temperatures, ages), is the time to the engine's stop where it needs electricity,
    else to the first load dark; inf where nothing goes.
    """

    asked: ElectricsAsked
    electrical: Electrical
    failures: Mapping[str, tuple[Failure, ...]]
    found: PlayedEstimate
    every: Mapping[str, PlayedEstimate]
    trip: TripOnBattery | None
    temperatures: tuple[float, ...]
    ages: tuple[float, ...]
    sensitivity: tuple[tuple[float, ...], ...]


def answer_electrics(
    dossier: Dossier, asked: ElectricsAsked | None = None, fit: Fit | None = None
) -> ElectricsAnswer:
    """The electrical system's answer.

    Parameters
    ----------
    dossier : Dossier
    asked : ElectricsAsked, optional
        The alternator's failure on a mild day where left out.
    fit : Fit, optional
        For speed and glide; without it no trip is answered.

    Raises
    ------
    InputError
        The airplane has no electrical system described, or the failure is none of its own.
    """
    described, known = electrical_of(dossier), speaking(dossier.airplane, fit)
    failures = usual_failures(described)
    question = asked or ElectricsAsked(next(iter(failures)))
    if question.failure not in failures:
        raise InputError(unknown_name("failure", question.failure, list(failures)).at(field="failure"))
    system = at_age(described, question.age)
    every = {words: _played(system, question, chosen) for words, chosen in failures.items()}
    found = every[question.failure]
    chosen = failures[question.failure]
    grid = tuple(
        tuple(
            _time(
                play(
                    at_age(described, age),
                    kelvin,
                    chosen,
                    shedding=question.shedding,
                    recognition_time=question.recognition,
                )
            )
            for age in AGES
        )
        for kelvin in TEMPERATURES
    )
    return ElectricsAnswer(
        question,
        system,
        failures,
        found,
        every,
        None if known is None else _trip(dossier, known, found),
        TEMPERATURES,
        AGES,
        grid,
    )


def electrical_of(dossier: Dossier) -> Electrical:
    """The electrical system; InputError where none is described."""
    electrical = dossier.airplane.electrical
    if electrical is None or not electrical.loads:
        raise InputError(
            Problem(
                "the airplane's description has no electrical system to play through",
                "describe [electrical] with its batteries and loads in airplane.toml",
                file="airplane.toml",
            )
        )
    return electrical


def typed_electrics(typed: Mapping[str, str], dossier: Dossier) -> ElectricsAsked:
    """The question that a form's fields say; InquiryError with every field that is not understood.

    Parameters
    ----------
    typed : mapping
        'failure', 'temperature' and 'recognition' as numbers with or without their unit ('min' for the
        latter), 'age' in per cent, 'shedding'; what is empty is as it usually stands.
    dossier : Dossier
    """
    electrical = electrical_of(dossier)
    faults: dict[str, Problem] = {}
    values: dict[str, Any] = {}
    known = list(usual_failures(electrical))
    failure = typed.get("failure", "").strip() or known[0]
    if failure not in known:
        faults["failure"] = unknown_name("failure", failure, known)
    shedding = typed.get("shedding", "").strip() or SHEDDINGS[1]
    if shedding not in SHEDDINGS:
        faults["shedding"] = unknown_name("way of shedding", shedding, list(SHEDDINGS))
    for field, unit, dimension in (
        ("temperature", dossier.units.temperature, Dimension.TEMPERATURE),
        ("recognition", "min", Dimension.TIME),
        ("age", "%", Dimension.RATIO),
    ):
        text = typed.get(field, "").strip()
        if not text:
            continue
        try:
            values[field] = number_or_quantity(text, unit, dimension)
        except InputError as error:
            faults[field] = error.problems[0]
    if not 200.0 <= values.get("temperature", TEMPERATURE) <= 350.0:
        faults["temperature"] = Problem("no battery works at that temperature", "give one from −70 to 75 °C")
    if not 0.0 < values.get("age", 1.0) <= 1.0:
        faults["age"] = Problem(
            "age leaves a battery more than nothing and at most all", "give it like '80 %'"
        )
    if not 0.0 <= values.get("recognition", 0.0) <= 86400.0:
        faults["recognition"] = Problem("recognition takes from nothing to a day", "give it like '5 min'")
    if faults:
        raise InquiryError(faults)
    return ElectricsAsked(failure=failure, shedding=shedding, **values)  # type: ignore[arg-type]  # checked above


def number_or_quantity(text: str, unit: str, dimension: Dimension) -> float:
    """A number in the unit of its field (none: plain), or a quantity with its own; InputError as `parse`."""
    plain = text.strip().replace(",", ".").replace("−", "-").replace("\u202f", "").replace(" ", "")
    try:
        number = float(plain)
        return float(to_si(number, unit, dimension)) if unit else number
    except ValueError:
        return parse(text.strip(), dimension)


def _played(system: Electrical, asked: ElectricsAsked, failures: tuple[Failure, ...]) -> PlayedEstimate:
    return play_estimate(
        system,
        Estimate(asked.temperature, TEMPERATURE_SD, Dimension.TEMPERATURE, "of the batteries, as asked"),
        failures,
        shedding=asked.shedding,
        recognition_time=asked.recognition,
    )


def _time(played: Any) -> float:
    return float(played.endurance if played.engine is None else played.engine)


def _trip(dossier: Dossier, fit: Fit, found: PlayedEstimate) -> TripOnBattery | None:
    """The mission whose worst place lies farthest, in time, from a landing."""
    if not dossier.missions:
        return None
    elevations = {strip.name: strip.elevation for strip in dossier.strips}
    asked: list[Question] = []
    for mission in dossier.missions:
        asked += _questions(dossier, mission)
    answers = [item.estimate for item in predict_each(dossier.airplane, fit, asked)]
    worst: tuple[float, float, Mission, Estimate, Estimate] | None = None
    for number, mission in enumerate(dossier.missions):
        speed, glide = answers[2 * number], answers[2 * number + 1]
        if not speed.value > abs(mission.head_wind):
            continue
        _, needed = worst_leg(mission.distance, speed.value, mission.head_wind)
        if worst is None or needed > worst[0]:
            worst = needed, needed * speed.value, mission, speed, glide
    if worst is None:
        return None
    needed, distance, mission, speed, glide = worst
    played, engine = found.played, found.engine
    if played.engine is None or math.isinf(played.engine):
        return TripOnBattery(mission.name, distance, needed, speed, None, 1.0)
    height = max(mission.cruise_altitude - elevations.get(mission.strip or "", 0.0), 0.0)
    lasting = engine or Estimate(played.engine, None, Dimension.TIME, "played through")
    reach = reach_on_battery(lasting, speed, height, glide)
    spread = reach.sd or 0.0
    gap = reach.value - distance
    probability = 0.5 * math.erfc(-gap / (spread * math.sqrt(2.0))) if spread > 0.0 else float(gap >= 0.0)
    return TripOnBattery(mission.name, distance, needed, speed, reach, probability)


def _questions(dossier: Dossier, mission: Mission) -> tuple[Question, Question]:
    mass = maximum_mass(dossier.airplane, mission.configuration)
    return (
        Question(
            "cruise speed",
            mission.configuration,
            mass,
            pressure_altitude=mission.cruise_altitude,
            power_fraction=CRUISE_POWER,
        ),
        Question("glide ratio", mission.configuration, mass, pressure_altitude=mission.cruise_altitude),
    )
