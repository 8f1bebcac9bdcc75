"""The lines behind the report's figures: one answer of the fitted airplane along one condition."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Any

import numpy as np

from wringout.airplane.airplane import Airplane
from wringout.dossier.dossier import Units
from wringout.evaluation.evaluation import Curve
from wringout.evaluation.usual import SURFACE, maximum_mass, usual_heights
from wringout.model import predict, predict_each
from wringout.model.fit import Fit
from wringout.model.question import PredictedQuantity, Question
from wringout.quantity import Dimension, show
from wringout.recordings.recording import FloatArray
from wringout.reduction.points import Points

ALTITUDES = np.linspace(0.0, 5000.0, 11)
ELEVATIONS = np.linspace(0.0, 2500.0, 11)
POWER_FRACTIONS = np.linspace(0.45, 0.80, 8)

AXIS_NAMES = {"speed": "speed", "pressure_altitude": "altitude", "power_fraction": "power", "mass": "mass"}

_FIELD_LENGTHS: tuple[PredictedQuantity, ...] = (
    "take-off distance",
    "take-off ground roll",
    "landing distance",
    "landing ground roll",
)


@dataclass(frozen=True, slots=True)
class Line:
    """A quantity asked along one field of its question."""

    quantity: PredictedQuantity
    along: str
    x_dimension: Dimension
    y_dimension: Dimension

    @property
    def name(self) -> str:
        """What the curve answers."""
        axis = "elevation" if self.quantity in _FIELD_LENGTHS else AXIS_NAMES[self.along]
        return f"{self.quantity} against {axis}"


LINES = (
    Line("rate of climb", "speed", Dimension.SPEED, Dimension.SPEED),
    Line("rate of climb", "pressure_altitude", Dimension.LENGTH, Dimension.SPEED),
    *(Line(quantity, "pressure_altitude", Dimension.LENGTH, Dimension.LENGTH) for quantity in _FIELD_LENGTHS),
    Line("full-throttle speed", "pressure_altitude", Dimension.LENGTH, Dimension.SPEED),
    Line("cruise speed", "power_fraction", Dimension.RATIO, Dimension.SPEED),
    Line("glide ratio", "speed", Dimension.SPEED, Dimension.RATIO),
)
STALL = Line("stall speed", "mass", Dimension.MASS, Dimension.SPEED)


def curves_of(
    airplane: Airplane, units: Units, points: Points, fit: Fit, flown: tuple[str, ...]
) -> tuple[Curve, ...]:
    """Every line of the report at maximum mass on a standard day, by configuration flown; stalls by flap."""
    stalled = {point.conditions.flap for point in points.stalls}
    return (
        *(_curve(airplane, units, fit, configuration, line) for configuration in flown for line in LINES),
        *(
            replace(_curve(airplane, units, fit, flown[0], STALL, flap=flap.name), flown=flap.name in stalled)
            for flap in airplane.flaps
        ),
    )


def _curve(
    airplane: Airplane, units: Units, fit: Fit, configuration: str, line: Line, *, flap: str | None = None
) -> Curve:
    quantity, along = line.quantity, line.along
    mass = maximum_mass(airplane, configuration)
    base = Question(
        quantity,
        configuration,
        mass,
        flap=flap,
        surface=SURFACE,
        pressure_altitude=usual_heights(units).cruise if quantity == "cruise speed" else 0.0,
    )
    x = _along(airplane, fit, base, along)
    answers = predict_each(airplane, fit, [_at(base, along, float(value)) for value in x])
    return Curve(
        name=line.name,
        configuration=configuration,
        condition=_condition(base, along, units),
        x=x,
        x_dimension=line.x_dimension,
        median=np.array([answer.estimate.value for answer in answers]),
        low=np.array([answer.low for answer in answers]),
        high=np.array([answer.high for answer in answers]),
        y_dimension=line.y_dimension,
        flown=True,
    )


def _at(base: Question, along: str, value: float) -> Question:
    """The question with the field that runs along x set."""
    changed: dict[str, Any] = {along: value}
    return replace(base, **changed)


def _along(airplane: Airplane, fit: Fit, base: Question, along: str) -> FloatArray:
    """The x values; speeds run from just above the stall to where a climb no longer makes sense."""
    if along == "mass":
        return np.linspace(0.75, 1.0, 6) * base.mass
    if along == "power_fraction":
        return POWER_FRACTIONS
    if along == "speed":
        stall = predict(airplane, fit, replace(base, quantity="stall speed", flap=airplane.flaps[0].name))
        return np.linspace(1.15, 2.2, 11) * stall.estimate.value
    if base.quantity == "rate of climb":
        ceiling = predict(airplane, fit, replace(base, quantity="service ceiling")).estimate.value
        return np.linspace(0.0, np.clip(1.03 * ceiling, 1000.0, 12000.0), 11)
    return ELEVATIONS if base.quantity in _FIELD_LENGTHS else ALTITUDES


def _condition(base: Question, along: str, units: Units) -> str:
    parts = [] if along == "mass" else [show(base.mass, units.mass, digits=0)]
    if base.quantity in _FIELD_LENGTHS:
        parts.append(f"{base.surface}, level, still air")
    if base.flap is not None:
        parts.append(f"flaps {base.flap}")
    if along != "pressure_altitude":
        altitude = show(base.pressure_altitude, units.height, digits=0)
        parts.append(f"at {altitude}" if base.pressure_altitude else "at sea level")
    return ", ".join([*parts, "standard day"])
