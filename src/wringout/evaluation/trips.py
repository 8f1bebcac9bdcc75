"""The fitted airplane sent on the readers' missions, and its payload against range."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass

from wringout.airplane.airplane import Airplane
from wringout.dossier.dossier import Dossier, Mission, Strip, Units
from wringout.evaluation.usual import CRUISE_POWER, maximum_mass, usual_heights
from wringout.missions import Allowances, Cruise, FieldDistances, MissionAnswer, PayloadRange, answer
from wringout.missions import payload_range as reckon_payload_range
from wringout.model import predict
from wringout.model.fit import Fit
from wringout.model.question import PredictedQuantity, Prediction, Question

TAXI_TIME = 600.0  # ten minutes from start-up to the strip, common practice, no source
TAXI_POWER = 0.10  # share of rated power while taxiing, common practice, no source


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
    """Every mission of the dossier, answered by the fitted airplane."""
    strips = {strip.name: strip for strip in dossier.strips}
    return tuple(
        answer_mission(dossier.airplane, fit, mission, strips.get(mission.strip or ""), dossier.units)[0]
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
    """What a mission's answer was reckoned from: its cruise, and each distance that was asked by its name."""

    cruise: AskedCruise
    distances: Mapping[str, Prediction]


def answer_mission(
    airplane: Airplane, fit: Fit, mission: Mission, strip: Strip | None, units: Units
) -> tuple[MissionAnswer, FlownMission]:
    """One mission answered by a fitted airplane, with what it was reckoned from; errors as `answer`."""
    elevation = strip.elevation if strip else 0.0
    asked = asked_cruise(airplane, fit, mission.configuration, mission.cruise_altitude, elevation)
    found: dict[str, Prediction] = {}

    def kept(quantity: PredictedQuantity, strip: Strip) -> Callable[[float], Prediction]:
        at = _distance(airplane, fit, mission, strip, quantity)

        def asked_at(mass: float) -> Prediction:
            found[quantity] = at(mass)
            return found[quantity]

        return asked_at

    distances = None
    if strip is not None:
        distances = FieldDistances(kept("take-off distance", strip), kept("landing distance", strip))
    answered = answer(mission, airplane, asked.cruise, strip=strip, distances=distances, units=units)
    return answered, FlownMission(asked, found)


def _distance(
    airplane: Airplane, fit: Fit, mission: Mission, strip: Strip, quantity: PredictedQuantity
) -> Callable[[float], Prediction]:
    """The distance on this strip at a mass, in still air: off downhill, on uphill (common practice)."""

    def at(mass: float) -> Prediction:
        return predict(
            airplane,
            fit,
            Question(
                quantity,
                mission.configuration,
                mass,
                pressure_altitude=strip.elevation,
                temperature=mission.temperature,
                slope=-abs(strip.slope) if quantity == "take-off distance" else abs(strip.slope),
                surface=strip.surface,
            ),
        )

    return at


def asked_cruise(
    airplane: Airplane, fit: Fit, configuration: str, altitude: float, start: float
) -> AskedCruise:
    """Speed and flow at cruise power and `altitude` [m]; what taxi and the climb from `start` [m] take."""
    mass = maximum_mass(airplane, configuration)

    def ask(quantity: PredictedQuantity, height: float) -> Prediction:
        return predict(
            airplane,
            fit,
            Question(quantity, configuration, mass, pressure_altitude=height, power_fraction=CRUISE_POWER),
        )

    middle = 0.5 * (start + altitude)
    climb_time = max(altitude - start, 0.0) / max(ask("rate of climb", middle).estimate.value, 0.5)
    consumption = airplane.engine.specific_consumption_full or airplane.engine.specific_consumption or 0.0
    full_flow = airplane.engine.rated_power * consumption / airplane.fuel.density
    speed, flow = ask("cruise speed", altitude), ask("fuel flow", altitude)
    allowances = Allowances(
        taxi_fuel=TAXI_TIME * TAXI_POWER * full_flow,
        climb_fuel=climb_time * full_flow,
        climb_time=climb_time,
        climb_distance=climb_time * ask("best climb speed", middle).estimate.value,
    )
    return AskedCruise(Cruise(speed.estimate, flow.estimate, allowances), speed, flow)
