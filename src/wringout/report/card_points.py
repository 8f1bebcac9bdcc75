"""The points of a card in groups of one kind: what they share once, then a line of blanks for each."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from itertools import groupby
from typing import TYPE_CHECKING, Any

from wringout.quantity.dimensions import Dimension
from wringout.quantity.showing import show
from wringout.report.blocks import digits_of, interval
from wringout.report.words import capital

if TYPE_CHECKING:
    from wringout.airplane.airplane import Airplane
    from wringout.dossier.build_up import PlannedPoint
    from wringout.dossier.dossier import Dossier, Strip, Units
    from wringout.evaluation.planned import Expected, PlannedFlight

_TITLES = {
    "level": "Level legs",
    "climb": "Climbs",
    "glide": "Glides",
    "stall": "Stalls",
    "field": "Take-offs and landings",
}
_CONSENT = (
    "Stalls, short-field work at the limit and flight at aft CG need a qualified pilot, an airworthy "
    "airplane, the consent of insurer and authority, and a build-up in small steps; local regulations and "
    "licensed practice come first."
)
_BLANK = "________"


def point_groups(flight: PlannedFlight, dossier: Dossier) -> list[dict[str, Any]]:
    """Neighbours of one kind as a group each, in build-up order."""
    groups: list[dict[str, Any]] = []
    cautioned = False
    pairs = list(zip(flight.points, flight.expected, strict=True))
    for family, each in groupby(pairs, key=lambda pair: _family(pair[0])):
        members = list(each)
        facts = [_facts(planned, dossier) for planned, _ in members]
        shared = _shared(facts)
        caution = _caution(family, first=not cautioned)
        cautioned = cautioned or bool(caution)
        groups.append(
            {
                "title": _TITLES[family],
                "shared": list(shared.values()),
                "caution": caution,
                "blanks": _blanks(family, dossier.airplane, dossier.units),
                "rows": [
                    _row(planned, expected, own, shared, dossier.units)
                    for (planned, expected), own in zip(members, facts, strict=True)
                ],
            }
        )
    return groups


def _family(planned: PlannedPoint) -> str:
    kind = planned.point.kind
    return "field" if kind in ("take-off", "landing") else kind


def _row(
    planned: PlannedPoint,
    expected: Sequence[Expected],
    facts: Mapping[str, str],
    shared: Mapping[str, str],
    units: Units,
) -> dict[str, Any]:
    point = planned.point
    own = [words for name, words in facts.items() if name not in shared]
    if point.target_speed is not None:
        target = show(point.target_speed, units.speed, digits=0)
    else:
        target = own.pop(0) if own else next(iter(shared.values()))
    tolerance = planned.speed_tolerance if point.target_speed is not None else None
    return {
        "id": point.id,
        "target": target if point.target_speed is not None else capital(target),
        "tolerance": "" if tolerance is None else f"± {show(tolerance, units.speed, digits=0)}",
        "setup": own,
        "expect": [_figure(figure, units, first=index == 0) for index, figure in enumerate(expected)],
        "note": point.note,
    }


def _facts(planned: PlannedPoint, dossier: Dossier) -> dict[str, str]:
    """What a point asks for besides its speed, by kind of fact, the most telling first."""
    point, units = planned.point, dossier.units
    facts: dict[str, str] = {}
    if point.kind in ("take-off", "landing"):
        facts["how"] = f"{point.kind}, {point.technique}"
    facts["flap"] = f"flap {point.flap}"
    facts["power"] = "idle" if point.power == "idle" else f"{point.power} power"
    if point.kind == "level":
        facts = {"power": facts["power"], "flap": facts["flap"]}
    if planned.entry_rate is not None:
        facts["entry"] = f"slow down {show(planned.entry_rate, 'kt/s')}"
    if planned.height_band is not None:
        low, high = (show(height, units.height, digits=0) for height in planned.height_band)
        facts["height"] = f"{low} to {high} pressure altitude"
    elif point.kind not in ("take-off", "landing"):
        facts["height"] = f"height\u00a0{_BLANK}"
    if planned.height_tolerance is not None:
        facts["height held"] = f"held ± {show(planned.height_tolerance, units.height, digits=0)}"
    if point.strip is not None:
        facts["strip"] = _strip_words(point.strip, {strip.name: strip for strip in dossier.strips}, units)
    return facts


def _strip_words(name: str, strips: Mapping[str, Strip], units: Units) -> str:
    strip = strips.get(name)
    if strip is None:
        return name
    return f"{name}, {show(strip.length, units.distance, digits=0)}, {strip.surface}"


def _shared(facts: Sequence[Mapping[str, str]]) -> dict[str, str]:
    """What every point of a group asks for alike."""
    first = facts[0]
    return {name: words for name, words in first.items() if all(other.get(name) == words for other in facts)}


def _figure(figure: Expected, units: Units, *, first: bool) -> dict[str, str]:
    """'expect 42 kt CAS (40 to 45)' in its three parts, with the digits that a pilot can use."""
    before, unit, after, finest = {
        "stall speed": ("", units.speed, " CAS", 0),
        "full-throttle speed": ("", units.speed, " true", 0),
        "rate of climb": ("", units.vertical_speed, "", -1 if units.vertical_speed == "ft/min" else 1),
        "glide ratio": ("glide ", "", " : 1", 1),
        "take-off ground roll": ("roll ", units.distance, "", 0),
        "take-off distance": ("over 15 m ", units.distance, "", 0),
        "landing ground roll": ("roll ", units.distance, "", 0),
        "landing distance": ("from 15 m ", units.distance, "", 0),
    }[figure.quantity]
    dimension = figure.estimate.dimension
    digits = min(digits_of(figure.low, figure.high, unit, dimension), finest)
    if dimension is Dimension.SPEED and finest == 0:
        digits = 0
    span = interval(figure.low, figure.high, unit, digits) if unit else _ratios(figure, digits)
    return {
        "before": f"expect {before}" if first else before,
        "value": show(figure.estimate.value, unit, digits=digits, dimension=dimension) + after,
        "after": f" ({span.removesuffix(unit).rstrip()})",
    }


def _ratios(figure: Expected, digits: int) -> str:
    return f"{figure.low:.{digits}f} to {figure.high:.{digits}f}"


def _caution(family: str, *, first: bool) -> str:
    """What can hurt someone in these points; the consent that all of it needs is said once."""
    if family == "stall":
        words = "Area clear, height for the recovery in hand; if one surprises, the rest is left."
        return f"{_CONSENT} {words}" if first else words
    if family == "field":
        words = "Look at the ground first; go around outside a tolerance; the short ones last."
        return f"{_CONSENT} {words}" if first else words
    return ""


def _blanks(family: str, airplane: Airplane, units: Units) -> list[dict[str, str]]:
    """The columns for what is observed besides the times and the rating."""
    speed, height = {"title": "IAS", "unit": units.speed}, units.height
    if family == "level":
        return [speed, *_power_blanks(airplane, units)]
    if family in ("climb", "glide"):
        return [
            speed,
            {"title": "from", "unit": height},
            {"title": "to", "unit": height},
            {"title": "air", "unit": units.temperature},
        ]
    if family == "stall":
        return [
            {"title": "warning", "unit": units.speed},
            {"title": "break", "unit": units.speed},
            {"title": "lost", "unit": height},
            {"title": "wing", "unit": "L R"},
        ]
    return [
        {"title": "wind", "unit": f"° {units.speed}"},
        {"title": "IAS*", "unit": units.speed},
        {"title": "roll", "unit": units.distance},
        {"title": "15 m", "unit": units.distance},
    ]


def _power_blanks(airplane: Airplane, units: Units) -> list[dict[str, str]]:
    turns = {"title": "engine", "unit": "rpm"}
    if airplane.engine.kind == "electric":
        return [turns, {"title": "power", "unit": units.power}, {"title": "charge", "unit": "%"}]
    flow = {"title": "fuel", "unit": units.fuel_flow}
    if airplane.propeller.kind == "fixed pitch":
        return [turns, flow, {"title": "air", "unit": units.temperature}]
    return [turns, {"title": "manifold", "unit": units.pressure}, flow]
