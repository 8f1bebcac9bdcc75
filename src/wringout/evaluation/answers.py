"""What the report answers from the fitted airplane, as one stage."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from wringout.claims.verdict import Verdict
from wringout.dossier.dossier import Dossier
from wringout.evaluation.curves import curves_of
from wringout.evaluation.evaluation import Curve, Headline
from wringout.evaluation.field_runs import field_runs
from wringout.evaluation.first import headlines, three_sentences
from wringout.evaluation.handbook import HandbookTable, handbook
from wringout.evaluation.mission_changes import words_of_changes
from wringout.evaluation.next_flight import ClaimToSettle, claims_to_settle
from wringout.evaluation.trips import answer_missions, burns_fuel, payload_range_of
from wringout.evaluation.usual import (
    CRUISE_POWER,
    ECONOMY_POWER,
    HOT,
    SURFACE,
    flown_configurations,
    maximum_mass,
    usual_heights,
)
from wringout.missions import MissionAnswer, PayloadRange
from wringout.model import predict_each
from wringout.model.fit import Fit
from wringout.model.question import PredictedQuantity, Prediction, Question
from wringout.model.runs import Runs
from wringout.reduction.points import Points

FIELD_LENGTHS: tuple[PredictedQuantity, ...] = (
    "take-off ground roll",
    "take-off distance",
    "landing ground roll",
    "landing distance",
)


@dataclass(frozen=True, slots=True)
class Answers:
    """The stage's result."""

    answer: tuple[str, str, str]
    headlines: tuple[Headline, ...]
    predictions: tuple[Prediction, ...]
    curves: tuple[Curve, ...]
    payload_range: Mapping[str, PayloadRange]
    missions: tuple[MissionAnswer, ...]
    handbook: tuple[HandbookTable, ...] = ()
    mission_changes: tuple[tuple[str, ...], ...] = ()  # what would let go what stays, by mission
    to_settle: tuple[ClaimToSettle, ...] = ()
    runs: tuple[Runs, ...] = ()


def answer_questions(dossier: Dossier, points: Points, fit: Fit, verdicts: tuple[Verdict, ...]) -> Answers:
    """Every answer that the report gives from the fitted airplane."""
    airplane = dossier.airplane
    flown = flown_configurations(airplane, points)
    missions = answer_missions(dossier, fit)
    asked = [question for configuration in flown for question in performance_table(dossier, configuration)]
    return Answers(
        answer=three_sentences(dossier, fit, flown[0], verdicts),
        headlines=headlines(dossier, fit, flown[0]),
        predictions=predict_each(airplane, fit, asked),
        curves=curves_of(airplane, dossier.units, points, fit, flown),
        payload_range={name: payload_range_of(dossier, fit, name) for name in flown if burns_fuel(airplane)},
        missions=missions,
        mission_changes=words_of_changes(dossier, fit, missions),
        handbook=handbook(airplane, dossier.units, fit, flown),
        to_settle=claims_to_settle(dossier, points, fit, verdicts),
        runs=field_runs(dossier, points, fit),
    )


def performance_table(dossier: Dossier, configuration: str) -> list[Question]:
    """The questions of the report's table: at maximum mass, on a standard day and from a hot, high strip."""
    heights = usual_heights(dossier.units)
    mass = maximum_mass(dossier.airplane, configuration)
    asked = [
        *(Question("stall speed", configuration, mass, flap=item.name) for item in dossier.airplane.flaps),
        Question("rate of climb", configuration, mass),
        Question("rate of climb", configuration, mass, pressure_altitude=heights.cruise),
        Question("best climb speed", configuration, mass),
        Question("best angle speed", configuration, mass),
        Question("service ceiling", configuration, mass),
    ]
    for power in (CRUISE_POWER, ECONOMY_POWER):
        asked += [
            Question(quantity, configuration, mass, pressure_altitude=heights.cruise, power_fraction=power)
            for quantity in ("cruise speed", "fuel flow")
            if quantity != "fuel flow" or burns_fuel(dossier.airplane)
        ]
    asked += [
        Question("full-throttle speed", configuration, mass),
        Question("glide ratio", configuration, mass),
        Question("best glide speed", configuration, mass),
        Question("least sink", configuration, mass),
        Question("least sink speed", configuration, mass),
        Question("best range speed", configuration, mass, pressure_altitude=heights.cruise),
        Question("Carson speed", configuration, mass, pressure_altitude=heights.cruise),
        Question("approach speed", configuration, mass),
        Question("turn radius", configuration, mass),
        Question("turn bank", configuration, mass),
    ]
    for altitude, temperature in ((0.0, None), (heights.high_strip, HOT)):
        asked += [
            Question(
                quantity,
                configuration,
                mass,
                pressure_altitude=altitude,
                temperature=temperature,
                surface=SURFACE,
            )
            for quantity in FIELD_LENGTHS
        ]
    return asked
