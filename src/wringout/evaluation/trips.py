"""The fitted airplane sent on the readers' missions, and its payload against range."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from wringout.airplane.airplane import Airplane
from wringout.dossier.dossier import Dossier, Mission, Strip, Units
from wringout.evaluation.usual import CRUISE_POWER, maximum_mass, usual_heights
from wringout.missions import (
    Allowances,
    Cruise,
    FieldAsked,
    Leg,
    MissionAnswer,
    PayloadRange,
    Performance,
    answer,
    fly,
)
from wringout.missions import payload_range as reckon_payload_range
from wringout.model import predict_each
from wringout.model.fit import Fit
from wringout.model.question import PredictedQuantity, Prediction, Question
from wringout.physics.airspeed import true_from_calibrated
from wringout.physics.atmosphere import standard_pressure, standard_temperature
from wringout.physics.constants import GRAVITY

FloatArray = NDArray[np.float64]

TAXI_TIME = 600.0  # ten minutes from start-up to the strip, common practice, no source
DESCENT_RATE = 2.54  # m/s, 500 ft/min, common practice, no source
DESCENT_EFFICIENCY = 0.75  # of the propeller in the descent, common practice, no source
LEAST_DESCENT_FLOW = 0.3  # of the cruise flow, below which nobody throttles back (common practice)
TAXI_POWER = 0.10  # share of rated power while taxiing, common practice, no source


def burns_fuel(airplane: Airplane) -> bool:
    """Whether range and missions can be reckoned: a battery's charge is no volume that is burnt."""
    return airplane.engine.kind != "electric"


def payload_range_of(dossier: Dossier, fit: Fit, configuration: str) -> PayloadRange:
    """Payload against range of one configuration at 75 % power, still air, day reserve."""
    height = usual_heights(dossier.units).cruise
    cruise = asked_cruise(dossier.airplane, fit, configuration, height, 0.0).cruise
    return reckon_payload_range(
        dossier.airplane,
        configuration,
        fuel_flow=cruise.fuel_flow,
        true_airspeed=cruise.true_airspeed,
        allowances=cruise.allowances,
        units=dossier.units,
    )


def answer_missions(dossier: Dossier, fit: Fit) -> tuple[MissionAnswer, ...]:
    """Every mission of the dossier, answered by the fitted airplane; none of one that burns no fuel."""
    if not burns_fuel(dossier.airplane):
        return ()
    strips = {strip.name: strip for strip in dossier.strips}
    return tuple(
        answer_mission(dossier.airplane, fit, mission, strips, dossier.units)[0]
        for mission in dossier.missions
    )


@dataclass(frozen=True, slots=True)
class AskedCruise:
    """A cruise, with the predictions of its speed and flow, whose samples go together draw by draw."""

    cruise: Cruise
    true_airspeed: Prediction
    fuel_flow: Prediction


@dataclass(frozen=True, slots=True)
class FlownMission:
    """What a mission's answer was reckoned from: performance, and distances by movement and strip.

    Of a distance asked several times of one strip the longest stands.
    """

    performance: Performance
    distances: Mapping[tuple[str, str], Prediction]


def answer_mission(
    airplane: Airplane,
    fit: Fit,
    mission: Mission,
    strips: Mapping[str, Strip],
    units: Units,
    *,
    inverse: bool = True,
) -> tuple[MissionAnswer, FlownMission]:
    """One mission answered by a fitted airplane, with what it was reckoned from; errors as `answer`."""
    performance = mission_performance(airplane, fit, mission, strips)
    found: dict[tuple[str, str], Prediction] = {}

    def distances(wanted: Sequence[FieldAsked]) -> Sequence[Prediction]:
        answers = field_distances(airplane, fit, mission, strips, wanted)
        for item, answered in zip(wanted, answers, strict=True):
            place = (item.movement, item.strip.name)
            if place not in found or answered.estimate.value > found[place].estimate.value:
                found[place] = answered
        return answers

    answered = answer(
        mission, airplane, performance, strips=strips, distances=distances, units=units, inverse=inverse
    )
    return answered, FlownMission(performance, found)


def mission_performance(
    airplane: Airplane, fit: Fit, mission: Mission, strips: Mapping[str, Strip]
) -> Performance:
    """How the fitted airplane climbs, cruises and descends on a mission, draw by draw."""
    return asked_performance(
        airplane,
        fit,
        mission.configuration,
        mission.cruise_altitude,
        start=lowest(mission, strips),
        power=cruise_power(mission),
    )[1]


def cruise_power(mission: Mission) -> float:
    """Of rated power: what the mission says, or the usual."""
    return CRUISE_POWER if mission.cruise_power is None else mission.cruise_power


def lowest(mission: Mission, strips: Mapping[str, Strip]) -> float:
    """The elevation of the lowest strip that a mission names [m]; sea level where it names none."""
    names = (*mission.route, *([mission.strip] if mission.strip else []))
    return min((strips[name].elevation for name in names if name in strips), default=0.0)


def field_distances(
    airplane: Airplane,
    fit: Fit,
    mission: Mission,
    strips: Mapping[str, Strip],
    wanted: Sequence[FieldAsked],
) -> tuple[Prediction, ...]:
    """Distances over 15 m in still air: off downhill, on uphill (common practice, no source).

    The mission's temperature is that at its strip, or at the highest of its route; elsewhere the day is as
    much warmer or colder than the standard one.
    """
    warmer = 0.0
    named = mission.strip or max(mission.route, key=lambda name: strips[name].elevation, default="")
    if mission.temperature is not None and named in strips:
        warmer = mission.temperature - float(standard_temperature(strips[named].elevation))
    questions = []
    for item in wanted:
        strip = item.strip
        off = item.movement == "take-off"
        temperature = float(standard_temperature(strip.elevation)) + warmer
        questions.append(
            Question(
                "take-off distance" if off else "landing distance",
                mission.configuration,
                item.mass,
                pressure_altitude=strip.elevation,
                temperature=None if mission.temperature is None else temperature,
                slope=-abs(strip.slope) if off else abs(strip.slope),
                surface=strip.surface,
            )
        )
    return predict_each(airplane, fit, questions)


def asked_cruise(
    airplane: Airplane, fit: Fit, configuration: str, altitude: float, start: float
) -> AskedCruise:
    """Speed and flow at cruise power and `altitude` [m]; what taxi and the climb from `start` [m] take."""
    return asked_performance(airplane, fit, configuration, altitude, start=start, power=CRUISE_POWER)[0]


def asked_performance(
    airplane: Airplane, fit: Fit, configuration: str, altitude: float, *, start: float, power: float
) -> tuple[AskedCruise, Performance]:
    """A cruise at a share of rated power and an altitude [m], and the whole of a leg's performance.

    All at the highest take-off mass, which is the slower side; `start` [m] is the lowest elevation climbed
    from. In the descent the power that the height gives back is taken off, m g ḣ/η [plain mechanics].
    """
    mass = maximum_mass(airplane, configuration)
    top = max(altitude, start + 1.0)

    def question(quantity: PredictedQuantity, height: float) -> Question:
        return Question(quantity, configuration, mass, pressure_altitude=height, power_fraction=power)

    middle = 0.5 * (start + top)
    speed, flow, climb, low, high = predict_each(
        airplane,
        fit,
        [
            question("cruise speed", altitude),
            question("fuel flow", altitude),
            question("best climb speed", middle),
            question("rate of climb", start),
            question("rate of climb", top),
        ],
    )
    full_flow = _full_flow(airplane)
    taxi = TAXI_TIME * TAXI_POWER * full_flow
    performance = Performance(
        altitude,
        _flyable(speed),
        _flyable(flow),
        (start, top),
        (low.samples, high.samples),
        _true(_flyable(climb), middle),
        full_flow,
        DESCENT_RATE,
        _flyable(flow)
        * max(
            1.0 - mass * GRAVITY * DESCENT_RATE / (DESCENT_EFFICIENCY * power * airplane.engine.rated_power),
            LEAST_DESCENT_FLOW,
        ),
        taxi,
    )
    up = fly(_climb(start), performance.typical)
    allowances = Allowances(
        taxi_fuel=taxi,
        climb_fuel=float(up.climb_fuel[0]),
        climb_time=float(up.climb_time[0]),
        climb_distance=float((up.climb_time * performance.typical.climb_speed)[0]),
    )
    return AskedCruise(Cruise(speed.estimate, flow.estimate, allowances), speed, flow), performance


def _climb(start: float) -> Leg:
    """A leg long enough for any climb."""
    return Leg(None, None, 1e7, None, 0.0, 0.0, start, start)


def _full_flow(airplane: Airplane) -> float:
    consumption = airplane.engine.specific_consumption_full or airplane.engine.specific_consumption or 0.0
    return airplane.engine.rated_power * consumption / airplane.fuel.density


def _flyable(prediction: Prediction) -> FloatArray:
    """The samples; where a draw cannot hold it, half of the median, which is slow enough to be no gain."""
    return np.maximum(prediction.samples, 0.5 * prediction.estimate.value)


def _true(calibrated: FloatArray, height: float) -> FloatArray:
    """Of a calibrated airspeed on a standard day at a pressure altitude [m]."""
    return np.asarray(
        true_from_calibrated(calibrated, standard_pressure(height), standard_temperature(height))
    )
