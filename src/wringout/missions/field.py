"""Whether a strip is long enough: the distance needed, factored and uncertain, against what is there."""

import math
from dataclasses import dataclass
from typing import Literal

import numpy as np

from wringout.dossier.dossier import Strip
from wringout.model.question import Prediction
from wringout.quantity.dimensions import Dimension
from wringout.quantity.estimate import Estimate

# The leaflet's overall safety factors for private flying [SSL7, from memory].
TAKE_OFF_FACTOR = 1.33
LANDING_FACTOR = 1.43

_HALF_WIDTH_90 = 1.6449

Movement = Literal["take-off", "landing"]
Distance = Prediction | Estimate


@dataclass(frozen=True, slots=True)
class FieldFinding:
    """One movement on one strip: distances over 15 m [m] and the probability that it is enough.

    `distance` is the median unfactored, `low` and `high` its central 90 %; `required` is `factor` times each;
    `probability` that factor × distance ≤ available, `probability_unfactored` the same without the factor;
    None where the distance states no uncertainty.
    """

    movement: Movement
    strip: str
    mass: float
    distance: Estimate
    low: float
    high: float
    factor: float
    required: float
    required_low: float
    required_high: float
    available: float
    probability: float | None
    probability_unfactored: float | None
    enough: bool
    notes: tuple[str, ...]


def field_finding(
    movement: Movement, strip: Strip, mass: float, distance: Distance, factor: float | None = None
) -> FieldFinding:
    """Compares a distance over 15 m with the length of a strip.

    Parameters
    ----------
    movement : 'take-off' or 'landing'
    strip : Strip
    mass : float
        At which the distance holds [kg].
    distance : Prediction or Estimate
        Over a 15 m obstacle, on this strip's surface, slope, height and wind [m]. Of a Prediction the
        samples count; an Estimate is taken as normally distributed.
    factor : float, optional
        Safety factor; left out, 1.33 for take-off and 1.43 for landing [SSL7, from memory].

    Returns
    -------
    FieldFinding
        `enough` compares the factored median.

    Raises
    ------
    ValueError
        A factor below one, or a distance that is not positive.
    """
    used = (TAKE_OFF_FACTOR if movement == "take-off" else LANDING_FACTOR) if factor is None else factor
    estimate = distance.estimate if isinstance(distance, Prediction) else distance
    if not used >= 1.0:
        raise ValueError(f"a safety factor is one or more, found {used:g}")
    if not estimate.value > 0.0:
        raise ValueError(f"a distance is positive, found {estimate.value:g} m")
    low, high = _interval(distance)
    return FieldFinding(
        movement,
        strip.name,
        mass,
        Estimate(estimate.value, estimate.sd, Dimension.LENGTH, estimate.source),
        low,
        high,
        used,
        used * estimate.value,
        used * low,
        used * high,
        strip.length,
        _probability(distance, strip.length / used),
        _probability(distance, strip.length),
        used * estimate.value <= strip.length,
        _notes(movement, strip),
    )


def _interval(distance: Distance) -> tuple[float, float]:
    if isinstance(distance, Prediction):
        return distance.low, distance.high
    half = _HALF_WIDTH_90 * (distance.sd or 0.0)
    return max(distance.value - half, 0.0), distance.value + half


def _probability(distance: Distance, limit: float) -> float | None:
    if isinstance(distance, Prediction):
        return float(np.mean(distance.samples <= limit))
    if not distance.sd:
        return None
    return 0.5 * math.erfc((distance.value - limit) / (distance.sd * math.sqrt(2.0)))


def _notes(movement: Movement, strip: Strip) -> tuple[str, ...]:
    notes = []
    tallest = max(strip.obstacle_near, strip.obstacle_far)
    if tallest > 15.24:
        notes.append(
            f"An obstacle of {tallest:.0f} m is higher than the 15 m for which the {movement} is reckoned."
        )
    if strip.one_way:
        notes.append("The strip is one-way: the wind may be on the tail.")
    return tuple(notes)
