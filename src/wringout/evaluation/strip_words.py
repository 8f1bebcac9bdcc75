"""What the strips answer, in sentences."""

from __future__ import annotations

from math import isfinite

from wringout.dossier.dossier import Units
from wringout.evaluation.strips import StripFound, StripsAnswer
from wringout.missions.practice import Practice
from wringout.missions.strip_hours import LAPSE_WORDS
from wringout.quantity.showing import show

CAUTION = (
    "Cloud, visibility, ice, turbulence, rotor behind ridges and trees, rain on the surface and anything "
    "standing on the strip are not counted: a usable hour is one in which the strip is long enough "
    "and the wind inside its limits, nothing more. The approved flight manual governs; the pilot looks and "
    "decides."
)


def percent(share: float) -> str:
    """'87 %'; 'all' and 'none' only where it is so."""
    if share >= 1.0:
        return "100 %"
    if share <= 0.0:
        return "0 %"
    rounded = round(100.0 * share)
    return f"{min(max(rounded, 1), 99)} %"


def found_sentence(found: StripFound, answer: StripsAnswer, units: Units) -> str:
    """'Corran Mill: usable 87 % of daylight hours with 190 kg …; winter wind across binds.'"""
    name = found.strip.name
    if found.answer is None:
        return f"{name}: not judged, {found.refused}."
    told = found.answer
    hours = "hours" if answer.asked.all_hours else "daylight hours"
    load = show(answer.payload, units.mass, digits=0)
    fuel = show(answer.fuel, units.fuel, digits=0)
    words = f"{name}: usable in {percent(told.share)} of {hours} with {load} and {fuel} of fuel"
    if told.share <= 0.0:
        words = f"{name}: never usable with {load} and {fuel} of fuel"
    if told.binding is None:
        return f"{words}; nothing stops it."
    return f"{words}; {_binding(told.binding, told.season)} binds."


def _binding(reason: str, season: str) -> str:
    return f"{season} {reason}" if season and reason.startswith("wind") else reason


def opening_sentence(answer: StripsAnswer, units: Units) -> str:
    """How many of the strips nine hours in ten leave open, and which is the hardest."""
    judged = [found for found in answer.found if found.answer is not None]
    if not judged:
        return "No strip could be judged."
    open_ones = [found for found in judged if found.answer and found.answer.share >= 0.9]
    never = [found for found in judged if found.answer and found.answer.share <= 0.01]
    load = show(answer.payload, units.mass, digits=0)
    hours = "hours" if answer.asked.all_hours else "daylight hours"
    words = (
        f"With {load} as {answer.configuration}, {len(open_ones)} of {len(judged)} strips are usable in nine "
        f"{hours} of ten"
    )
    if never:
        names = ", ".join(found.strip.name for found in never[:3])
        more = f" and {len(never) - 3} more" if len(never) > 3 else ""
        words += f"; {names}{more} practically never"
    return words + "."


def payload_words(found: StripFound, units: Units) -> str:
    """The payload that keeps nine hours in ten, or why none does."""
    if found.answer is None:
        return "–"
    if found.kept_payload is not None:
        return show(found.kept_payload, units.mass, digits=0)
    return "none: wind" if _wind_alone(found) else "none: length"


def kept_reason(found: StripFound) -> str:
    """Why no payload keeps nine hours in ten, '' where one does."""
    if found.answer is None or found.kept_payload is not None:
        return ""
    if _wind_alone(found):
        return f"the wind alone takes {percent(_wind(found))} of them"
    return "it is too short even for the pilot alone"


def _wind(found: StripFound) -> float:
    """Share of hours that wind takes, whatever the load."""
    reasons = {} if found.answer is None else found.answer.reasons
    return sum(share for name, share in reasons.items() if name.startswith("wind"))


def _wind_alone(found: StripFound) -> bool:
    return _wind(found) > 0.1


def interval_words(found: StripFound) -> str:
    """The share's 90 % interval over what the flights leave open."""
    if found.answer is None:
        return ""
    low, high = percent(found.answer.low), percent(found.answer.high)
    return low if low == high else f"{low.removesuffix(' %')} to {high}"


def distance_words(pair: tuple[float, float], units: Units) -> str:
    """'413 of 720 m', the dash where it cannot be done."""
    needed, there = pair
    shown = show(there, units.distance, digits=0)
    if not isfinite(needed):
        return f"– of {shown}"
    return f"{show(needed, units.distance, digits=0).removesuffix(units.distance).rstrip()} of {shown}"


def density_words(found: StripFound, units: Units) -> str:
    """'Density altitude lies between −900 and 3 200 ft over these hours.'; '' where nothing was judged."""
    if found.answer is None:
        return ""
    rounded = -2 if units.height == "ft" else -1
    low, high = (show(value, units.height, digits=rounded) for value in found.answer.density_altitude)
    least = low.removesuffix(units.height).rstrip()
    return f"Density altitude lies between {least} and {high} over these hours."


def practice_words(practice: Practice, cross_wind: float, units: Units) -> str:
    """What was asked, in a sentence."""
    cross = show(cross_wind, units.speed, digits=0)
    tail = show(practice.tail_wind, units.speed, digits=0)
    margins = f"take-off × {practice.take_off_factor:.2f} and landing × {practice.landing_factor:.2f}"
    sure = "nine times in ten" if practice.sure == 0.9 else f"with a probability of {practice.sure:g}"
    limits = f"cross wind up to {cross}, tail wind up to {tail}"
    if practice.method != "physics":
        return (
            f"The {practice.method} factors for surface, slope and tail wind on the distance from a hard, "
            f"level runway in still air, then {margins}, long enough {sure}; {limits}."
        )
    return (
        f"Slope, surface and air by physics, {100 * practice.head_wind_share:.0f} % of the head wind and "
        f"{100 * practice.tail_wind_share:.0f} % of the tail wind counted, then {margins}, long enough "
        f"{sure}; {limits}."
    )


def weather_words(answer: StripsAnswer, units: Units) -> str:
    """Whose weather it is, and how it was brought to the strips."""
    words = LAPSE_WORDS.format(
        site=answer.site, elevation=show(answer.site_elevation, units.height, digits=0)
    )
    if answer.left_out:
        words += f" {answer.left_out} hours of the file could not be used."
    return words
