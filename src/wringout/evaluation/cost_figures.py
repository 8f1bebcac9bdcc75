"""The figures of cost and comparison, with the sentences that they answer."""

from __future__ import annotations

import numpy as np

from wringout.charts.break_even import break_even_drawing, break_even_figure
from wringout.charts.figure import Spec
from wringout.charts.theme import PAGE, Look
from wringout.charts.tornado import tornado_drawing, tornado_figure
from wringout.charts.tradeoff import Trade, tradeoff_figure
from wringout.dossier.dossier import Units
from wringout.evaluation.comparison import Comparison
from wringout.evaluation.cost_words import by_distance_sentence, hangs_on, hour_sentence
from wringout.evaluation.costs import ConfigurationCost, Costing
from wringout.evaluation.gains import mission_sentence
from wringout.ownership import CostLine, cost_line, difference_line
from wringout.quantity.units import find_unit

LEAST_HOURS, MOST_HOURS, PLACES = 40.0, 800.0, 60
HOUR = 3600.0


def tornado_of(cost: ConfigurationCost, *, look: Look = PAGE) -> Spec:
    """What the hour of one configuration hangs on; ValueError where no assumption is uncertain."""
    reckoned = cost.reckoned
    return tornado_figure(
        reckoned.swings, reckoned.hour.value, reckoned.costs.currency, title=hangs_on(cost), look=look
    )


def break_even_of(costing: Costing, units: Units, *, look: Look = PAGE) -> Spec:
    """What each other configuration costs more than the first by the distance, against the year's flying.

    Of a single configuration, what its hour costs.
    """
    lines, unit, factor, meets = _lines(costing, units)
    first = costing.configurations[0]
    title = (
        by_distance_sentence(costing.meetings[0], units).rstrip(".")
        if costing.meetings
        else hour_sentence(first).partition(",")[0]
    )
    assumed = first.reckoned.costs.hours_per_year.value
    return break_even_figure(lines, unit, factor, title=title, assumed=assumed, meets=meets, look=look)


def break_even_live(costing: Costing, units: Units) -> str:
    """The same as SVG for a page that follows what is typed."""
    lines, unit, factor, meets = _lines(costing, units)
    assumed = costing.configurations[0].reckoned.costs.hours_per_year.value
    return break_even_drawing(lines, unit, factor, assumed=assumed, meets=meets)


def tornado_live(cost: ConfigurationCost) -> str:
    """What the hour hangs on, as SVG for a page that follows what is typed; ValueError as `tornado_of`."""
    reckoned = cost.reckoned
    return tornado_drawing(reckoned.swings, reckoned.hour.value, reckoned.costs.currency)


def _lines(costing: Costing, units: Units) -> tuple[list[CostLine], str, float, list[float | None]]:
    """The lines, their unit and its factor, and where each crosses zero."""
    first = costing.configurations[0]
    assumed = first.reckoned.costs.hours_per_year.value
    meets = [meeting.by_distance.flown for meeting in costing.meetings]
    met = [where for where in meets if where is not None]
    furthest = max(MOST_HOURS * HOUR, 1.5 * assumed, 1.3 * max(met, default=0.0))
    flown = np.linspace(min(LEAST_HOURS * HOUR, 0.5 * assumed), furthest, PLACES)
    others = costing.configurations[1:5]
    if not others:
        return [cost_line(first.reckoned, flown)], f"{costing.currency}/h", HOUR, []
    lines = [
        difference_line(first.reckoned, other.reckoned, flown, first.speed / other.speed, first.speed)
        for other in others
    ]
    unit = f"{costing.currency}/{units.range} more than the {first.configuration}"
    return lines, unit, find_unit(units.range).factor, meets


def trades_of(comparison: Comparison) -> tuple[Trade, ...]:
    """Every mission of every contender of which the strip needed is known."""
    found = []
    for mission in comparison.missions:
        strip, payload, cost = (mission.row(what) for what in ("strip", "payload", "cost"))
        if strip is None or payload is None:
            continue
        for number, contender in enumerate(comparison.contenders):
            needed, carried = strip.figures[number], payload.figures[number]
            if needed is None or carried is None:
                continue
            paid = cost.figures[number] if cost else None
            found.append(
                Trade(
                    contender.name,
                    mission.name,
                    (needed.low, needed.median, needed.high),
                    carried.median,
                    paid.median if paid else None,
                    mission.outings[number].outcome == "yes",
                )
            )
    return tuple(found)


def tradeoff_of(comparison: Comparison, units: Units, *, look: Look = PAGE) -> Spec:
    """Payload, strip and cost of every mission; ValueError where no strip is known."""
    title = mission_sentence(comparison).rstrip(".")
    return tradeoff_figure(trades_of(comparison), units, comparison.currency, title=title, look=look)
