"""The next flight in words: the answer as a sentence, each point, and how it is flown."""

from __future__ import annotations

from collections.abc import Sequence
from math import floor, log10

from wringout.dossier.dossier import Units
from wringout.evaluation.inquiry_words import answer_unit
from wringout.evaluation.next_flight import NextFlight
from wringout.model.candidates import Candidate, Kind
from wringout.quantity.showing import show
from wringout.quantity.units import convert, difference_factor, find_unit, to_si

HOW: dict[Kind, str] = {
    "level": "one height in smooth air, power untouched; a minute on each of three headings or more",
    "climb": "a steady airspeed through the height for a minute or longer, across the wind, there and back",
    "glide": "throttle closed, a steady airspeed through the height for a minute or longer, there and back",
    "stall": "trim at 1.5 of the stall, idle, wings level; lose a knot a second to the break, and mark it",
    "take-off": "stand still, full power, then the technique as ever; mark lift-off and 15 m",
    "landing": "one speed and angle to the line, the technique as ever, to a full stop; mark touchdown",
}
_NUMBERS = ("no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten")


def next_sentence(flight: NextFlight, units: Units, what: str) -> str:
    """'Fly three full-throttle legs: the standard deviation of … falls from 2.1 to 1.3 kt in 24 min.'

    `what` names the answer, such as 'the cruise speed'.
    """
    minutes = f"{flight.longest / 60.0:.0f} min"
    if not flight.steps:
        return (
            f"No point that fits into {minutes} takes away a hundredth of what is uncertain about {what}, "
            f"± {spread_words(flight.sd, flight, units)}."
        )
    before, after = fall(flight, units)
    unit = unit_words(flight, units)
    return (
        f"Fly {sortie_words([candidate for candidate, _ in flight.steps])}: the standard deviation of {what} "
        f"falls from {before} to {after}{unit} in {flight.time / 60.0:.0f} min."
    )


def fall(flight: NextFlight, units: Units) -> tuple[str, str]:
    """Standard deviations before and after the sortie, without their unit, as fine as tells them apart."""
    for finer in range(3):
        before, after = figures((flight.sd, flight.sd_after), flight, units, finer=finer)
        if before != after or not flight.steps:
            break
    return before, after


def lasting_sentence(flight: NextFlight, units: Units) -> str:
    """What is left when everything has been flown, and whose it is; '' where points take away all."""
    if flight.lasting < 0.01 * flight.sd:
        return ""
    return (
        f"However much is flown, ± {spread_words(flight.lasting, flight, units)} stays: the model itself may "
        "miss so much."
    )


def sortie_words(points: Sequence[Candidate]) -> str:
    """'three level legs at full throttle and two landings ‘short field’', as first met."""
    groups: dict[tuple[str, str], int] = {}
    for point in points:
        groups[_named(point)] = groups.get(_named(point), 0) + 1
    parts = []
    for (one, many), count in groups.items():
        number = _NUMBERS[count] if count < len(_NUMBERS) else str(count)
        parts.append(f"{number} {one if count == 1 else many}")
    return parts[0] if len(parts) == 1 else f"{', '.join(parts[:-1])} and {parts[-1]}"


def _named(point: Candidate) -> tuple[str, str]:
    """One of its kind, and many."""
    if point.kind == "level":
        at = "full throttle" if point.power == "full" else "part power"
        return f"level leg at {at}", f"level legs at {at}"
    if point.kind == "stall":
        return f"stall with flaps {point.flap}", f"stalls with flaps {point.flap}"
    if point.kind in ("climb", "glide"):
        return point.kind, f"{point.kind}s"
    return f"{point.kind} ‘{point.technique}’", f"{point.kind}s ‘{point.technique}’"


def point_words(point: Candidate, units: Units) -> str:
    """'climb, full power, 68 kt calibrated, 5 000 ft, flaps up'."""
    words: str = point.kind if point.kind != "level" else "level leg"
    if point.technique is not None:
        words += f" ‘{point.technique}’"
    if point.power in ("full", "part"):
        words += f", {point.power} power"
    if point.speed is not None:
        words += f", {show(point.speed, units.speed, digits=0)} calibrated"
    if point.height is not None:
        words += f", {show(rounded_height(point.height, units), units.height, digits=0)}"
    words += f", flaps {point.flap}"
    return words + (f", {point.strip}" if point.strip is not None else "")


def rounded_height(height: float, units: Units) -> float:
    """A height [m] as a pilot flies it: to a hundred feet or fifty metres."""
    step = 100.0 if units.height == "ft" else 50.0
    shown = float(convert(height, units.height))
    return float(to_si(round(shown / step) * step, units.height))


def figures(
    spreads: Sequence[float], flight: NextFlight, units: Units, *, by_greatest: bool = False, finer: int = 0
) -> list[str]:
    """Standard deviations in the answer's unit, without it, with two significant digits of the least.

    Of the greatest instead, where the least tell nothing; with so many digits more.
    """
    factor = _factor(flight, units)
    shown = [spread / factor for spread in spreads]
    known = [value for value in shown if value > 0.0] or [1.0]
    digits = max(1 - floor(log10(max(known) if by_greatest else min(known)) + 1e-9), 0) + finer
    return [f"{value:.{digits}f}" for value in shown]


def spread_words(spread: float, flight: NextFlight, units: Units) -> str:
    """One standard deviation of the answer with its unit: '0.78 kt'."""
    return f"{figures([spread], flight, units)[0]}{unit_words(flight, units)}"


def unit_words(flight: NextFlight, units: Units) -> str:
    """The answer's unit as it stands behind a figure: ' kt', or nothing."""
    unit = answer_unit(flight.answer.question.quantity, units)
    return f" {unit}" if unit not in ("", "°") else unit


def _factor(flight: NextFlight, units: Units) -> float:
    unit = answer_unit(flight.answer.question.quantity, units)
    estimate = flight.answer.estimate
    return difference_factor(find_unit(unit, estimate.dimension), estimate.value) if unit else 1.0
