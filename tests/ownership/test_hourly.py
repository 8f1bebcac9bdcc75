"""Cost of an hour."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from wringout.airplane.airplane import OwnershipCosts
from wringout.ownership import break_even_hours, hourly_cost
from wringout.quantity.dimensions import Dimension
from wringout.quantity.estimate import Estimate

COSTS = OwnershipCosts(
    "¤", price=200_000.0, fixed_per_year=12_000.0, reserve_per_hour=30.0, fuel_price=2_500.0
)
FLOW = Estimate(0.040 / 3600.0, 0.001 / 3600.0, Dimension.VOLUME_FLOW, "engine log")


def test_an_hour_by_hand() -> None:
    """150 hours: 80 of fixed cost, 30 of reserve, 40 L at 2.50 are 100; its uncertainty is a litre's 2.50."""
    cost = hourly_cost(COSTS, 150.0, FLOW)
    assert [row.amount for row in cost.rows] == pytest.approx([80.0, 0.0, 30.0, 100.0])
    assert cost.total == pytest.approx(210.0)
    assert cost.sd == pytest.approx(2.5)
    assert cost.marginal == pytest.approx(130.0)
    assert cost.per_year == pytest.approx(31_500.0)
    assert cost.per_mass_distance(200.0, 50.0) == pytest.approx(210.0 / (200.0 * 180_000.0))


@given(st.floats(1.0, 2000.0), st.floats(0.0, 0.2))
def test_more_hours_cost_less_each_and_more_together(hours: float, rate: float) -> None:
    """An hour gets cheaper, a year dearer, with more flying, and the rows add up."""
    less, more = hourly_cost(COSTS, hours, FLOW, rate), hourly_cost(COSTS, 2 * hours, FLOW, rate)
    assert more.total < less.total
    assert more.per_year > less.per_year
    assert sum(row.amount for row in less.rows) == pytest.approx(less.total)


def test_break_even() -> None:
    """3 000 more a year and 20 less an hour pay from 150 hours; what is dearer in both never pays."""
    hours = break_even_hours(15_000.0, 100.0, 12_000.0, 120.0)
    assert hours == pytest.approx(150.0)
    assert break_even_hours(15_000.0, 130.0, 12_000.0, 120.0) is None
    assert break_even_hours(15_000.0, 120.0, 12_000.0, 120.0) is None


def test_refusals() -> None:
    """No hours, a negative rate, or nothing carried are refused."""
    with pytest.raises(ValueError, match="hours a year must be positive"):
        hourly_cost(COSTS, 0.0, FLOW)
    with pytest.raises(ValueError, match="must not be negative"):
        hourly_cost(COSTS, 100.0, FLOW, -0.1)
    with pytest.raises(ValueError, match="payload and speed must be positive"):
        hourly_cost(COSTS, 100.0, FLOW).per_mass_distance(0.0, 50.0)
