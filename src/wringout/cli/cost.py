"""`cost`: what an hour, a year and a trip cost, and what that hangs on."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

from cyclopts import Parameter

from wringout.problems import InputError, Problem

if TYPE_CHECKING:
    from wringout.dossier.dossier import Dossier, Units
    from wringout.evaluation.costs import ConfigurationCost, Costing, Spread
    from wringout.model.fit import Fit
    from wringout.ownership import BreakEven, CostFigure

HOUR = 3600.0


def cost(
    folder: Path = Path(),
    /,
    *,
    configuration: Annotated[
        tuple[str, ...], Parameter(help="One or more; those that were flown without it.", negative="")
    ] = (),
    assume: Annotated[
        tuple[str, ...],
        Parameter(help="Try one, e.g. 'hours_per_year=250 h', 'fixed.0.amount=6 000 EUR/year'.", negative=""),
    ] = (),
    json: bool = False,
) -> int:
    """What an hour, a year and each mission cost, what that hangs on, and where configurations break even.

    Parameters
    ----------
    folder
        The dossier.
    json
        Answer as JSON, in SI and the dossier's currency.
    """
    from wringout.cli.output import caution, print_json, progress, say
    from wringout.dossier.cost_trial import tried_costs
    from wringout.evaluation import fit_model
    from wringout.evaluation.cost_words import (
        carrying_sentence,
        hangs_on,
        hour_sentence,
        meeting_sentences,
        year_sentence,
    )
    from wringout.evaluation.trips import answer_missions

    with progress(quiet=json) as tell:
        dossier, _, fit = fit_model(folder, tell)
    costs = dossier.costs
    if assume:
        trial = tried_costs(folder, dict(_assumed(item) for item in assume))
        if trial.costs is None:
            raise InputError(*trial.faults.values())
        costs = trial.costs
    costing = _costing(dossier, fit, configuration, costs, answer_missions(dossier, fit))
    if json:
        print_json(costing_json(costing))
        return 0
    units = dossier.units
    for item in costing.configurations:
        for sentence in (hour_sentence(item), year_sentence(item), carrying_sentence(item, units)):
            if sentence:
                say(sentence)
        _tables(item, costing.currency, units)
        say(f"{hangs_on(item)}.")
    for sentence in meeting_sentences(costing, units):
        say(sentence)
    for note in dict.fromkeys(note for item in costing.configurations for note in item.notes):
        say(f"  {note}")
    caution(costing.caution)
    return 0


def _costing(dossier: Dossier, fit: Fit, names: tuple[str, ...], costs: Any, answered: Any) -> Costing:
    from wringout.evaluation.comparison import candidates_of
    from wringout.evaluation.costs import costs_of

    chosen = [item.configuration for item in candidates_of(dossier, fit, names)]
    return costs_of(dossier, fit, chosen, costs=costs, answered=answered)


def _assumed(text: str) -> tuple[str, str]:
    place, sign, value = text.partition("=")
    if not sign or not value.strip():
        raise InputError(
            Problem(
                f"'{text[:60]}' is no assumption",
                "write it like 'hours_per_year=250 h', the key as in costs.toml",
                field="--assume",
            )
        )
    return place.strip(), value.strip()


def _tables(item: ConfigurationCost, currency: str, units: Units) -> None:
    from wringout.charts.tornado import shown_value
    from wringout.cli.output import bare, headed, table
    from wringout.evaluation.cost_words import hour_row, shown_assumption
    from wringout.quantity import show

    reckoned, hourly = item.reckoned, f"{currency}/h"
    table(
        f"An hour with the {item.configuration}",
        ("part", headed("cost", hourly), headed("±", hourly), headed("nine in ten", hourly)),
        [hour_row(name, figure) for name, figure in (*reckoned.parts, ("all", reckoned.hour))],
    )
    if item.missions:
        table(
            "",
            (
                "mission",
                headed("time", "min"),
                headed("fuel", units.fuel),
                headed("cost", currency),
                headed("nine in ten", currency),
                headed("one more", currency),
            ),
            (
                (
                    trip.name,
                    bare(trip.time.median, "min", digits=0),
                    bare(trip.fuel.median, units.fuel, digits=0),
                    show(trip.cost.median, "", digits=0),
                    f"{show(trip.cost.low, '', digits=0)} to {show(trip.cost.high, '', digits=0)}",
                    show(trip.one_more.median, "", digits=0),
                )
                for trip in item.missions
            ),
        )
    swings = {swing.assumption.key: swing for swing in reckoned.swings}
    table(
        "",
        ("assumption", "source", "stated", "nine in ten", headed("hour then", hourly)),
        (
            (
                each.name,
                each.source,
                shown_assumption(each),
                f"{shown_value(swing, swing.low).partition(' ')[0]} to {shown_value(swing, swing.high)}"
                if swing
                else "exact",
                f"{swing.cost_at_low * HOUR:.0f} to {swing.cost_at_high * HOUR:.0f}" if swing else "",
            )
            for each in sorted(reckoned.assumptions, key=lambda item: -_width(swings.get(item.key)))
            for swing in (swings.get(each.key),)
        ),
        words=2,
    )


def _width(swing: Any) -> float:
    return swing.width if swing is not None else 0.0


def costing_json(costing: Costing) -> dict[str, Any]:
    """The costs for programs: the currency a second, a year and a trip; assumptions in SI."""
    return {
        "currency": costing.currency,
        "configurations": [
            {
                "configuration": item.configuration,
                "hours_per_year": item.reckoned.costs.hours_per_year.value,
                "second": _figure(item.reckoned.hour),
                "one_more_second": _figure(item.reckoned.one_more),
                "year": _figure(item.reckoned.year),
                "loan_payment_per_year": item.reckoned.payment,
                "parts": {name: _figure(figure) for name, figure in item.reckoned.parts},
                "kilogram_metre": None if item.carrying is None else spread_json(item.carrying.cost),
                "leg": None
                if item.carrying is None
                else {"distance": item.carrying.leg.distance, "payload": item.carrying.leg.carried},
                "missions": [
                    {
                        "mission": trip.name,
                        "carried": trip.carried,
                        "time": spread_json(trip.time),
                        "fuel": spread_json(trip.fuel),
                        "cost": spread_json(trip.cost),
                        "one_more": spread_json(trip.one_more),
                    }
                    for trip in item.missions
                ],
                "assumptions": [
                    {
                        "key": each.key,
                        "name": each.name,
                        "value": each.value,
                        "sd": each.sd or None,
                        "shown_in": each.unit,
                        "source": each.source,
                    }
                    for each in item.reckoned.assumptions
                ],
                "hangs_on": [
                    {
                        "key": swing.assumption.key,
                        "low": swing.low,
                        "high": swing.high,
                        "second_at_low": swing.cost_at_low,
                        "second_at_high": swing.cost_at_high,
                    }
                    for swing in item.reckoned.swings
                ],
                "notes": list(item.notes),
            }
            for item in costing.configurations
        ],
        "break_even": [
            {
                "first": meeting.first,
                "second": meeting.second,
                "same_hours": _meeting(meeting.by_hour),
                "same_distance": _meeting(meeting.by_distance),
            }
            for meeting in costing.meetings
        ],
        "caution": costing.caution,
    }


def spread_json(spread: Spread) -> dict[str, float]:
    """Median and nine in ten."""
    return {"median": spread.median, "low": spread.low, "high": spread.high, "interval": 0.9}


def _figure(figure: CostFigure) -> dict[str, float]:
    return {
        "value": figure.value,
        "sd": figure.sd,
        "median": figure.median,
        "low": figure.low,
        "high": figure.high,
        "interval": 0.9,
    }


def _meeting(found: BreakEven) -> dict[str, Any]:
    return {
        "flown_per_year": found.flown,
        "low": found.low,
        "high": found.high,
        "share_of_draws": found.meets,
        "second_cheaper_above": found.above,
    }
