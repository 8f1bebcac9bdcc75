"""Prices are added only where their currency is the same."""

import pytest

from wringout.problems import InputError
from wringout.quantity.price import parse_price, total_price


@pytest.mark.parametrize(
    ("text", "currency", "amount"),
    [
        ("EUR 14 800", "EUR", 14800.0),
        ("6 200 EUR", "EUR", 6200.0),
        ("€ 95.50", "€", 95.5),
        ("$900", "$", 900.0),
    ],
)
def test_a_price_reads_with_its_currency_before_or_behind(text: str, currency: str, amount: float) -> None:
    """Spaces group thousands, the point is decimal."""
    price = parse_price(text)
    assert (price.currency, price.amount) == (currency, amount)


@pytest.mark.parametrize("text", ["1,450 EUR", "dear", "900", "EUR", "EUR 12 34", ""])
def test_what_is_no_price_is_refused_with_an_example(text: str) -> None:
    """A comma too: it means two things."""
    with pytest.raises(InputError, match="EUR 14 800"):
        parse_price(text)


def test_currencies_are_never_converted() -> None:
    """Each currency has its own sum; what does not read is counted."""
    total, missing = total_price(["EUR 100", "USD 50", "EUR 20.50", None, "cheap"])
    assert [(price.currency, price.amount) for price in total] == [("EUR", 120.5), ("USD", 50.0)]
    assert missing == 2
