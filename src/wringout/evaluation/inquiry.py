"""A figure asked of the fitted airplane at any condition: what bears on it, the sliders' reach, the line."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Any, get_args

import numpy as np

from wringout.airplane import unknown_name
from wringout.airplane.airplane import Airplane
from wringout.dossier.dossier import Dossier, Units
from wringout.evaluation.evaluation import Curve
from wringout.evaluation.usual import maximum_mass
from wringout.loading import empty_mass
from wringout.model import predict_each
from wringout.model.asked import KINDS
from wringout.model.fit import Fit
from wringout.model.prediction import DIMENSIONS
from wringout.model.question import PredictedQuantity, Prediction, Question
from wringout.physics.atmosphere import standard_temperature
from wringout.physics.ground import SURFACES
from wringout.problems import InputError, Problem
from wringout.quantity.dimensions import Dimension
from wringout.quantity.text import parse
from wringout.quantity.units import convert, to_si


@dataclass(frozen=True, slots=True)
class Variable:
    """A condition that a slider moves: its field in a question, its name, its kind of unit."""

    field: str
    name: str
    dimension: Dimension
    unit: str  # a field of `Units`, or a unit itself


MASS = Variable("mass", "mass", Dimension.MASS, "mass")
ALTITUDE = Variable("pressure_altitude", "pressure altitude", Dimension.LENGTH, "height")
TEMPERATURE = Variable("temperature", "air temperature", Dimension.TEMPERATURE, "temperature")
WIND = Variable("head_wind", "head wind", Dimension.SPEED, "speed")
SLOPE = Variable("slope", "slope, uphill", Dimension.SLOPE, "%")
POWER = Variable("power_fraction", "power of rated", Dimension.RATIO, "%")
SPEED = Variable("speed", "calibrated airspeed", Dimension.SPEED, "speed")
VARIABLES = (MASS, ALTITUDE, TEMPERATURE, WIND, SLOPE, POWER, SPEED)

_AIR = (MASS, ALTITUDE, TEMPERATURE)
_STRIP = (ALTITUDE, MASS, TEMPERATURE, WIND, SLOPE)
# What bears on a figure, the first the one that it is drawn against until another is chosen.
BEARS: Mapping[PredictedQuantity, tuple[Variable, ...]] = {
    "take-off distance": _STRIP,
    "take-off ground roll": _STRIP,
    "landing distance": _STRIP,
    "landing ground roll": _STRIP,
    "rate of climb": (ALTITUDE, MASS, TEMPERATURE, SPEED),
    "best climb speed": (ALTITUDE, MASS, TEMPERATURE),
    "best angle speed": (ALTITUDE, MASS, TEMPERATURE),
    "service ceiling": (MASS, TEMPERATURE),
    "cruise speed": (POWER, ALTITUDE, MASS, TEMPERATURE),
    "full-throttle speed": (ALTITUDE, MASS, TEMPERATURE),
    "fuel flow": (POWER, ALTITUDE, TEMPERATURE),
    "stall speed": (MASS,),
    "glide ratio": (SPEED, MASS, ALTITUDE, TEMPERATURE),
    "best glide speed": _AIR,
    "least sink": _AIR,
    "least sink speed": _AIR,
    "best range speed": _AIR,
    "Carson speed": _AIR,
    "approach speed": (MASS,),
    "turn radius": (SPEED, MASS, ALTITUDE, TEMPERATURE),
    "turn bank": (SPEED, MASS, ALTITUDE, TEMPERATURE),
}
assert set(BEARS) == set(get_args(PredictedQuantity))
ON_THE_STRIP = ("take-off distance", "take-off ground roll", "landing distance", "landing ground roll")

NODES = 7  # places along the line; answers bend little, and each costs some milliseconds
# Of the service ceiling, which is sought by trial and hardly bends; its band is that of some of the draws.
FEW_NODES, FEW_DRAWS = 4, 5
_PILOT = 80.0  # kg, the least that flies beside the empty airplane (common practice, no source)
_SPEEDS = (1.15, 2.2)  # of the stall speed with flaps up


@dataclass(frozen=True, slots=True)
class Reach:
    """From where to where a slider goes, in `unit`, in steps, and where it stands until it is moved.

    `start` None: nothing is stated, and the standard or the best stands.
    """

    variable: Variable
    unit: str
    low: float
    high: float
    step: float
    start: float | None


@dataclass(frozen=True, slots=True)
class Inquiry:
    """A question and the variable along which its answer is drawn."""

    question: Question
    along: Variable


@dataclass(frozen=True, slots=True)
class Answered:
    """The answer, and the line through it with its band along the inquiry's variable."""

    inquiry: Inquiry
    prediction: Prediction
    curve: Curve


class InquiryError(InputError):
    """What was typed cannot be asked; `places` are the names of the fields, one for each problem."""

    def __init__(self, faults: Mapping[str, Problem]) -> None:
        super().__init__(*faults.values())
        self.places = tuple(faults)


def unit_of(variable: Variable, units: Units) -> str:
    """The unit in which a variable is shown and in which a bare number is read."""
    return str(getattr(units, variable.unit, variable.unit))


def surfaces(dossier: Dossier) -> tuple[str, ...]:
    """Every surface that can be asked for: those of the tables, then those of the dossier's strips."""
    return tuple(dict.fromkeys((*SURFACES, *(strip.surface for strip in dossier.strips))))


def techniques(fit: Fit, quantity: str) -> tuple[str, ...]:
    """The techniques flown for a figure of the strip; none for another figure."""
    kind = "take-off" if quantity.startswith("take-off") else "landing"
    return fit.techniques.get(kind, ()) if quantity in ON_THE_STRIP else ()


def reaches(dossier: Dossier, fit: Fit, configuration: str) -> tuple[Reach, ...]:
    """How far each slider reaches for a configuration.

    Masses go from the empty airplane with a pilot to the maximum take-off mass, speeds from just above the
    stall; the rest are the ends that light airplanes meet (common practice, no source).
    """
    airplane, units = dossier.airplane, dossier.units
    top = maximum_mass(airplane, configuration)
    stall = _stall(airplane, fit, configuration, top)
    feet = units.height == "ft"
    bottom = min(empty_mass(airplane, configuration).mass.value + _PILOT, 0.9 * top)
    celsius = units.temperature == "°C"

    def reach(variable: Variable, low: float, high: float, step: float, start: float | None) -> Reach:
        return Reach(variable, unit_of(variable, units), low, high, step, start)

    def si(variable: Variable, low: float, high: float, start: float | None) -> Reach:
        unit = unit_of(variable, units)
        ends = [round(float(convert(value, unit)), 0) for value in (low, high)]
        first = None if start is None else float(convert(start, unit))
        return Reach(variable, unit, ends[0], ends[1], 1.0, first)

    wind = 20.0 if units.speed != "m/s" else 10.0
    return (
        si(MASS, bottom, top, top),
        reach(ALTITUDE, 0.0, 14000.0 if feet else 4500.0, 100.0 if feet else 50.0, 0.0),
        reach(TEMPERATURE, -20.0 if celsius else 0.0, 40.0 if celsius else 104.0, 1.0, None),
        reach(WIND, -wind / 2.0, wind, 1.0, 0.0),
        reach(SLOPE, -6.0, 6.0, 0.5, 0.0),
        reach(POWER, 45.0, 100.0, 1.0, 75.0),
        si(SPEED, _SPEEDS[0] * stall, _SPEEDS[1] * stall, None),
    )


def typed_inquiry(typed: Mapping[str, str], dossier: Dossier, fit: Fit) -> Inquiry:
    """The inquiry that a form of fields by name says.

    Parameters
    ----------
    typed : mapping
        'figure', 'configuration', 'along', 'surface', 'technique', 'flap', and each variable's field, as a
        number with or without its unit; one that is empty or missing is the start of its slider.
    dossier : Dossier
    fit : Fit

    Raises
    ------
    InquiryError
        With every field that is not understood.
    """
    airplane = dossier.airplane
    faults: dict[str, Problem] = {}

    def chosen(field: str, known: tuple[str, ...], kind: str) -> str:
        name = typed.get(field, "") or known[0]
        if name not in known:
            faults[field] = unknown_name(kind, name, known)
        return name

    figure = chosen("figure", tuple(BEARS), "figure")
    built = chosen("configuration", tuple(item.name for item in airplane.configurations), "configuration")
    if faults:
        raise InquiryError(faults)
    quantity: PredictedQuantity = figure  # type: ignore[assignment]  # checked above against the literal
    bears = BEARS[quantity]
    start = {reach.variable: reach for reach in reaches(dossier, fit, built)}
    values: dict[str, Any] = {}
    for variable in bears:
        try:
            values[variable.field] = _typed(typed.get(variable.field, ""), start[variable])
        except InputError as error:
            faults[variable.field] = error.problems[0]
    surface = chosen("surface", ("dry grass", *surfaces(dossier)), "surface")
    known = techniques(fit, quantity)
    technique = typed.get("technique") if typed.get("technique") in known else None
    flap = typed.get("flap") or None
    if flap is not None and flap not in (item.name for item in airplane.flaps):
        faults["flap"] = unknown_name("flap setting", flap, [item.name for item in airplane.flaps])
    if faults:
        raise InquiryError(faults)
    along = next((item for item in bears if item.field == typed.get("along")), bears[0])
    question = Question(quantity, built, flap=flap, technique=technique, **{"mass": _top(start), **values})
    if quantity in ON_THE_STRIP:
        question = replace(question, surface=surface)
    return Inquiry(question, along)


def answered(dossier: Dossier, fit: Fit, inquiry: Inquiry, line: Curve | None = None) -> Answered:
    """The answer and its line, in one call of the physics.

    Parameters
    ----------
    dossier : Dossier
    fit : Fit
    inquiry : Inquiry
    line : Curve, optional
        The line of an earlier inquiry of the same `line_key`, instead of asking for it again.

    Raises
    ------
    InquiryError
        The question reaches outside the model; at the field of its variable.
    """
    airplane, asked = dossier.airplane, inquiry.question
    x = np.empty(0) if line is not None else _places(dossier, fit, inquiry)
    try:
        along = [_at(asked, inquiry.along, float(value)) for value in x]
        if asked.quantity == "service ceiling":
            (first,) = predict_each(airplane, fit, [asked])
            rest = list(predict_each(airplane, replace(fit, draws=fit.draws[::FEW_DRAWS]), along))
        else:
            first, *rest = predict_each(airplane, fit, [asked, *along])
    except InputError as error:
        raise InquiryError({_place(problem): problem for problem in error.problems}) from None
    if line is None:
        line = Curve(
            name=f"{asked.quantity} against {inquiry.along.name}",
            configuration=asked.configuration,
            condition="",
            x=x,
            x_dimension=inquiry.along.dimension,
            median=np.array([item.estimate.value for item in rest]),
            low=np.array([item.low for item in rest]),
            high=np.array([item.high for item in rest]),
            y_dimension=DIMENSIONS[asked.quantity],
            flown=_flown(fit, asked),
        )
    return Answered(inquiry, first, line)


def line_key(inquiry: Inquiry, dossier: Dossier, fit: Fit) -> tuple[object, ...]:
    """What the line depends on: all of the question but where along the line it stands."""
    low, high = _ends(dossier, fit, inquiry)
    blank: dict[str, Any] = {inquiry.along.field: 0.0}
    return replace(inquiry.question, **blank), inquiry.along.field, low, high


def _typed(text: str, reach: Reach) -> float | None:
    """A number with or without its unit in SI; the slider's start where nothing is typed."""
    variable = reach.variable
    if not text.strip():
        if reach.start is None:
            return None
        return float(to_si(reach.start, reach.unit, variable.dimension))
    return typed_quantity(text, reach.unit, variable.dimension)


def typed_quantity(text: str, unit: str, dimension: Dimension) -> float:
    """A number in SI, read in its own unit or in `unit` where it has none; InputError as `parse`."""
    plain = text.strip().replace(",", ".").replace("−", "-")
    try:
        return float(to_si(float(plain.replace(" ", "")), unit, dimension))
    except ValueError:
        return parse(text.strip(), dimension)


def _top(start: Mapping[Variable, Reach]) -> float:
    reach = start[MASS]
    return float(to_si(reach.high, reach.unit))


def _ends(dossier: Dossier, fit: Fit, inquiry: Inquiry) -> tuple[float, float]:
    """From where to where the line goes [SI]: the slider's reach, and on to a value typed beyond it."""
    reach = next(
        item
        for item in reaches(dossier, fit, inquiry.question.configuration)
        if item.variable == inquiry.along
    )
    dimension = inquiry.along.dimension
    low, high = (float(to_si(end, reach.unit, dimension)) for end in (reach.low, reach.high))
    here = getattr(inquiry.question, inquiry.along.field)
    return (low, high) if here is None else (min(low, here), max(high, here))


def _places(dossier: Dossier, fit: Fit, inquiry: Inquiry) -> np.ndarray[Any, np.dtype[np.float64]]:
    count = FEW_NODES if inquiry.question.quantity == "service ceiling" else NODES
    return np.linspace(*_ends(dossier, fit, inquiry), count)


def _at(question: Question, along: Variable, value: float) -> Question:
    changed: dict[str, Any] = {along.field: value}
    return replace(question, **changed)


def _flown(fit: Fit, asked: Question) -> bool:
    """Whether flights of this kind and configuration stand behind the line."""
    kind = KINDS[asked.quantity]
    return any(row.kind == kind and row.configuration == asked.configuration for row in fit.flown)


def _stall(airplane: Airplane, fit: Fit, configuration: str, mass: float) -> float:
    question = Question("stall speed", configuration, mass, flap=airplane.flaps[0].name)
    return predict_each(airplane, fit, [question])[0].estimate.value


def _place(problem: Problem) -> str:
    """The field that a refusal of the model is about."""
    words = {
        "mass": MASS,
        "altitude": ALTITUDE,
        "temperature": TEMPERATURE,
        "power": POWER,
        "speed": SPEED,
    }
    return next((item.field for word, item in words.items() if word in problem.what), "figure")


def standing_temperature(question: Question) -> float:
    """The air temperature of a question [K]: as stated, or standard at its pressure altitude."""
    if question.temperature is not None:
        return question.temperature
    return float(standard_temperature(question.pressure_altitude))
