"""What the demo costs: the hour from the fitted fuel flow, trips, carrying, and the words of it."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from wringout.evaluation import Evaluation
from wringout.evaluation.codec import decode, encode
from wringout.evaluation.cost_words import (
    by_hour_sentences,
    carrying_sentence,
    hangs_on,
    hour_sentence,
    meeting_sentence,
    per_load,
    shown_assumption,
    year_sentence,
)
from wringout.evaluation.costs import Costing, costs_of
from wringout.problems import InputError

HOUR, YEAR = 3600.0, 31_557_600.0


def costing(demo: Evaluation) -> Costing:
    """That of the demo."""
    assert demo.costing is not None
    return demo.costing


def test_the_hour_adds_up_by_hand(demo: Evaluation) -> None:
    """17 400 of fixed cost over 180 h; oil at 6; overhauls by hours or calendar; fuel at the fitted flow."""
    parts = {name: figure.value * HOUR for name, figure in costing(demo).configurations[0].reckoned.parts}
    assert parts["fixed"] == pytest.approx(17_400 / 180)
    assert parts["running"] == pytest.approx(6.0)
    assert parts["reserves"] == pytest.approx(42_000 / 2_000 + 6_600 / (6 * 180) + 24_000 / (20 * 180))
    flow = next(item for item in demo.predictions if item.question.quantity == "fuel flow")
    assert parts["fuel"] == pytest.approx(flow.estimate.value * HOUR * 1000 * 2.65, rel=0.02)
    assert parts["exchange"] == 0.0


def test_the_kit_is_bought_and_exchanged(demo: Evaluation) -> None:
    """Two exchanges a year of nine hours by two people at 78: 2 808 over 180 h."""
    parts = {name: figure.value * HOUR for name, figure in costing(demo).configurations[1].reckoned.parts}
    plain = {name: figure.value * HOUR for name, figure in costing(demo).configurations[0].reckoned.parts}
    assert parts["exchange"] == pytest.approx(2 * 9 * 2 * 78 / 180)
    assert parts["capital"] / plain["capital"] == pytest.approx((342_000 + 14_800 + 18 * 78) / 342_000)


def test_first_order_and_draws_agree_where_nothing_bends(demo: Evaluation) -> None:
    """Fuel is a product of two; its draws and its first order are one within their own chance."""
    reckoned = costing(demo).configurations[0].reckoned
    fuel = dict(reckoned.parts)["fuel"]
    assert float(np.std(reckoned.draws.fuel)) == pytest.approx(fuel.sd, rel=0.1)


def test_a_trip_costs_its_time_and_its_fuel(demo: Evaluation) -> None:
    """Each mission's cost is standing cost × time + fuel × price, at the medians within the bend of both."""
    item = costing(demo).configurations[0]
    assert item.missions
    for trip in item.missions:
        by_hand = item.reckoned.stated_trip(trip.time.median, trip.fuel.median)
        assert trip.cost.median == pytest.approx(by_hand, rel=0.04)
        assert trip.one_more.median < trip.cost.median
        assert trip.cost.low < trip.cost.median < trip.cost.high


def test_carrying_is_the_leg_over_what_goes_with_it(demo: Evaluation) -> None:
    """Cost of the leg by payload and distance."""
    carrying = costing(demo).configurations[0].carrying
    assert carrying is not None
    by_hand = carrying.leg.cost.median / (carrying.leg.carried * carrying.leg.distance)
    assert carrying.cost.median == pytest.approx(by_hand, rel=1e-6)
    assert per_load(0.0060e-3, "EUR", demo.dossier.units) == "1.11 EUR for 100 kg over a nm"


def test_the_words_carry_the_numbers(demo: Evaluation) -> None:
    """The hour, the year, the load, what it hangs on and where two meet."""
    found, units = costing(demo), demo.dossier.units
    first = found.configurations[0]
    hour = f"{first.reckoned.hour.value * HOUR:.0f} EUR at 180 h a year"
    assert f"An hour with the tail wheel costs {hour}" in hour_sentence(first)
    assert "before the first take-off; the loan takes 27\u202f354 of it in cash" in year_sentence(first)
    assert "Over 100 nm it carries" in carrying_sentence(first, units)
    assert hangs_on(first).startswith("The hour hangs most on hours flown in a year")
    assert "h a year" in meeting_sentence(found, units)
    assert by_hour_sentences(found) == (
        "By the hour the tail wheel costs less than the nose wheel at any hours a year.",
    )
    shown = {item.key: shown_assumption(item) for item in first.reckoned.assumptions}
    assert shown["price"] == "342\u202f000 ± 5\u202f000 EUR"
    assert shown["loan.share"] == "60 %"
    assert shown["reserve.0.at_most"] == "12 years"
    assert all(item.source for item in first.reckoned.assumptions)


def test_assumptions_are_tried_with_the_same_airplane(demo: Evaluation) -> None:
    """Twice the hours: fixed cost halves, fuel stays."""
    costs = demo.dossier.costs
    assert costs is not None
    more = replace(costs, hours_per_year=replace(costs.hours_per_year, value=360 * HOUR))
    tried = costs_of(demo.dossier, demo.fit, ["tail wheel"], costs=more)
    parts, plain = (dict(each.configurations[0].reckoned.parts) for each in (tried, costing(demo)))
    assert parts["fixed"].value == pytest.approx(0.5 * plain["fixed"].value)
    assert parts["fuel"].value == plain["fuel"].value


def test_costs_are_kept_and_come_back_the_same(demo: Evaluation) -> None:
    """Through the bytes of the store."""
    found = costing(demo)
    again = decode(encode(found, Costing), Costing)
    assert again.configurations[0].reckoned.hour == found.configurations[0].reckoned.hour
    assert again.meetings[0].by_distance == found.meetings[0].by_distance
    np.testing.assert_array_equal(
        again.configurations[1].reckoned.draws.capital, found.configurations[1].reckoned.draws.capital
    )


def test_a_dossier_without_costs_is_told_what_to_write(demo: Evaluation) -> None:
    """The file, and where it is explained."""
    with pytest.raises(InputError, match=r"Describe it in costs\.toml"):
        costs_of(replace(demo.dossier, costs=None), demo.fit, ["tail wheel"])
