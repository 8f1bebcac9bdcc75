"""The lines behind the report's figures: one answer of the fitted airplane along one condition."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import numpy as np

from wringout.airplane.airplane import Airplane
from wringout.dossier.dossier import Units
from wringout.evaluation.evaluation import Curve
from wringout.model import predict
from wringout.model.fit import Fit
from wringout.model.question import PredictedQuantity, Question
from wringout.quantity import Dimension, show
from wringout.recordings.recording import FloatArray
from wringout.reduction.points import Point, Points

SURFACE = "dry grass"
CRUISE_ALTITUDE = 2000.0
ALTITUDES = np.linspace(0.0, 5000.0, 11)
ELEVATIONS = np.linspace(0.0, 2500.0, 11)
POWER_FRACTIONS = np.linspace(0.45, 0.80, 8)

# (curve, quantity asked, field of the question that runs along x, its dimension, dimension of the answer)
LINES: tuple[tuple[str, PredictedQuantity, str, Dimension, Dimension], ...] = (
    ("rate of climb against speed", "rate of climb", "speed", Dimension.SPEED, Dimension.SPEED),
    ("rate of climb against altitude", "rate of climb", "pressure_altitude", Dimension.LENGTH, Dimension.SPEED),
    ("take-off distance against elevation", "take-off distance", "pressure_altitude", Dimension.LENGTH, Dimension.LENGTH),
    ("take-off ground roll against elevation", "take-off ground roll", "pressure_altitude", Dimension.LENGTH, Dimension.LENGTH),
    ("landing distance against elevation", "landing distance", "pressure_altitude", Dimension.LENGTH, Dimension.LENGTH),
    ("landing ground roll against elevation", "landing ground roll", "pressure_altitude", Dimension.LENGTH, Dimension.LENGTH),
    ("full-throttle speed against altitude", "full-throttle speed", "pressure_altitude", Dimension.LENGTH, Dimension.SPEED),
    ("cruise speed against power", "cruise speed", "power_fraction", Dimension.RATIO, Dimension.SPEED),
    ("stall speed against mass", "stall speed", "mass", Dimension.MASS, Dimension.SPEED),
)  # fmt: skip


def flown_configurations(points: Points) -> tuple[str, ...]:
    """The configurations that gave at least one point, in the order in which they first did."""
    every: tuple[Point, ...] = (
        *points.levels,
        *points.climbs,
        *points.stalls,
        *points.takeoffs,
        *points.landings,
    )
    return tuple(dict.fromkeys(point.conditions.configuration for point in every))


def maximum_mass(airplane: Airplane, configuration: str) -> float:
    """The maximum take-off mass [kg] of a configuration's envelope."""
    name = next(item.envelope for item in airplane.configurations if item.name == configuration)
    return next(item.maximum_takeoff_mass for item in airplane.envelopes if item.name == name)


def curves_of(airplane: Airplane, units: Units, points: Points, fit: Fit) -> tuple[Curve, ...]:
    """Every line of the report for every configuration flown, at maximum mass on a standard day."""
    return tuple(
        _curve(airplane, units, fit, configuration, line)
        for configuration in flown_configurations(points)
        for line in LINES
    )


def _curve(
    airplane: Airplane,
    units: Units,
    fit: Fit,
    configuration: str,
    line: tuple[str, PredictedQuantity, str, Dimension, Dimension],
) -> Curve:
    name, quantity, along, x_dimension, y_dimension = line
    mass = maximum_mass(airplane, configuration)
    base = Question(
        quantity,
        configuration,
        mass,
        flap=airplane.flaps[-1].name if quantity == "stall speed" else None,
        surface=SURFACE,
        pressure_altitude=CRUISE_ALTITUDE if quantity == "cruise speed" else 0.0,
    )
    x = _along(airplane, fit, base, along)
    answers = [predict(airplane, fit, _at(base, along, float(value))) for value in x]
    return Curve(
        name=name,
        configuration=configuration,
        condition=_condition(base, along, units),
        x=x,
        x_dimension=x_dimension,
        median=np.array([answer.estimate.value for answer in answers]),
        low=np.array([answer.low for answer in answers]),
        high=np.array([answer.high for answer in answers]),
        y_dimension=y_dimension,
        flown=True,
    )


def _at(base: Question, along: str, value: float) -> Question:
    """The question with the field that runs along x set."""
    changed: dict[str, Any] = {along: value}
    return replace(base, **changed)


def _along(airplane: Airplane, fit: Fit, base: Question, along: str) -> FloatArray:
    """The x values of a curve; speeds run from just above the stall to where a climb no longer makes sense."""
    if along == "mass":
        return np.linspace(0.75, 1.0, 6) * base.mass
    if along == "power_fraction":
        return POWER_FRACTIONS
    if along == "speed":
        stall = predict(airplane, fit, replace(base, quantity="stall speed", flap=airplane.flaps[0].name))
        return np.linspace(1.15, 2.2, 11) * stall.estimate.value
    return ELEVATIONS if base.quantity.startswith(("take-off", "landing")) else ALTITUDES


def _condition(base: Question, along: str, units: Units) -> str:
    parts = [] if along == "mass" else [show(base.mass, units.mass, digits=0)]
    if base.quantity.startswith(("take-off", "landing")):
        parts.append(f"{base.surface}, level, still air")
    if base.flap is not None:
        parts.append(f"flaps {base.flap}")
    if along != "pressure_altitude":
        altitude = show(base.pressure_altitude, units.height, digits=0)
        parts.append(f"at {altitude}" if base.pressure_altitude else "at sea level")
    return ", ".join([*parts, "standard day"])
