"""The cost of the airplane in sentences and in rows for a table."""

from __future__ import annotations

from math import isfinite

from wringout.dossier.dossier import Units
from wringout.evaluation.costs import ConfigurationCost, Costing, Meeting
from wringout.ownership import Assumption, BreakEven, CostFigure
from wringout.quantity.showing import show
from wringout.quantity.units import find_unit

HOUR = 3600.0
PARTS = {
    "fixed": "fixed: hangar, insurance and the like",
    "capital": "capital: interest and fall in value",
    "exchange": "exchanges of the kit",
    "running": "running, beside fuel",
    "reserves": "reserves for what comes due",
    "fuel": "fuel",
}


def hour_sentence(cost: ConfigurationCost) -> str:
    """What an hour costs, nine in ten, and what one more takes."""
    reckoned = cost.reckoned
    hour, money = reckoned.hour, reckoned.costs.currency
    hours = show(reckoned.costs.hours_per_year.value, "h", digits=0)
    return (
        f"An hour with the {cost.configuration} costs {_whole(hour.value * HOUR)} {money} at {hours} a year, "
        f"nine in ten {_whole(hour.low * HOUR)} to {_whole(hour.high * HOUR)}; one hour more takes "
        f"{_whole(reckoned.one_more.value * HOUR)}."
    )


def year_sentence(cost: ConfigurationCost) -> str:
    """The year, what of it is paid without flying, and the loan."""
    reckoned = cost.reckoned
    money, hours = reckoned.costs.currency, reckoned.costs.hours_per_year.value
    standing = float((reckoned.stated.fixed + reckoned.stated.capital + reckoned.stated.exchange) * hours)
    loan = f"; the loan takes {_whole(reckoned.payment)} of it in cash" if reckoned.payment else ""
    return (
        f"That is {_whole(reckoned.year.value)} {money} a year, {_whole(standing)} of it before the first "
        f"take-off{loan}."
    )


def carrying_sentence(cost: ConfigurationCost, units: Units) -> str:
    """What carrying costs over the usual leg; empty where nothing goes."""
    if cost.carrying is None:
        return ""
    leg, money = cost.carrying.leg, cost.reckoned.costs.currency
    return (
        f"Over {leg.name} it carries {show(leg.carried, units.mass, digits=0)}, pilot counted, for "
        f"{_whole(leg.cost.median)} {money}: {per_load(cost.carrying.cost.median, money, units)}."
    )


def per_load(cost: float, currency: str, units: Units) -> str:
    """Cost of carrying [currency a kg and m] as people read it: for a hundred units of mass and of range."""
    shown = cost * find_unit(units.mass).factor * find_unit(units.range).factor * 100.0
    digits = 1 if shown >= 10.0 else 2
    return f"{show(shown, '', digits=digits)} {currency} for 100 {units.mass} over a {units.range}"


def hangs_on(cost: ConfigurationCost) -> str:
    """What moves the hour most."""
    swings = cost.reckoned.swings
    if not swings:
        return "Every assumption is taken as exact"
    first, money = swings[0], cost.reckoned.costs.currency
    ends = sorted((first.cost_at_low * HOUR, first.cost_at_high * HOUR))
    then = f", then on {swings[1].assumption.name}" if len(swings) > 1 else ""
    between = f"{_whole(ends[0])} to {_whole(ends[1])} {money}"
    return f"The hour hangs most on {first.assumption.name}: {between}{then}"


def by_hour_sentences(costing: Costing) -> tuple[str, ...]:
    """From how much flying each other configuration costs less for the same hours."""
    return tuple(f"By the hour {_met(item.by_hour, item)}." for item in costing.meetings)


def meeting_sentence(costing: Costing, units: Units) -> str:
    """From how much flying the second configuration is the cheaper, by the hour and by the distance."""
    if not costing.meetings:
        only = costing.configurations[0].configuration
        return f"Only the {only} was flown: there is nothing to break even with."
    return _meeting(costing.meetings[0], units)


def meeting_sentences(costing: Costing, units: Units) -> tuple[str, ...]:
    """The same for every other configuration."""
    return tuple(_meeting(item, units) for item in costing.meetings)


def shown_assumption(item: Assumption) -> str:
    """An assumption as people read it, with its uncertainty."""
    value, sd = item.value / item.factor, item.sd / item.factor
    unit = {"year": "years"}.get(item.unit, item.unit)
    return f"{show(value, '', sd if sd > 0.0 else None)} {unit}".strip()


def hour_row(name: str, figure: CostFigure) -> tuple[str, str, str, str]:
    """A part of the hour for a table: its words, the amount, its uncertainty, nine in ten of the draws."""
    value, sd = figure.value * HOUR, figure.sd * HOUR
    between = f"{_whole(figure.low * HOUR)} to {_whole(figure.high * HOUR)}"
    return PARTS.get(name, name), show(value, "", digits=1), show(sd, "", digits=1), between


def by_distance_sentence(item: Meeting, units: Units) -> str:
    """From how much flying the one costs less for the same distance."""
    return f"By the {_mile(units)} {_met(item.by_distance, item)}."


def _meeting(item: Meeting, units: Units) -> str:
    hour, distance = _met(item.by_hour, item), _met(item.by_distance, item)
    if hour == distance:
        return f"By the hour and by the {_mile(units)} {hour}."
    return f"By the {_mile(units)} {distance}; by the hour {hour}."


def _mile(units: Units) -> str:
    return {"nm": "nautical mile", "sm": "mile", "km": "kilometre"}.get(units.range, units.range)


def _met(found: BreakEven, item: Meeting) -> str:
    if found.flown is None:
        cheaper, dearer = (item.second, item.first) if found.above else (item.first, item.second)
        return f"the {cheaper} costs less than the {dearer} at any hours a year"
    cheaper = item.second if found.above else item.first
    between = ""
    if isfinite(found.low) and isfinite(found.high):
        between = f" (nine in ten {found.low / HOUR:.0f} to {found.high / HOUR:.0f}"
        between += ")" if found.meets > 0.99 else f"; in {100 * (1 - found.meets):.0f} % it never does)"
    return f"the {cheaper} costs less from {found.flown / HOUR:.0f} h a year{between}"


def _whole(value: float) -> str:
    return show(value, "", digits=0)
