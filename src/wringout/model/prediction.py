"""Answers of the fitted airplane at any condition, from its draws."""

from collections.abc import Callable, Sequence
from dataclasses import replace
from math import isfinite

import numpy as np
from numpy.typing import NDArray

from wringout.airplane.airplane import Airplane
from wringout.model import scatter
from wringout.model.asked import Asked, resolve
from wringout.model.field import fly_landing, fly_take_off
from wringout.model.fit import Fit
from wringout.model.flight_groups import burned
from wringout.model.parameters import TYPICAL_CONSUMPTION
from wringout.model.question import PredictedQuantity, Prediction, Question
from wringout.model.ready import Discrepancy, Ready, made_ready
from wringout.model.run_scatter import run_scatter
from wringout.physics.airspeed import calibrated_from_equivalent, calibrated_from_true, true_from_calibrated
from wringout.physics.atmosphere import standard_temperature
from wringout.physics.climb import (
    SERVICE_RATE,
    acceleration_factor,
    best_angle,
    best_rate,
    ceiling,
    rate_of_climb,
)
from wringout.physics.constants import GRAVITY, SEA_LEVEL_DENSITY
from wringout.physics.cruise import level_speed
from wringout.physics.economy import best_range_speed, carson_speed
from wringout.physics.glide import Glide, best_glide, glide_at, least_sink
from wringout.physics.turn import sustained_bank, sustained_radius
from wringout.physics.vehicle import full_power, true_stall_speed
from wringout.quantity.dimensions import Dimension
from wringout.quantity.estimate import Estimate

FloatArray = NDArray[np.float64]

DIMENSIONS: dict[PredictedQuantity, Dimension] = {
    "stall speed": Dimension.SPEED,
    "cruise speed": Dimension.SPEED,
    "full-throttle speed": Dimension.SPEED,
    "fuel flow": Dimension.VOLUME_FLOW,
    "rate of climb": Dimension.SPEED,
    "best climb speed": Dimension.SPEED,
    "best angle speed": Dimension.SPEED,
    "service ceiling": Dimension.LENGTH,
    "take-off ground roll": Dimension.LENGTH,
    "take-off distance": Dimension.LENGTH,
    "landing ground roll": Dimension.LENGTH,
    "landing distance": Dimension.LENGTH,
    "glide ratio": Dimension.RATIO,
    "best glide speed": Dimension.SPEED,
    "least sink": Dimension.SPEED,
    "least sink speed": Dimension.SPEED,
    "best range speed": Dimension.SPEED,
    "Carson speed": Dimension.SPEED,
    "approach speed": Dimension.SPEED,
    "turn radius": Dimension.LENGTH,
    "turn bank": Dimension.ANGLE,
}
APPROACH_RATIO = 1.3  # reference approach over stall speed [CFR23 §23.73, from memory]
GLIDE_MARGIN = 1.1  # over stall speed in a glide of least sink (common practice, no source)
CEILING_REACH = 1500.0  # m above the climbs flown at which the discrepancy of the climb is doubled
ROUGHLY = 20  # every so manieth draw is enough to say how far above the climbs flown a ceiling lies
SOME = 0.02  # share of draws in which something cannot be done, from which on it is worth a word


def predict(airplane: Airplane, fit: Fit, question: Question) -> Prediction:
    """The fitted airplane's answer to one question.

    Parameters
    ----------
    airplane : Airplane
    fit : Fit
        Draws of the parameters, and what was flown.
    question : Question
        SI. A power fraction is of rated power, set by the maker's chart; a speed is calibrated.

    Returns
    -------
    Prediction
        Samples, shape (draws,), their median, standard deviation and central 90 % interval. The interval is
        that of the airplane flown at the median of the technique, not of a single run, whose further scatter
        a note states. Notes also say every assumption and every reach beyond what was flown.

    Raises
    ------
    InputError
        A configuration, flap setting or technique that the airplane or its flights have not; a mass that is
        not positive; a power fraction outside 0 to 1; an altitude or temperature outside the atmosphere.

    Notes
    -----
    Each draw is an airplane; physics answers for all at once. The model's discrepancy in the quantity is
    drawn on top, once for each draw, wider the further the question reaches beyond what was flown. What no
    flight taught comes from the priors, and is as wide as they are.
    """
    return predict_each(airplane, fit, [question])[0]


def predict_each(airplane: Airplane, fit: Fit, questions: Sequence[Question]) -> tuple[Prediction, ...]:
    """Answers to many questions, those of one quantity in one call of the physics; otherwise as `predict`."""
    asked = [resolve(airplane, fit, question) for question in questions]
    answers: dict[int, Prediction] = {}
    for quantity in dict.fromkeys(question.quantity for question in questions):
        chosen = [index for index, question in enumerate(questions) if question.quantity == quantity]
        found = _answers(airplane, fit, [asked[index] for index in chosen])
        answers.update(zip(chosen, found, strict=True))
    return tuple(answers[index] for index in range(len(questions)))


def _answers(airplane: Airplane, fit: Fit, asked: Sequence[Asked]) -> list[Prediction]:
    quantity = asked[0].question.quantity
    ready = made_ready(airplane, fit, asked)
    samples = ANSWERS[quantity](ready, Discrepancy(fit, quantity, asked))
    samples = np.broadcast_to(samples, (fit.draws.shape[0], len(asked)))
    on_the_field = asked[0].technique is not None
    scatters = run_scatter(ready, fit).run if on_the_field else np.full(len(asked), np.inf)
    return [
        _prediction(item, samples[:, index], float(spread))
        for index, (item, spread) in enumerate(zip(asked, scatters, strict=True))
    ]


def run_to_run(airplane: Airplane, fit: Fit, question: Question) -> float | None:
    """Relative standard deviation of a single take-off or landing about the technique's typical one.

    None where the quantity is no field length, or where the airplane cannot do it.
    """
    asked = [resolve(airplane, fit, question)]
    if asked[0].technique is None:
        return None
    spread = float(run_scatter(made_ready(airplane, fit, asked), fit).run[0])
    return spread if isfinite(spread) else None


def _stall_speed(ready: Ready, discrepancy: Discrepancy) -> FloatArray:
    made = ready.vehicle
    lift = np.asarray(made.maximum_lift_coefficient) * made.wing_area
    equivalent = np.sqrt(2.0 * made.mass * GRAVITY / (SEA_LEVEL_DENSITY * lift))
    calibrated = calibrated_from_equivalent(equivalent, ready.air.pressure)
    return calibrated * discrepancy.factor(scatter.STALL_SPEED, "stall")


def _shaft_power(ready: Ready) -> FloatArray:
    """What the engine gives when the chart says the asked fraction of rated power, at most full throttle."""
    fraction = np.array([item.power_fraction for item in ready.asked])
    set_by_chart = fraction * ready.airplane.engine.rated_power * ready.theta["engine power factor"]
    return np.minimum(set_by_chart, full_power(ready.vehicle, ready.air))


def _cruise_speed(ready: Ready, discrepancy: Discrepancy) -> FloatArray:
    speed = level_speed(ready.vehicle, ready.air, _shaft_power(ready))
    return speed * discrepancy.factor(scatter.CRUISE_SPEED, "speed")


def _full_throttle_speed(ready: Ready, discrepancy: Discrepancy) -> FloatArray:
    speed = level_speed(ready.vehicle, ready.air)
    return speed * discrepancy.factor(scatter.FULL_THROTTLE_SPEED, "speed")


def _fuel_flow(ready: Ready, discrepancy: Discrepancy) -> FloatArray:
    consumption = ready.airplane.engine.specific_consumption or TYPICAL_CONSUMPTION
    flow = (
        burned(ready.airplane, _shaft_power(ready))
        * consumption
        * ready.theta["specific consumption factor"]
        / ready.airplane.fuel.density
    )
    return np.asarray(flow * discrepancy.factor(scatter.FUEL_FLOW, "flow"))


def _held_speed(ready: Ready) -> tuple[FloatArray, NDArray[np.bool_]]:
    """True airspeeds asked for, shape (n,), any where none was; and where none was."""
    best = np.array([question.speed is None for question in ready.questions])
    held = np.array([30.0 if question.speed is None else question.speed for question in ready.questions])
    return true_from_calibrated(held, ready.air.pressure, ready.air.temperature), best


def _rate_of_climb(ready: Ready, discrepancy: Discrepancy) -> FloatArray:
    made, air = ready.vehicle, ready.air
    held, best = _held_speed(ready)
    speed, rate = held, rate_of_climb(made, air, held)
    if best.any():
        fastest = best_rate(made, air)
        speed = np.where(best, fastest.true_airspeed, speed)
        rate = np.where(best, fastest.rate_of_climb, rate)
    # The pilot holds the needle, not the true airspeed.
    rate = rate / acceleration_factor(air, speed)
    return np.asarray(rate + discrepancy(scatter.RATE_OF_CLIMB, "rate"))


def _calibrated(ready: Ready, speed: FloatArray, discrepancy: Discrepancy) -> FloatArray:
    """A best true airspeed as a calibrated one, with what the model may miss of it."""
    air = ready.air
    calibrated = calibrated_from_true(speed, air.pressure, air.temperature)
    return calibrated * discrepancy.factor(scatter.BEST_SPEED, "speed")


def _best_climb_speed(ready: Ready, discrepancy: Discrepancy) -> FloatArray:
    return _calibrated(ready, best_rate(ready.vehicle, ready.air).true_airspeed, discrepancy)


def _best_angle_speed(ready: Ready, discrepancy: Discrepancy) -> FloatArray:
    return _calibrated(ready, best_angle(ready.vehicle, ready.air).true_airspeed, discrepancy)


def _best_range_speed(ready: Ready, discrepancy: Discrepancy) -> FloatArray:
    return _calibrated(ready, best_range_speed(ready.vehicle, ready.air), discrepancy)


def _carson_speed(ready: Ready, discrepancy: Discrepancy) -> FloatArray:
    return _calibrated(ready, carson_speed(ready.vehicle, ready.air), discrepancy)


def _approach_speed(ready: Ready, discrepancy: Discrepancy) -> FloatArray:
    return APPROACH_RATIO * _stall_speed(ready, discrepancy)


def _turn_radius(ready: Ready, discrepancy: Discrepancy) -> FloatArray:
    made, air = ready.vehicle, ready.air
    held, best = _held_speed(ready)
    radius = np.where(best, sustained_radius(made, air), sustained_radius(made, air, held))
    return np.asarray(radius * discrepancy.factor(scatter.TURN_RADIUS, "radius"))


def _turn_bank(ready: Ready, discrepancy: Discrepancy) -> FloatArray:
    made, air = ready.vehicle, ready.air
    held, best = _held_speed(ready)
    bank = np.where(best, sustained_bank(made, air), sustained_bank(made, air, held))
    return np.asarray(bank * discrepancy.factor(scatter.TURN_BANK, "bank"))


def _service_ceiling(ready: Ready, discrepancy: Discrepancy) -> FloatArray:
    # What the model may miss is the rate of climb, and the more of it the higher above the climbs flown.
    flown = [row.pressure_altitude[1] for row in discrepancy.fit.flown if row.kind == "climb"]
    few = replace(ready, theta={name: column[::ROUGHLY] for name, column in ready.theta.items()})
    rough = np.median(ceiling(few.vehicle, SERVICE_RATE), axis=0)
    above = np.maximum(np.nan_to_num(rough, posinf=0.0, neginf=0.0) - max(flown, default=0.0), 0.0)
    missed = discrepancy(scatter.RATE_OF_CLIMB, "rate") * (1.0 + above / CEILING_REACH)
    remaining = SERVICE_RATE - missed
    warmer = np.array(
        [
            0.0
            if item.question.temperature is None
            else item.question.temperature - standard_temperature(item.question.pressure_altitude)
            for item in ready.asked
        ]
    )
    return ceiling(ready.vehicle, remaining, warmer)


def _take_off_roll(ready: Ready, discrepancy: Discrepancy) -> FloatArray:
    run = fly_take_off(ready.airplane, ready.theta, ready.cases, {})
    return run.ground_roll * discrepancy.factor(scatter.GROUND_ROLL, "roll", "take-off")


def _take_off_distance(ready: Ready, discrepancy: Discrepancy) -> FloatArray:
    run = fly_take_off(ready.airplane, ready.theta, ready.cases, {})
    rolled = run.ground_roll * discrepancy.factor(scatter.GROUND_ROLL, "roll", "take-off")
    return rolled + run.air_distance * discrepancy.factor(scatter.TAKE_OFF_AIR_DISTANCE, "air", "take-off")


def _landing_roll(ready: Ready, discrepancy: Discrepancy) -> FloatArray:
    _, stop = fly_landing(ready.airplane, ready.theta, ready.cases, {})
    return stop.ground_roll * discrepancy.factor(scatter.LANDING_ROLL, "roll", "landing")


def _landing_distance(ready: Ready, discrepancy: Discrepancy) -> FloatArray:
    _, stop = fly_landing(ready.airplane, ready.theta, ready.cases, {})
    rolled = stop.ground_roll * discrepancy.factor(scatter.LANDING_ROLL, "roll", "landing")
    return rolled + stop.air_distance * discrepancy.factor(scatter.LANDING_AIR_DISTANCE, "air", "landing")


def _glide_ratio(ready: Ready, discrepancy: Discrepancy) -> FloatArray:
    made, air, propeller = ready.vehicle, ready.air, ready.theta["idle propeller drag area"]
    held, best = _held_speed(ready)
    ratio = np.where(best, best_glide(made, air, propeller).ratio, glide_at(made, air, held, propeller).ratio)
    return np.asarray(ratio * discrepancy.factor(scatter.GLIDE_RATIO, "ratio"))


def _best_glide_speed(ready: Ready, discrepancy: Discrepancy) -> FloatArray:
    glide = best_glide(ready.vehicle, ready.air, ready.theta["idle propeller drag area"])
    return _calibrated(ready, glide.true_airspeed, discrepancy)


def _least_sink_glide(ready: Ready) -> Glide:
    """The glide of least sink, not nearer to the stall than anybody glides."""
    made, air, propeller = ready.vehicle, ready.air, ready.theta["idle propeller drag area"]
    speed = least_sink(made, air, propeller).true_airspeed
    return glide_at(made, air, np.maximum(speed, GLIDE_MARGIN * true_stall_speed(made, air)), propeller)


def _least_sink(ready: Ready, discrepancy: Discrepancy) -> FloatArray:
    return np.asarray(_least_sink_glide(ready).sink + discrepancy(scatter.SINK_RATE, "sink"))


def _least_sink_speed(ready: Ready, discrepancy: Discrepancy) -> FloatArray:
    return _calibrated(ready, _least_sink_glide(ready).true_airspeed, discrepancy)


ANSWERS: dict[PredictedQuantity, Callable[[Ready, Discrepancy], FloatArray]] = {
    "stall speed": _stall_speed,
    "cruise speed": _cruise_speed,
    "full-throttle speed": _full_throttle_speed,
    "fuel flow": _fuel_flow,
    "rate of climb": _rate_of_climb,
    "best climb speed": _best_climb_speed,
    "best angle speed": _best_angle_speed,
    "service ceiling": _service_ceiling,
    "take-off ground roll": _take_off_roll,
    "take-off distance": _take_off_distance,
    "landing ground roll": _landing_roll,
    "landing distance": _landing_distance,
    "glide ratio": _glide_ratio,
    "best glide speed": _best_glide_speed,
    "least sink": _least_sink,
    "least sink speed": _least_sink_speed,
    "best range speed": _best_range_speed,
    "Carson speed": _carson_speed,
    "approach speed": _approach_speed,
    "turn radius": _turn_radius,
    "turn bank": _turn_bank,
}


def _prediction(asked: Asked, samples: FloatArray, run_to_run: float) -> Prediction:
    """Median, spread and interval; what cannot be done in a draw counts as worst, and is said."""
    question = asked.question
    worst = np.inf if DIMENSIONS[question.quantity] is Dimension.LENGTH else 0.0
    if question.quantity == "service ceiling":
        worst = -np.inf
    counted = np.where(np.isnan(samples), worst, samples)
    notes = list(asked.notes)
    if isfinite(run_to_run):
        notes.append(
            f"single runs scatter about the typical one by {100.0 * run_to_run:.0f} % (one standard "
            "deviation)"
        )
    cannot = float(np.mean(~np.isfinite(counted) | np.isnan(samples)))
    if cannot > SOME:
        notes.append(
            f"in {100.0 * cannot:.0f} % of the airplanes that the flights allow it cannot be done at all"
        )
    low, median, high = np.quantile(counted, [0.05, 0.5, 0.95], method="inverted_cdf")
    finite = counted[np.isfinite(counted)]
    sd = float(np.std(finite, ddof=1)) if finite.size > 1 and isfinite(median) else None
    source = "fitted model" if sd is not None else "fitted model; no spread, for it cannot be done"
    return Prediction(
        question,
        Estimate(float(median), sd, DIMENSIONS[question.quantity], source),
        float(low),
        float(high),
        samples=counted,
        notes=tuple(notes),
    )
