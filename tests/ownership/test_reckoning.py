"""The cost of an hour by hand, its uncertainty two ways, what it hangs on, and where two costs meet."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from wringout.airplane.airplane import ExchangeKit
from wringout.dossier.costs import Costs, Exchange, Fixed, Loan, Reserve, Running
from wringout.ownership import break_even, reckon
from wringout.quantity.dimensions import Dimension
from wringout.quantity.estimate import Estimate
from wringout.quantity.money import parse_money

HOUR, YEAR = 3600.0, 31_557_600.0


def time(hours: float, sd: float | None = None) -> Estimate:
    """Flown hours."""
    return Estimate(hours * HOUR, None if sd is None else sd * HOUR, Dimension.TIME, "test")


def ratio(value: float, sd: float | None = None) -> Estimate:
    """A share, a rate or a count."""
    return Estimate(value, sd, Dimension.RATIO, "test")


def flow(litres: float, sd: float | None = None) -> Estimate:
    """Fuel flow in litres an hour."""
    return Estimate(
        litres / 1000 / HOUR, None if sd is None else sd / 1000 / HOUR, Dimension.VOLUME_FLOW, "log"
    )


PLAIN = Costs(
    price=parse_money("200 000 EUR"),
    hours_per_year=time(150.0),
    fuel_price=parse_money("2.50 EUR/L", Dimension.VOLUME),
    kept=10 * YEAR,
    value_left=ratio(0.6),
    fixed=(Fixed("hangar", parse_money("12 000 EUR/year", Dimension.TIME)),),
    running=(Running("oil", parse_money("6 EUR/h", Dimension.TIME)),),
    reserve=(Reserve("engine", parse_money("36 000 EUR"), time(2000.0)),),
)
KIT = ExchangeKit("nose-wheel kit", (), (), hours=9.0 * HOUR, people=2, price="EUR 14 800")


def by_part(costs: Costs, kit: ExchangeKit | None = None, litres: float = 40.0) -> dict[str, float]:
    """Each part of an hour."""
    return {name: figure.value * HOUR for name, figure in reckon(costs, "any", kit, flow(litres)).parts}


def test_an_hour_by_hand() -> None:
    """12 000 a year, 80 000 of value in ten years, over 150 h; 36 000 in 2 000 h; 40 L at 2.50."""
    parts = by_part(PLAIN)
    expected = {"fixed": 80.0, "capital": 8_000 / 150, "running": 6.0, "reserves": 18.0, "fuel": 100.0}
    assert parts == pytest.approx(expected | {"exchange": 0.0})
    found = reckon(PLAIN, "any", None, flow(40.0))
    assert found.hour.value * HOUR == pytest.approx(sum(expected.values()))
    assert found.one_more.value * HOUR == pytest.approx(124.0)
    assert found.year.value == pytest.approx(sum(expected.values()) * 150)
    assert found.hour.sd == 0.0


def test_a_reserve_falls_due_by_the_calendar_where_little_is_flown() -> None:
    """12 years at 100 h are 1 200 h, before 2 000 h: 36 000 over 1 200."""
    due = replace(PLAIN.reserve[0], at_most=Estimate(12 * YEAR, None, Dimension.TIME, "test"))
    seldom = replace(PLAIN, reserve=(due,), hours_per_year=time(100.0))
    assert by_part(seldom)["reserves"] == pytest.approx(30.0)
    assert any(
        "due by the calendar, after 1200 h" in note for note in reckon(seldom, "", None, flow(40)).notes
    )
    assert by_part(replace(seldom, hours_per_year=time(200.0)))["reserves"] == pytest.approx(18.0)


def test_a_kit_costs_its_price_its_fitting_and_its_exchanges() -> None:
    """18 man-hours at 75: two exchanges a year are 2 700 over 150 h; the price falls from 216 150 by 40 %."""
    costs = replace(
        PLAIN,
        labour=parse_money("75 EUR/h", Dimension.TIME),
        exchange=(Exchange("nose-wheel kit", ratio(2.0)), Exchange("skis", ratio(9.0))),
    )
    parts = by_part(costs, KIT)
    assert parts["exchange"] == pytest.approx(2 * 18 * 75 / 150)
    assert parts["capital"] == pytest.approx(0.4 * (200_000 + 14_800 + 18 * 75) / 10 / 150)
    assert by_part(costs)["exchange"] == 0.0
    other = reckon(replace(costs, price=parse_money("200 000 USD")), "any", KIT, flow(40.0))
    assert any("not stated" in item.source for item in other.assumptions if item.key == "kit price")


def test_the_loan_shows_its_yearly_amount() -> None:
    """60 % of 200 000 at 6 % in 30 years: 8 717.87 a year (120 000 × 0.0726489, closed form)."""
    costs = replace(PLAIN, loan=Loan(ratio(0.6), ratio(0.06), 30 * YEAR))
    assert reckon(costs, "any", None, flow(40.0)).payment == pytest.approx(8_717.87, abs=0.01)


def test_uncertainty_to_first_order_by_hand() -> None:
    """2 L of flow are 5, 10 % of 80 fixed 8: together √(25 + 64), and the draws agree with it."""
    costs = replace(PLAIN, fixed=(Fixed("hangar", parse_money("12 000 EUR/year ± 10 %", Dimension.TIME)),))
    found = reckon(costs, "any", None, flow(40.0, 2.0))
    assert found.hour.sd * HOUR == pytest.approx(np.hypot(5.0, 8.0), rel=1e-6)
    assert float(np.std(found.draws.total)) * HOUR == pytest.approx(np.hypot(5.0, 8.0), rel=0.05)
    assert found.hour.low < found.hour.value < found.hour.high


def test_where_hours_are_uncertain_the_draws_bend_away_from_first_order() -> None:
    """The mean of 1/H is above 1/mean: by (1 + u²)/H of a lognormal one, a closed form."""
    costs = replace(PLAIN, hours_per_year=time(150.0, 60.0), running=(), reserve=())
    found = reckon(costs, "any", None, flow(0.001))
    by_year = 80.0 + 8_000 / 150
    assert float(np.mean(found.draws.total)) * HOUR == pytest.approx(by_year * (1 + 0.4**2), rel=0.03)
    assert found.hour.sd * HOUR == pytest.approx(0.4 * by_year, rel=1e-3)


def test_what_it_hangs_on_is_sorted_and_stands_at_the_ends_of_nine_in_ten() -> None:
    """An assumption taken as exact moves nothing; each swing is the whole cost with one figure moved."""
    costs = replace(
        PLAIN, value_left=ratio(0.6, 0.1), fuel_price=parse_money("2.50 EUR/L ± 4 %", Dimension.VOLUME)
    )
    found = reckon(costs, "any", None, flow(40.0))
    assert [swing.assumption.key for swing in found.swings] == ["value_left", "fuel_price"]
    left = found.swings[0]
    assert left.low == pytest.approx(0.6 - 0.16449)
    assert (left.cost_at_low - left.cost_at_high) * HOUR == pytest.approx(2 * 0.16449 * 200_000 / 10 / 150)
    assert found.swings[1].width == pytest.approx(2 * 1.6449 * 0.04 * 100 / HOUR, rel=2e-3)


def test_costs_meet_where_arithmetic_says() -> None:
    """3 000 more a year and 20 less an hour pay from 150 h; what is dearer in both never does."""
    dear = replace(
        PLAIN,
        fixed=(Fixed("hangar", parse_money("15 000 EUR/year", Dimension.TIME)),),
        running=(),
    )
    first, second = reckon(PLAIN, "a", None, flow(40.0)), reckon(dear, "b", None, flow(34.4))
    found = break_even(first, second)
    assert found.flown is not None
    assert found.flown / HOUR == pytest.approx(150.0, rel=1e-3)
    assert found.above
    assert found.meets == 1.0
    assert break_even(second, first).above is False
    never = break_even(first, reckon(dear, "b", None, flow(60.0)))
    assert (never.flown, never.meets, never.above) == (None, 0.0, False)


def test_a_faster_one_breaks_even_by_the_distance() -> None:
    """Twice as fast at 90 more an hour: by the hour never, by the distance at every number of hours."""
    fast = replace(PLAIN, running=(Running("oil", parse_money("96 EUR/h", Dimension.TIME)),))
    first, second = reckon(PLAIN, "a", None, flow(40.0)), reckon(fast, "b", None, flow(40.0))
    assert break_even(first, second).flown is None
    assert not break_even(first, second).above
    assert break_even(first, second, 0.5).above


def test_currencies_do_not_meet() -> None:
    """Nothing is converted."""
    other = replace(PLAIN, price=parse_money("200 000 USD"))
    with pytest.raises(ValueError, match="two currencies"):
        break_even(reckon(PLAIN, "a", None, flow(40)), reckon(other, "b", None, flow(40)))


def test_shared_assumptions_move_two_configurations_together() -> None:
    """With one owner the price of fuel is one; with another owner the airplane's own figures are its own."""
    costs = replace(PLAIN, price=parse_money("200 000 EUR ± 20 000 EUR"), hours_per_year=time(150.0, 30.0))
    same = [reckon(costs, "any", kit, flow(40.0), owner="a", world="w") for kit in (None, KIT)]
    other = reckon(costs, "any", None, flow(40.0), owner="b", world="w")
    assert np.array_equal(same[0].values["price"], same[1].values["price"])
    assert not np.array_equal(same[0].values["price"], other.values["price"])
    assert np.array_equal(same[0].values["hours_per_year"], other.values["hours_per_year"])


@given(st.floats(20.0, 1000.0), st.floats(1.05, 3.0))
def test_more_flying_costs_less_by_the_hour_and_more_by_the_year(hours: float, more: float) -> None:
    """And the parts add up."""
    less = reckon(replace(PLAIN, hours_per_year=time(hours)), "", None, flow(40.0))
    rest = reckon(replace(PLAIN, hours_per_year=time(hours * more)), "", None, flow(40.0))
    assert rest.hour.value < less.hour.value
    assert rest.year.value > less.year.value
    assert sum(figure.value for _, figure in less.parts) == pytest.approx(less.hour.value)


def test_a_trip_is_its_hours_and_its_fuel() -> None:
    """Two hours without fuel are 2 × 157.33, and 70 L at 2.50 are 175; the draws stand about it."""
    found = reckon(PLAIN, "any", None, flow(40.0, 1.0))
    by_hand = 2 * (80.0 + 8_000 / 150 + 6.0 + 18.0) + 175.0
    assert found.stated_trip(2 * HOUR, 0.070) == pytest.approx(by_hand)
    assert float(np.median(found.trip(2 * HOUR, 0.070))) == pytest.approx(by_hand)
    assert found.at_hours(np.array([100.0, 200.0]) * HOUR).total.shape == (2, 2000)


def test_nothing_flown_is_refused() -> None:
    """Nothing can be spread over no hours."""
    with pytest.raises(ValueError, match="nothing is flown"):
        reckon(replace(PLAIN, hours_per_year=time(0.0)), "any", None, flow(40.0))
