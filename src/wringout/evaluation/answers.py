"""What readers ask: the numbers first, then what the airplane can really do, in three sentences."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass
from typing import get_args

from wringout.claims.verdict import Finding, Verdict
from wringout.dossier.dossier import Dossier
from wringout.evaluation.curves import SURFACE, curves_of, flown_configurations, maximum_mass
from wringout.evaluation.evaluation import Curve, Headline
from wringout.evaluation.trips import answer_missions, payload_range_of
from wringout.loading import empty_mass
from wringout.missions import MissionAnswer, PayloadRange
from wringout.model import predict
from wringout.model.fit import Fit
from wringout.model.question import Prediction, Question
from wringout.quantity import Dimension, show
from wringout.reduction.points import Points

NINE_IN_TEN = 1.6449  # half-width of the central 90 % of a normal distribution, in standard deviations
CRUISE_POWER = 0.75
CRUISE_ALTITUDE = 2000.0
HOT_AND_HIGH = (1500.0, 298.15)  # pressure altitude [m] and temperature [K] of the hard case in the answer


@dataclass(frozen=True, slots=True)
class Answers:
    """The stage's result."""

    answer: tuple[str, str, str]
    headlines: tuple[Headline, ...]
    predictions: tuple[Prediction, ...]
    curves: tuple[Curve, ...]
    payload_range: Mapping[str, PayloadRange]
    missions: tuple[MissionAnswer, ...]


def answer_questions(dossier: Dossier, points: Points, fit: Fit, verdicts: tuple[Verdict, ...]) -> Answers:
    """Every answer that the report gives from the fitted airplane."""
    flown = flown_configurations(points) or (dossier.airplane.configurations[0].name,)
    predictions = tuple(predict(dossier.airplane, fit, question) for question in questions(dossier, flown))
    return Answers(
        answer=three_sentences(dossier, fit, flown[0], verdicts),
        headlines=headlines(dossier, fit, flown[0]),
        predictions=predictions,
        curves=curves_of(dossier.airplane, dossier.units, points, fit),
        payload_range={name: payload_range_of(dossier, fit, name) for name in flown},
        missions=answer_missions(dossier, fit),
    )


def questions(dossier: Dossier, flown: tuple[str, ...]) -> tuple[Question, ...]:
    """The performance table: each configuration at maximum mass, standard day and hot and high."""
    asked: list[Question] = []
    for configuration in flown:
        mass = maximum_mass(dossier.airplane, configuration)
        asked += [
            Question("stall speed", configuration, mass, flap=setting.name)
            for setting in dossier.airplane.flaps
        ]
        asked += [
            Question("rate of climb", configuration, mass),
            Question("rate of climb", configuration, mass, pressure_altitude=CRUISE_ALTITUDE),
            Question("best climb speed", configuration, mass),
            Question("service ceiling", configuration, mass),
            Question(
                "cruise speed", configuration, mass, pressure_altitude=CRUISE_ALTITUDE, power_fraction=0.75
            ),
            Question(
                "fuel flow", configuration, mass, pressure_altitude=CRUISE_ALTITUDE, power_fraction=0.75
            ),
            Question(
                "cruise speed", configuration, mass, pressure_altitude=CRUISE_ALTITUDE, power_fraction=0.65
            ),
            Question(
                "fuel flow", configuration, mass, pressure_altitude=CRUISE_ALTITUDE, power_fraction=0.65
            ),
            Question("full-throttle speed", configuration, mass),
            Question("glide ratio", configuration, mass),
            Question("best glide speed", configuration, mass),
        ]
        for altitude, temperature in ((0.0, None), HOT_AND_HIGH):
            asked += [
                Question(
                    quantity,
                    configuration,
                    mass,
                    pressure_altitude=altitude,
                    temperature=temperature,
                    surface=SURFACE,
                )
                for quantity in (
                    "take-off ground roll",
                    "take-off distance",
                    "landing ground roll",
                    "landing distance",
                )
            ]
    return tuple(asked)


def headlines(dossier: Dossier, fit: Fit, configuration: str) -> tuple[Headline, ...]:
    """The five numbers that readers ask first, at maximum mass."""
    airplane, units = dossier.airplane, dossier.units
    mass = maximum_mass(airplane, configuration)
    ground = f"{show(mass, units.mass, digits=0)}, sea level, standard day, level {SURFACE}, still air"
    empty = empty_mass(airplane, configuration)
    useful = mass - empty.mass.value
    spread = NINE_IN_TEN * (empty.mass.sd or 0.0)

    def ask(label: str, condition: str, question: Question, unit: str) -> Headline:
        answer = predict(airplane, fit, question)
        return Headline(
            label,
            condition,
            answer.estimate.value,
            answer.low,
            answer.high,
            answer.estimate.dimension,
            unit,
            answer.estimate.source,
        )

    return (
        Headline(
            "useful load",
            f"{configuration}, to {show(mass, units.mass, digits=0)}",
            useful,
            useful - spread,
            useful + spread,
            Dimension.MASS,
            units.mass,
            empty.mass.source,
        ),
        ask("take-off over 15 m", ground, Question("take-off distance", configuration, mass), units.distance),
        ask("landing over 15 m", ground, Question("landing distance", configuration, mass), units.distance),
        ask(
            "cruise",
            f"75 % power, {show(CRUISE_ALTITUDE, units.height, digits=0)}, standard day",
            Question(
                "cruise speed",
                configuration,
                mass,
                pressure_altitude=CRUISE_ALTITUDE,
                power_fraction=CRUISE_POWER,
            ),
            units.speed,
        ),
        ask(
            "stall, landing flap",
            f"{show(mass, units.mass, digits=0)}, calibrated, idle",
            Question("stall speed", configuration, mass, flap=airplane.flaps[-1].name),
            units.speed,
        ),
    )


def three_sentences(
    dossier: Dossier, fit: Fit, configuration: str, verdicts: tuple[Verdict, ...]
) -> tuple[str, str, str]:
    """What can you really do with it: the load, the ground it needs, the journey and the maker's word."""
    airplane, units = dossier.airplane, dossier.units
    mass = maximum_mass(airplane, configuration)
    useful = mass - empty_mass(airplane, configuration).mass.value
    fuel = airplane.fuel.density * sum(tank.usable for tank in airplane.tanks)
    altitude, temperature = HOT_AND_HIGH

    def ask(question: Question) -> Prediction:
        return predict(airplane, fit, question)

    field = {"pressure_altitude": altitude, "temperature": temperature}
    takeoff = ask(Question("take-off distance", configuration, mass, **field))  # type: ignore[arg-type]
    landing = ask(Question("landing distance", configuration, mass, **field))  # type: ignore[arg-type]
    cruise = Question(
        "cruise speed", configuration, mass, pressure_altitude=2000.0, power_fraction=CRUISE_POWER
    )
    speed = ask(cruise)
    flow = ask(
        Question("fuel flow", configuration, mass, pressure_altitude=2000.0, power_fraction=CRUISE_POWER)
    )
    climb = ask(Question("rate of climb", configuration, mass))
    count = Counter(verdict.finding for verdict in verdicts)
    findings = ", ".join(f"{count[finding]} {finding}" for finding in get_args(Finding) if count[finding])
    heavy = show(mass, units.mass, digits=0)
    place = f"{show(altitude, units.height, digits=0)} and {show(temperature, units.temperature, digits=0)}"
    lifts = (
        f"It lifts {show(useful, units.mass, digits=0)} in the {configuration} configuration; with full "
        f"tanks {show(useful - fuel, units.mass, digits=0)} of that is left for people and things."
    )
    ground = (
        f"At {heavy} on level {SURFACE}, {place}, it needs {_between(takeoff, units.distance)} to clear "
        f"15 m, and {_between(landing, units.distance)} from 15 m to a stop."
    )
    journey = (
        f"It climbs at {_round(climb, units.vertical_speed)} from sea level and cruises at "
        f"{_round(speed, units.speed)} on {_round(flow, units.fuel_flow)}; "
        f"of the maker's {len(verdicts)} claims: {findings}."
    )
    return lifts, ground, journey


def _round(answer: Prediction, unit: str) -> str:
    return show(answer.estimate.value, unit, digits=0)


def _between(answer: Prediction, unit: str) -> str:
    return (
        f"{show(answer.estimate.value, unit, digits=0)} (nine in ten: {show(answer.low, unit, digits=0)} to "
        f"{show(answer.high, unit, digits=0)})"
    )
