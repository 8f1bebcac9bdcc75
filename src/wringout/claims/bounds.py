"""What no airplane of these dimensions can beat: ideal propeller, all power as climb, the grip of tyres."""

from collections.abc import Callable

import numpy as np

from wringout.claims.case import Case
from wringout.claims.grip import grip_of, most_braking
from wringout.claims.relation import interval
from wringout.claims.verdict import Evidence
from wringout.dossier.claim import CLAIM_DIMENSIONS, ClaimQuantity
from wringout.model.question import Question
from wringout.physics.atmosphere import standard_density, standard_temperature
from wringout.physics.constants import GRAVITY, SEA_LEVEL_DENSITY
from wringout.quantity.estimate import Estimate

LEAST_LIFT_OFF = (
    0.85  # of the stall speed, engine idle: slipstream and ground effect give no more (common practice)
)


def bound(case: Case) -> tuple[Evidence, ...]:
    """The bound of physics for the claim's quantity, where there is one.

    Its probability is 0 where the claim lies beyond it and None otherwise: a bound can only refute.
    """
    found = _BOUNDS.get(case.claim.quantity)
    return (found(case),) if found is not None else ()


def _density(case: Case) -> float:
    altitude = case.assumed.pressure_altitude
    density = float(standard_density(altitude))
    if case.assumed.temperature is None:
        return density
    return density * float(standard_temperature(altitude)) / case.assumed.temperature


def _stall(case: Case, flap: str | None) -> float:
    """Median true stall speed at the claim's mass and air [m/s]."""
    question = Question("stall speed", case.assumed.configuration.name, case.assumed.mass, flap=flap)
    calibrated = case.ask(question).estimate.value
    return float(calibrated * np.sqrt(SEA_LEVEL_DENSITY / _density(case)))


def _take_off(case: Case) -> Evidence:
    """Static thrust of the ideal actuator disk against the energy of lift-off [derived]."""
    words, airplane = case.words, case.airplane
    disk = np.pi / 4.0 * airplane.propeller.diameter**2
    power = airplane.engine.rated_power
    pull = float(np.cbrt(2.0 * _density(case) * disk * power**2))
    wind = case.claim.conditions.head_wind
    speed = LEAST_LIFT_OFF * _stall(case, case.assumed.flap)
    spare = pull / (case.assumed.mass * GRAVITY) - case.claim.conditions.slope
    least = max(speed - wind, 0.0) ** 2 / (2.0 * GRAVITY * max(spare, 1e-6))
    arithmetic = (
        f"the ideal propeller disk pulls (2 ρ A P²)^⅓ = {pull:.0f} N, "
        f"{pull / (case.assumed.mass * GRAVITY):.2f} of the "
        f"weight; leaving the ground at {100.0 * LEAST_LIFT_OFF:.0f} % of the stall speed, "
        f"{words.speed(speed)}, "
        "with no drag and "
        f"no friction takes {words.distance(least)}"
    )
    return _refuted_below(case, least, arithmetic)


def _climb(case: Case) -> Evidence:
    most = case.airplane.engine.rated_power / (case.assumed.mass * GRAVITY)
    words = case.words
    arithmetic = (
        f"all of the rated power turned into height, with no drag and no propeller: P/W = "
        f"{words.figure('rate of climb', most)}"
    )
    return _refuted_above(case, most, arithmetic)


def _landing(case: Case) -> Evidence:
    words = case.words
    wind = case.claim.conditions.head_wind
    speed = LEAST_LIFT_OFF * _stall(case, case.assumed.flap)
    grip = grip_of(case.assumed.surface)
    most = float(most_braking(case, np.array([grip.value + 2.0 * (grip.sd or 0.0)]))[0])
    most = max(most + case.claim.conditions.slope, 1e-6)
    least = max(speed - wind, 0.0) ** 2 / (2.0 * GRAVITY * most)
    arithmetic = (
        f"touching down at {100.0 * LEAST_LIFT_OFF:.0f} % of the stall speed, {words.speed(speed)}, and "
        "braking at "
        "once with all "
        f"that tyres give on {case.assumed.surface}, {most:.2f} g on these wheels: {words.distance(least)}"
    )
    return _refuted_below(case, least, arithmetic)


def _refuted_below(case: Case, least: float, arithmetic: str) -> Evidence:
    refuted = interval(case.claim)[1] < least
    return _evidence(case, least, refuted, arithmetic)


def _refuted_above(case: Case, most: float, arithmetic: str) -> Evidence:
    refuted = interval(case.claim)[0] > most
    return _evidence(case, most, refuted, arithmetic)


def _evidence(case: Case, value: float, refuted: bool, arithmetic: str) -> Evidence:
    figure = Estimate(value, None, CLAIM_DIMENSIONS[case.claim.quantity], "a bound, not a measurement")
    end = "the claim lies beyond this bound" if refuted else "the claim lies within this bound"
    return Evidence("physics", figure, 0.0 if refuted else None, f"{arithmetic}; {end}")


_BOUNDS: dict[ClaimQuantity, Callable[[Case], Evidence]] = {
    "take-off ground roll": _take_off,
    "take-off distance": _take_off,
    "rate of climb": _climb,
    "landing ground roll": _landing,
    "landing distance": _landing,
}
