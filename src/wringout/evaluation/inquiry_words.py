"""The answer to an inquiry as a sentence, and its 90 % interval."""

from __future__ import annotations

from collections.abc import Mapping
from math import floor, isfinite, log10

from wringout.dossier.dossier import Units
from wringout.evaluation.inquiry import (
    ALTITUDE,
    BEARS,
    MASS,
    ON_THE_STRIP,
    POWER,
    SLOPE,
    SPEED,
    TEMPERATURE,
    WIND,
    Inquiry,
    standing_temperature,
)
from wringout.model.question import PredictedQuantity, Prediction
from wringout.quantity.dimensions import Dimension
from wringout.quantity.showing import show
from wringout.quantity.units import difference_factor, find_unit

_DOES: Mapping[PredictedQuantity, str] = {
    "take-off distance": "Take-off over 15 m takes {}",
    "take-off ground roll": "The take-off roll takes {}",
    "landing distance": "Landing from 15 m takes {}",
    "landing ground roll": "The landing roll takes {}",
    "rate of climb": "It climbs at {}",
    "best climb speed": "It climbs best at {} calibrated",
    "service ceiling": "Its service ceiling is {}",
    "cruise speed": "It cruises at {} true",
    "full-throttle speed": "At full throttle it flies level at {} true",
    "fuel flow": "It burns {}",
    "stall speed": "It stalls at {} calibrated",
    "glide ratio": "It glides {} to 1",
    "best glide speed": "It glides best at {} calibrated",
    "best angle speed": "It climbs steepest at {} calibrated",
    "least sink": "It sinks, engine idling, at no less than {}",
    "least sink speed": "It sinks least at {} calibrated",
    "best range speed": "It goes farthest on its fuel at {} calibrated",
    "Carson speed": "It uses least fuel for its speed at {} calibrated",
    "approach speed": "1.3 times the stalling speed is {} calibrated",
    "turn radius": "A level turn at full power has a radius of {}",
    "turn bank": "It holds a level turn at full power banked {}",
}
_CANNOT: Mapping[PredictedQuantity, str] = {
    "take-off distance": "It does not get over 15 m at all",
    "take-off ground roll": "It does not leave the ground at all",
    "landing distance": "It does not come to a stop at all",
    "landing ground roll": "It does not come to a stop at all",
    "service ceiling": "It has no service ceiling: it does not climb so fast at any height",
}
_UNITS: Mapping[PredictedQuantity, str] = {
    "rate of climb": "vertical_speed",
    "least sink": "vertical_speed",
    "turn radius": "distance",
    "service ceiling": "height",
    "fuel flow": "fuel_flow",
    "glide ratio": "",
    "turn bank": "°",
    "take-off distance": "distance",
    "take-off ground roll": "distance",
    "landing distance": "distance",
    "landing ground roll": "distance",
}


def answer_unit(quantity: PredictedQuantity, units: Units) -> str:
    """The unit in which a figure is answered."""
    field = _UNITS.get(quantity, "speed")
    return str(getattr(units, field, field))


def answer_sentence(prediction: Prediction, inquiry: Inquiry, units: Units) -> str:
    """'Take-off over 15 m takes 310 m as tail wheel at 1 090 kg, 5 000 ft and 25 °C, on dry grass.'"""
    quantity = inquiry.question.quantity
    value = prediction.estimate.value
    if not isfinite(value):
        does = _CANNOT.get(quantity, "It cannot be done at all")
    else:
        does = _DOES[quantity].format(shown_answer(prediction, value, units))
    return f"{does} {condition_words(inquiry, units)}."


def interval_words(prediction: Prediction, units: Units) -> str:
    """'280 to 345 m', or from where to where it cannot be done."""
    low, high = prediction.low, prediction.high
    if not (isfinite(low) or isfinite(high)):
        return "it cannot be done at all"
    if not isfinite(high):
        return f"{shown_answer(prediction, low, units)} to where it cannot be done at all"
    if not isfinite(low):
        return f"where it cannot be done at all to {shown_answer(prediction, high, units)}"
    unit = answer_unit(prediction.question.quantity, units)
    first = shown_answer(prediction, low, units).removesuffix(unit).strip()
    return f"{first} to {shown_answer(prediction, high, units)}"


def shown_answer(prediction: Prediction, value: float, units: Units) -> str:
    """A value of an answer with the digits that its 90 % interval leaves it."""
    unit = answer_unit(prediction.question.quantity, units)
    dimension = prediction.estimate.dimension
    half = (prediction.high - prediction.low) / 2.0
    if unit:
        half /= difference_factor(find_unit(unit, dimension), value)
    digits = min(1, 1 - floor(log10(half))) if isfinite(half) and half > 0.0 else 0
    return show(value, unit, digits=digits, dimension=dimension)


def condition_words(inquiry: Inquiry, units: Units) -> str:
    """What the figure holds for: all that bears on it, and nothing that does not."""
    asked, bears = inquiry.question, BEARS[inquiry.question.quantity]
    at = []
    if MASS in bears:
        at.append(show(asked.mass, units.mass, digits=0))
    if POWER in bears and asked.power_fraction is not None:
        at.append(f"{100.0 * asked.power_fraction:.0f} % power")
    if SPEED in bears and asked.speed is not None:
        at.append(f"{show(asked.speed, units.speed, digits=0)} calibrated")
    if ALTITUDE in bears:
        height = asked.pressure_altitude
        at.append(show(height, units.height, digits=0) if height else "sea level")
    if TEMPERATURE in bears and not (asked.temperature is None and ALTITUDE not in bears):
        said = show(standing_temperature(asked), units.temperature, digits=0, dimension=Dimension.TEMPERATURE)
        said += "" if ALTITUDE in bears else " at sea level"
        at.append(f"{said} (standard)" if asked.temperature is None else said)
    words = f"as {asked.configuration}, at {_listed(at)}"
    if asked.flap is not None:
        words += f", flaps {asked.flap}"
    if asked.quantity in ON_THE_STRIP:
        words += f", {_strip(inquiry, units)}"
    return words


def _strip(inquiry: Inquiry, units: Units) -> str:
    asked = inquiry.question
    parts = [f"on {asked.surface}"]
    if SLOPE in BEARS[asked.quantity]:
        slope = show(abs(asked.slope), "%", digits=1, dimension=Dimension.SLOPE).replace(".0 ", " ")
        parts.append(
            "level" if asked.slope == 0.0 else f"{slope} {'uphill' if asked.slope > 0 else 'downhill'}"
        )
    if WIND in BEARS[asked.quantity]:
        wind = show(abs(asked.head_wind), units.speed, digits=0)
        way = "head wind" if asked.head_wind > 0 else "tail wind"
        parts.append("still air" if asked.head_wind == 0.0 else f"{wind} of {way}")
    return ", ".join(parts)


def _listed(parts: list[str]) -> str:
    return parts[0] if len(parts) == 1 else f"{', '.join(parts[:-1])} and {parts[-1]}"
