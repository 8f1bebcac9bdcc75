"""Measured points near a claim's conditions, each brought there by what the model says of the difference."""

from collections.abc import Iterable
from dataclasses import dataclass, replace
from math import hypot, isfinite

import numpy as np

from wringout.claims.case import Case
from wringout.claims.relation import probability
from wringout.claims.verdict import Evidence
from wringout.dossier.claim import CLAIM_DIMENSIONS
from wringout.model import predict_each
from wringout.model.prediction import run_to_run
from wringout.model.question import Prediction, Question
from wringout.physics.airspeed import calibrated_from_true
from wringout.physics.atmosphere import altitude_of_pressure
from wringout.quantity.estimate import Estimate
from wringout.reduction.points import Conditions, LandingPoint, LevelPoint, Origin, TakeoffPoint

MOST_POINTS = 3
NEAR_POWER = 0.12  # of rated: level legs at other powers say little about this one


@dataclass(frozen=True, slots=True)
class _Near:
    """A measured figure, the question that asks the model for it, and where it was flown."""

    measured: Estimate
    question: Question
    origin: Origin


def measured_near(case: Case, question: Question, answer: Prediction) -> tuple[Evidence, ...]:
    """The nearest points of the claim's quantity, build, flaps and technique, brought to its conditions.

    Parameters
    ----------
    case : Case
    question : Question
        The claim's, with its technique.
    answer : Prediction
        The model's answer to it.

    Returns
    -------
    tuple of Evidence
        At most three, the nearest first; none where no such point was flown.

    Notes
    -----
    Figure = measured × model at the claim / model at the point, draw by draw, so that what both have in
    common cancels; rates of climb by the difference. Uncertainties add in quadrature: the measurement's,
    that of the ratio, and for take-offs and landings the scatter of a single run about the typical one [GUM,
    5.1.2].
    """
    points = [point for point in _points(case) if _alike(case, question, point.question)]
    points.sort(key=lambda point: _distance(question, point.question))
    nearest = points[:MOST_POINTS]
    at_points = (
        predict_each(case.airplane, case.fit, [point.question for point in nearest]) if nearest else ()
    )
    return tuple(
        _evidence(case, point, there, answer) for point, there in zip(nearest, at_points, strict=True)
    )


def _evidence(case: Case, point: _Near, there: Prediction, answer: Prediction) -> Evidence:
    quantity, words = case.claim.quantity, case.words
    measured, sd = point.measured.value, point.measured.sd or 0.0
    if quantity == "rate of climb":
        differences = answer.samples - there.samples
        change = float(np.median(differences))
        value, spread = measured + change, hypot(sd, float(np.std(differences)))
        told = (
            f"{words.figure(quantity, change)} more"
            if change >= 0.0
            else f"{words.figure(quantity, -change)} less"
        )
        step = f"the model climbs {told} at the claim's conditions"
    else:
        ratios = answer.samples / there.samples
        ratio = float(np.median(ratios))
        single = run_to_run(case.airplane, case.fit, point.question) or 0.0
        value = measured * ratio
        spread = hypot(sd * ratio, measured * float(np.std(ratios)), value * single)
        step = f"times {ratio:.3f}, the model's ratio, to the claim's conditions"
        if single:
            step += f", a single run scattering by {100.0 * single:.0f} %"
    figure = Estimate(
        value, spread, CLAIM_DIMENSIONS[quantity], f"measured at {point.origin.point}, brought over"
    )
    likely = probability(case.claim, figure)
    return Evidence(
        "measured",
        figure,
        likely,
        f"measured {words.figure(quantity, measured, sd or None)} ({_circumstances(case, point.question)}); "
        f"{step}: {words.estimate(quantity, figure)}",
        (point.origin,),
    )


def _circumstances(case: Case, asked: Question) -> str:
    words = case.words
    parts = [words.mass(asked.mass), f"at {words.height(asked.pressure_altitude)} pressure altitude"]
    if asked.temperature is not None:
        parts.append(words.temperature(asked.temperature))
    if asked.technique is not None:
        way = "head wind" if asked.head_wind >= 0.0 else "tail wind"
        parts.extend([f"{words.speed(abs(asked.head_wind))} {way}", asked.surface])
    if asked.power_fraction is not None:
        parts.append(f"{100.0 * asked.power_fraction:.0f} % power")
    return ", ".join(parts)


def _points(case: Case) -> Iterable[_Near]:
    quantity = case.claim.quantity
    if quantity == "stall speed":
        return _stalls(case)
    if quantity in ("cruise speed", "fuel flow", "full-throttle speed"):
        return _levels(case)
    if quantity in ("rate of climb", "glide ratio"):
        return _climbs(case)
    if quantity.startswith(("take-off", "landing")):
        return _field(case)
    return ()


def _stalls(case: Case) -> Iterable[_Near]:
    for point in case.points.stalls:
        if point.power == "idle":
            yield _Near(point.stall_speed, _asked(case, point.conditions), point.origin)


def _levels(case: Case) -> Iterable[_Near]:
    quantity, rated = case.claim.quantity, case.airplane.engine.rated_power
    for point in case.points.levels:
        asked = replace(_asked(case, point.conditions), flap=None)
        if quantity == "full-throttle speed":
            if point.full_throttle:
                yield _Near(point.true_airspeed, asked, point.origin)
            continue
        if quantity == "fuel flow" and point.full_throttle:
            continue  # full rich, another mixture than at cruise
        measured = point.true_airspeed if quantity == "cruise speed" else point.fuel_flow
        fraction = _fraction(point, rated)
        if measured is not None and fraction is not None:
            yield _Near(measured, replace(asked, power_fraction=fraction), point.origin)


def _fraction(point: LevelPoint, rated: float) -> float | None:
    return None if point.power is None else min(point.power.value / rated, 1.0)


def _climbs(case: Case) -> Iterable[_Near]:
    wanted = "full" if case.claim.quantity == "rate of climb" else "idle"
    for point in case.points.climbs:
        if point.power != wanted:
            continue
        state = point.conditions
        calibrated = float(
            calibrated_from_true(point.true_airspeed.value, state.pressure.value, state.temperature.value)
        )
        asked = replace(_asked(case, state), speed=calibrated)
        if wanted == "full":
            yield _Near(point.rate_of_climb, asked, point.origin)
        else:
            yield _Near(_glide_ratio(point.true_airspeed, point.rate_of_climb), asked, point.origin)


def _glide_ratio(speed: Estimate, rate: Estimate) -> Estimate:
    """Distance over height of a glide, from true airspeed and sink."""
    ratio = float(np.sqrt(speed.value**2 / rate.value**2 - 1.0))
    relative = hypot((speed.sd or 0.0) / speed.value, (rate.sd or 0.0) / rate.value)
    return Estimate(ratio, ratio * relative, CLAIM_DIMENSIONS["glide ratio"], rate.source)


def _field(case: Case) -> Iterable[_Near]:
    quantity = case.claim.quantity
    points = case.points.takeoffs if quantity.startswith("take-off") else case.points.landings
    for point in points:
        measured = point.ground_roll if quantity.endswith("roll") else _whole(point)
        asked = replace(
            _asked(case, point.conditions),
            head_wind=point.head_wind.value,
            slope=point.slope.value,
            surface=point.surface,
            technique=point.technique,
        )
        if isfinite(measured.value):  # a camera alone may have seen no more than the roll
            yield _Near(measured, asked, point.origin)


def _whole(point: TakeoffPoint | LandingPoint) -> Estimate:
    roll, air = point.ground_roll, point.air_distance
    return Estimate(
        roll.value + air.value,
        hypot(roll.sd or 0.0, air.sd or 0.0),
        roll.dimension,
        f"{roll.source}; {air.source}",
    )


def _asked(case: Case, state: Conditions) -> Question:
    return Question(
        case.question().quantity,
        state.configuration,
        state.mass.value,
        flap=state.flap,
        pressure_altitude=float(altitude_of_pressure(state.pressure.value)),
        temperature=state.temperature.value,
    )


def _alike(case: Case, asked: Question, point: Question) -> bool:
    """Whether a point is of the claim's kind: a stall speed does not know the gear, all else does."""
    quantity = asked.quantity
    if quantity != "stall speed" and point.configuration != asked.configuration:
        return False
    if quantity in ("stall speed", "rate of climb", "glide ratio"):
        wanted = case.airplane.flaps[0].name if asked.flap is None else asked.flap
        return point.flap == wanted
    if asked.technique is not None:
        return point.technique == asked.technique and asked.flap in (None, point.flap)
    if asked.power_fraction is not None and point.power_fraction is not None:
        return abs(point.power_fraction - asked.power_fraction) <= NEAR_POWER
    return True


def _distance(asked: Question, point: Question) -> float:
    """How far a point lies from the claim: a tenth of mass or power, 1 000 m and 10 m/s count alike."""
    power = 0.0
    if asked.power_fraction is not None and point.power_fraction is not None:
        power = asked.power_fraction - point.power_fraction
    return hypot(
        (asked.mass - point.mass) / (0.1 * asked.mass),
        (asked.pressure_altitude - point.pressure_altitude) / 1000.0,
        power / 0.1,
        (asked.head_wind - point.head_wind) / 10.0,
        0.5 * (asked.surface != point.surface),
    )
