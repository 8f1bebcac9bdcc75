"""A planned flight → the card for the knee: words, figures and blanks, set by `card.typ`."""

from __future__ import annotations

from math import ceil, floor
from typing import TYPE_CHECKING, Any

from wringout.charts.theme import PRINT
from wringout.charts.typefaces import SANS, SERIF
from wringout.loading.loading_report import CAUTION, LoadingState
from wringout.quantity.showing import arm_digits, show
from wringout.quantity.units import convert, to_si
from wringout.report.blocks import fail, number
from wringout.report.card_points import point_groups
from wringout.report.composing import curled
from wringout.report.printing import compiled, template
from wringout.report.words import airplane_words

if TYPE_CHECKING:
    from wringout.airplane.airplane import Airplane
    from wringout.dossier.dossier import Dossier, Units
    from wringout.evaluation.planned import PlannedFlight
    from wringout.loading import PlannedLoading

PAPERS = ("a5", "us-statement")
AFT_SHARE = 0.25  # of the envelope's width next to its aft limit, in which a flight counts as at aft CG
AFT_CAUTION = (
    "Aft CG: fly these points at a mid CG first, and come back to it in small steps; the stick may be light."
)
KEY = (
    "Limits and tolerances that the card does not plan are common practice, no source. Rating: 1 excellent, "
    "10 uncontrollable. IAS* at lift-off or touchdown."
)
_ROUNDING = 1e-6  # of conversions there and back; no kindness to a limit
_BLANK = "______"
_MOMENTS = {"take-off": "take-off", "landing": "landing", "zero fuel": "last drop"}


def card_pdf(dossier: Dossier, flight: PlannedFlight, *, paper: str = "a5") -> bytes:
    """The printed card.

    Parameters
    ----------
    dossier : Dossier
    flight : PlannedFlight
        One of its cards, planned.
    paper : str
        'a5' or 'us-statement' (half a US Letter).

    Returns
    -------
    bytes
        A PDF/UA-1 file; equal plans give equal bytes.

    Raises
    ------
    ValueError
        Another paper.
    """
    if paper not in PAPERS:
        raise ValueError(f"paper '{paper}' is not known: use {' or '.join(PAPERS)}")
    return compiled(template("card.typ", card_content(dossier, flight, paper=paper)), flight.card.day)


def card_content(dossier: Dossier, flight: PlannedFlight, *, paper: str = "a5") -> dict[str, Any]:
    """Everything that the card says, as plain data for `card.typ`."""
    card, units, palette = flight.card, dossier.units, PRINT.palette
    day = f"{card.day.day} {card.day:%B %Y}"
    airplane = airplane_words(dossier.airplane)
    footer = [card.name, airplane, day, *(["invented demonstration"] if dossier.invented else [])]
    said: dict[str, Any] = {
        "paper": paper,
        "title": card.title,
        "author": dossier.evaluator,
        "description": f"Test card {card.name} of {airplane}",
        "keywords": ["test card", dossier.airplane.maker, dossier.airplane.name],
        "sans": SANS,
        "serif": SERIF,
        "palette": {"ink": palette.ink, "muted": palette.muted, "rule": palette.rule, "rust": palette.rust},
        "footer": " · ".join(footer),
        "over": f"Test card {card.name} · {airplane}",
        "facts": [day, card.pilot, card.configuration],
        "loading": _loading(flight.loading, units),
        "limits": _limits(dossier.airplane, flight, units),
        "weather": _weather(units),
        "times": ["start-up", "take-off", "landing", "shut-down"],
        "fuel": {
            "unit": units.fuel,
            "tanks": [tank.name for tank in dossier.airplane.tanks],
            "moments": ["before", "after"],
        },
        "groups": point_groups(flight, dossier),
        "tasks": list(dict.fromkeys(rating.task for rating in card.ratings)),
        "key": KEY,
        "expected": _expected_words(flight, units),
        "caution": CAUTION,
    }
    return {name: curled(part) for name, part in said.items()}


def _loading(planned: PlannedLoading, units: Units) -> dict[str, Any]:
    """Rows of what goes where, ballast apart and last of the stations, and the states that follow."""
    report = planned.report
    rows = []
    for row in report.rows:
        mass, name = row.mass, row.name
        if name == planned.station and planned.ballast:
            mass -= planned.ballast
        tank = name.removeprefix("fuel, ") if name.startswith("fuel, ") else None
        fuel = "" if tank is None else show(planned.loading.fuel[tank], units.fuel, digits=0)
        if mass > 1e-6:
            rows.append(
                {
                    "name": name,
                    "mass": number(mass, units.mass, 0),
                    "arm": number(row.arm, units.arm, arm_digits(units.arm)),
                    "fuel": fuel,
                }
            )
    wish = [
        f"CG {show(planned.wanted_cg, units.arm, digits=arm_digits(units.arm))}"
        if planned.wanted_cg is not None
        else "",
        show(planned.wanted_mass, units.mass, digits=0) if planned.wanted_mass is not None else "",
    ]
    state = report.state("take-off")
    aft = state.aft <= AFT_SHARE * (state.aft_limit - state.forward_limit)
    return {
        "units": {"mass": units.mass, "arm": units.arm, "fuel": units.fuel},
        "rows": rows,
        "ballast": _ballast(planned, units),
        "wanted": ", ".join(part for part in wish if part),
        "states": [_state(item, units) for item in report.states if item.name in _MOMENTS],
        "reason": "" if _met(planned) else planned.reason,
        "outside": not report.within,
        "finding": report.sentence(units.mass, units.arm),
        "caution": AFT_CAUTION if aft else "",
    }


def _met(planned: PlannedLoading) -> bool:
    """Whether nothing that is wanted is missing."""
    if planned.wanted_cg is None and planned.wanted_mass is None:
        return True
    mass = planned.report.state("take-off").mass
    near = planned.wanted_mass is None or abs(mass.value - planned.wanted_mass) <= max(mass.sd or 0.0, 0.05)
    return planned.ballast is not None and near


def _ballast(planned: PlannedLoading, units: Units) -> dict[str, str] | None:
    if planned.station is None or planned.ballast is None or planned.arm is None:
        return None
    return {
        "name": f"ballast, {planned.station}",
        "mass": number(planned.ballast, units.mass, 1),
        "arm": number(planned.arm, units.arm, arm_digits(units.arm)),
    }


def _state(state: LoadingState, units: Units) -> dict[str, Any]:
    def margin(value: float, unit: str, digits: int = 0) -> Any:
        shown = number(value, unit, digits)
        return fail(shown) if value < 0.0 else shown

    return {
        "name": _MOMENTS[state.name],
        "fuel": number(state.fuel, units.fuel, 0),
        "mass": number(state.mass.value, units.mass, 0),
        "cg": number(state.cg.value, units.arm, arm_digits(units.arm)),
        "forward": margin(state.forward, units.arm, arm_digits(units.arm)),
        "aft": margin(state.aft, units.arm, arm_digits(units.arm)),
        "left": margin(state.mass_margin, units.mass),
    }


def _limits(airplane: Airplane, flight: PlannedFlight, units: Units) -> list[dict[str, str]]:
    """What the flight keeps to: each a word for the thing and its limit."""
    plan, kinds = flight.card.plan, {item.point.kind for item in flight.points}
    rows = []
    if "stall" in kinds:
        height = _at_least(plan.minimum_stall_height, units.height)
        rows.append(("stalls", f"recovered by {height} above ground"))
    if kinds & {"take-off", "landing"}:
        wind, cross = (_at_most(speed, units.speed) for speed in (plan.maximum_wind, plan.maximum_crosswind))
        rows.append(("wind on the strip", f"up to {wind}, across up to {cross}"))
    if airplane.tanks:
        left = _BLANK if plan.landing_fuel is None else _at_least(plan.landing_fuel, units.fuel)
        rows.append(("fuel", f"land with {left} or more"))
    else:
        rows.append(("battery", f"land with {_BLANK} % or more"))
    flown = {item.point.flap for item in flight.points}
    flaps = [
        f"{flap.name} to {_at_most(flap.limit_speed, units.speed)}"
        for flap in airplane.flaps
        if flap.limit_speed is not None and flap.name in flown
    ]
    if flaps:
        rows.append(("flaps", ", ".join(flaps)))
    if airplane.never_exceed_speed is not None:
        rows.append(("never exceed", _at_most(airplane.never_exceed_speed, units.speed)))
    return [{"name": name, "limit": limit} for name, limit in rows]


def _at_most(value: float, unit: str) -> str:
    """A limit in whole units, rounded to the safe side."""
    return show(to_si(floor(convert(value, unit) + _ROUNDING), unit), unit, digits=0)


def _at_least(value: float, unit: str) -> str:
    """A least figure in whole units, rounded to the safe side."""
    return show(to_si(ceil(convert(value, unit) - _ROUNDING), unit), unit, digits=0)


def _weather(units: Units) -> list[dict[str, str]]:
    """The columns of the weather's blanks, as the card's TOML asks for them."""
    return [
        {"title": "time", "unit": "UTC"},
        {"title": "QNH", "unit": units.pressure},
        {"title": "air", "unit": units.temperature},
        {"title": "dew point", "unit": units.temperature},
        {"title": "wind from", "unit": "° true"},
        {"title": "speed", "unit": units.speed},
        {"title": "read at", "unit": "m above"},
    ]


def _expected_words(flight: PlannedFlight, units: Units) -> str:
    if not any(flight.expected):
        return ""
    mass = show(flight.loading.report.state("take-off").mass.value, units.mass, digits=0)
    return (
        f"Expected from {flight.expected_from}; in brackets nine in ten. At {mass}, standard day, still air, "
        "off a strip downhill and onto it uphill."
    )
