"""A price as published, read so that prices can be added: an amount and its currency, never converted."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass
from math import fsum

from wringout.problems import InputError, Problem
from wringout.quantity.showing import show

_SPACES = r"[ \u00a0\u2009\u202f]"
_AMOUNT = rf"(?P<amount>[0-9]{{1,3}}(?:{_SPACES}[0-9]{{3}})+|[0-9]{{1,12}})(?P<cents>\.[0-9]{{1,2}})?"
_CURRENCY = r"(?P<currency>[A-Za-z]{2,4}|[€$£¥])"
_FORMS = tuple(
    re.compile(form) for form in (rf"{_CURRENCY}{_SPACES}?{_AMOUNT}", rf"{_AMOUNT}{_SPACES}?{_CURRENCY}")
)


@dataclass(frozen=True, slots=True)
class Price:
    """An amount in a currency, that as the dossier writes it."""

    currency: str
    amount: float

    def words(self) -> str:
        """As people read it: '14 800 EUR'."""
        digits = 0 if self.amount == round(self.amount) else 2
        return f"{show(self.amount, '', digits=digits)} {self.currency}"


def parse_price(text: str) -> Price:
    """A price from text such as 'EUR 14 800', '6 200 EUR' or '€ 95.50'.

    Raises
    ------
    InputError
        It is not an amount with its currency. A comma is refused: it groups thousands to some and begins the
        cents to others.

    Examples
    --------
    >>> parse_price("6 200 EUR").amount, parse_price("EUR 6200") == parse_price("6 200 EUR")
    (6200.0, True)
    """
    stripped = text.strip()
    for form in _FORMS:
        match = form.fullmatch(stripped)
        if match:
            whole = re.sub(_SPACES, "", match["amount"])
            return Price(match["currency"], float(f"{whole}{match['cents'] or ''}"))
    raise InputError(
        Problem(
            f"a price is expected, found '{stripped[:60]}'",
            'write the amount with its currency, thousands parted by spaces, like "EUR 14 800"',
        )
    )


def total_price(prices: Iterable[str | None]) -> tuple[tuple[Price, ...], int]:
    """The sum in each currency, and how many prices are not stated or do not read.

    Examples
    --------
    >>> total, missing = total_price(["EUR 900", "EUR 1 100", None])
    >>> [(price.currency, price.amount) for price in total], missing
    ([('EUR', 2000.0)], 1)
    """
    sums: dict[str, list[float]] = {}
    missing = 0
    for text in prices:
        try:
            price = parse_price(text or "")
        except InputError:
            missing += 1
            continue
        sums.setdefault(price.currency, []).append(price.amount)
    return tuple(Price(currency, fsum(amounts)) for currency, amounts in sums.items()), missing
