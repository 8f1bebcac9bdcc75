"""Annuities and the cost of capital against printed examples, closed forms and a year-by-year account."""

import csv
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.model.published import last_digit
from wringout.ownership import annual_capital_cost, capital_recovery_factor, present_value_factor

PUBLISHED = Path(__file__).parents[1] / "published" / "capital_cost.csv"
with PUBLISHED.open(encoding="utf-8", newline="") as _file:
    ROWS = list(csv.DictReader(_file))


@pytest.mark.parametrize("row", ROWS, ids=[row["case"] for row in ROWS])
def test_capital_cost_of_printed_examples(row: dict[str, str]) -> None:
    """To one unit of the last printed digit, and what factors of four digits leave of what they multiply."""
    given_ = {name: float(value) for name, value in (part.split("=") for part in row["inputs"].split("|"))}
    found = annual_capital_cost(given_["price"], given_["left"], given_["years"], given_["rate"])
    tables = 0.5e-4 * (given_["price"] + given_["left"]) if "four digits" in row["source"] else 0.0
    assert float(found) == pytest.approx(float(row["printed"]), abs=last_digit(row["printed"]) + tables)


def by_the_year(price: float, left: float, years: int, rate: float, loan: tuple[float, float, int]) -> float:
    """An account kept year by year: what is paid each, brought to the first day, as an even amount."""
    share, interest, term = loan
    owed = share * price
    payment = owed * interest / (1.0 - (1.0 + interest) ** -term)
    present = price - owed
    for year in range(1, years + 1):
        if year <= term:
            owed = owed * (1.0 + interest) - payment
            present += payment / (1.0 + rate) ** year
    present += (owed - left) / (1.0 + rate) ** years
    return present / sum((1.0 + rate) ** -year for year in range(1, years + 1))


@pytest.mark.parametrize(("years", "term"), [(10, 10), (10, 6), (5, 12), (1, 1)])
def test_a_loan_is_an_account_kept_year_by_year(years: int, term: int) -> None:
    """As long as it is kept, shorter and longer: what is still owed at the sale is paid from it."""
    found = annual_capital_cost(
        342_000.0, 212_040.0, years, 0.03, share=0.6, loan_rate=0.056, term=float(term)
    )
    expected = by_the_year(342_000.0, 212_040.0, years, 0.03, (0.6, 0.056, term))
    assert float(found) == pytest.approx(expected, rel=1e-9)


@given(st.floats(0.0, 1.0), st.floats(0.001, 0.2), st.floats(1.0, 30.0), st.floats(1.0, 30.0))
def test_a_loan_at_ones_own_rate_changes_nothing(share: float, rate: float, kept: float, term: float) -> None:
    """Borrowing at what one's own money earns is neither gain nor loss, however long."""
    without = annual_capital_cost(1000.0, 400.0, kept, rate)
    borrowed = annual_capital_cost(1000.0, 400.0, kept, rate, share=share, loan_rate=rate, term=term)
    assert float(borrowed) == pytest.approx(float(without), rel=1e-7, abs=1e-7)


@given(st.floats(-0.05, 0.3), st.floats(0.5, 40.0))
def test_recovery_is_the_inverse_of_present_value(rate: float, years: float) -> None:
    """And both go over into plain division where there is no interest."""
    assert float(capital_recovery_factor(rate, years) * present_value_factor(rate, years)) == pytest.approx(
        1.0
    )
    assert float(present_value_factor(1e-12, years)) == pytest.approx(years)
    assert float(present_value_factor(2e-9, years)) == pytest.approx(years, rel=1e-6)


def test_without_interest_it_is_the_fall_in_value_by_the_year() -> None:
    """Scalars and arrays alike."""
    found = annual_capital_cost(np.array([1000.0, 500.0]), 200.0, 8.0, 0.0)
    assert found == pytest.approx([100.0, 37.5])


def test_refusals() -> None:
    """No time, and a rate that takes all."""
    with pytest.raises(ValueError, match="in no time"):
        capital_recovery_factor(0.05, 0.0)
    with pytest.raises(ValueError, match="above −100 %"):
        present_value_factor(-1.0, 5.0)
