"""Money as text with its currency ↔ an amount with its uncertainty, for each of something or not."""

from __future__ import annotations

import re
from dataclasses import dataclass
from math import isfinite

from wringout.problems import InputError, Problem
from wringout.quantity.dimensions import Dimension
from wringout.quantity.price import parse_price
from wringout.quantity.showing import show
from wringout.quantity.units import find_unit

_LONGEST = 80
_RATE = re.compile(r"(?P<amount>[^/±]*?)\s*(?:/|\bper\s)\s*(?P<unit>[^/±]*)")
_PART = re.compile(r"(?P<part>[0-9]{1,3}(?:\.[0-9]{1,4})?)\s*%")
_FINE = re.compile(r"[0-9]\.(?P<more>[0-9]{3,4})(?![0-9])")
_BARE = re.compile(r"[0-9 \u00a0\u2009\u202f]{0,20}\.?[0-9]+")
_SAID = re.compile(r"[0-9][0-9 .\u00a0\u2009\u202f]{0,20}(?P<unit>[^0-9 .%].*)")
_EXAMPLES = {None: "38 000 EUR", Dimension.TIME: "31 EUR/h", Dimension.VOLUME: "2.65 EUR/L"}


@dataclass(frozen=True, slots=True)
class Money:
    """An amount in `currency`, for each SI unit of `per` where that is a dimension; `sd` None: exact.

    The currency is as the dossier writes it and is never converted.
    """

    value: float
    sd: float | None
    currency: str
    per: Dimension | None = None


def parse_money(text: object, per: Dimension | None = None) -> Money:
    """Money from text such as '342 000 EUR ± 6 000 EUR', 'EUR 31 per h', '2.65 EUR/L ± 8 %'.

    Parameters
    ----------
    text : str
        An amount with its currency, then the unit that it is for, then perhaps '±' and one standard
        uncertainty, in money or in per cent.
    per : Dimension, optional
        Of the unit that it is for: a time, a volume. Left out, a plain amount is expected.

    Raises
    ------
    InputError
        It is none, or for another kind of unit, or its uncertainty is in another currency.

    Examples
    --------
    >>> money = parse_money("2.65 EUR/L ± 8 %", Dimension.VOLUME)
    >>> print(f"{money.value:.0f} {money.currency} a m³, ± {money.sd:.0f}")
    2650 EUR a m³, ± 212
    """
    example = _EXAMPLES.get(per, "38 000 EUR")
    mend = f'write it in quotes with its currency, like "{example}"'
    if not isinstance(text, str) or not text.strip() or len(text) > _LONGEST:
        found = text if isinstance(text, int | float) else "no text of one line"
        raise InputError(Problem(f"an amount of money is expected, found {found}", mend))
    head, sign, tail = text.replace("+/-", "±").partition("±")
    said_later = _BARE.fullmatch(head.strip()) and _SAID.fullmatch(tail.strip())
    if said_later:  # '4 800 ± 400 EUR/year'
        head = f"{head.strip()} {said_later['unit']}"
    value, currency, factor = _amount(head.strip(), per, mend)
    if not sign:
        return Money(value / factor, None, currency, per)
    share = _PART.fullmatch(tail.strip())
    if share:
        spread = float(share["part"]) / 100.0 * value
    else:
        spread, other, of_it = _spread(tail.strip(), currency, per, mend)
        if other != currency:
            raise InputError(Problem(f"'{text}' is in two currencies", "write both in one"))
        spread = spread * factor / of_it if of_it else spread
    if not (isfinite(spread) and spread > 0.0):
        raise InputError(
            Problem(f"the uncertainty in '{text}' is not above zero", "write it after '±', or leave '±' out")
        )
    return Money(value / factor, spread / factor, currency, per)


def money_unit(text: str) -> str:
    """The unit in which an amount was typed, 'EUR/h' say; empty where the text is no money.

    Examples
    --------
    >>> money_unit("EUR 31 per h"), money_unit("4 800 EUR"), money_unit("dear")
    ('EUR/h', 'EUR', '')
    """
    head = text.replace("+/-", "±").partition("±")[0].strip()
    rate = _RATE.fullmatch(head)
    amount, unit = (rate["amount"], rate["unit"].strip()) if rate else (head, "")
    try:
        currency = _price(amount)[1]
        return f"{currency}/{find_unit(unit).symbol}" if unit else currency
    except InputError:
        return ""


def show_money(value: float, currency: str, *, per: str = "", sd: float | None = None) -> str:
    """An amount as people read it: '214 EUR/h', '38 000 ± 4 000 EUR', '2.65 EUR/L'.

    Parameters
    ----------
    value : float
        For each SI unit where `per` is a unit; NaN gives '–'.
    currency : str
    per : str
        The unit that it is for, 'h' say.
    sd : float, optional
        One standard uncertainty, as `value`; its second significant digit is the last shown.
    """
    factor = find_unit(per).factor if per else 1.0
    shown, spread = value * factor, None if sd is None else sd * factor
    if not isfinite(shown):
        return "–"
    return f"{show(shown, '', spread)} {currency}{f'/{per}' if per else ''}"


def _amount(text: str, per: Dimension | None, mend: str) -> tuple[float, str, float]:
    """The number as typed, its currency, and how many SI units it is for."""
    rate = _RATE.fullmatch(text)
    try:
        if per is None:
            if rate:
                raise InputError(Problem(f"'{text}' is an amount for each {rate['unit']}", mend))
            return (*_price(text), 1.0)
        if not rate:
            raise InputError(Problem(f"'{text}' does not say for what unit it is", mend))
        return (*_price(rate["amount"]), find_unit(rate["unit"].strip(), per).factor)
    except InputError as error:
        raise InputError(Problem(error.problems[0].what, mend)) from None


def _spread(text: str, currency: str, per: Dimension | None, mend: str) -> tuple[float, str, float]:
    """An uncertainty, which may leave out what the amount says already; zero units where it does."""
    if _BARE.fullmatch(text):
        return _price(f"{text} {currency}")[0], currency, 0.0
    if per is not None and not _RATE.fullmatch(text):
        return (*_price(text), 0.0)
    return _amount(text, per, mend)


def _price(text: str) -> tuple[float, str]:
    """A price whose amount may have more decimals than cents: fuel is sold so."""
    more = _FINE.search(text)
    if not more:
        price = parse_price(text)
        return price.amount, price.currency
    price = parse_price(text.replace(".", "", 1))
    return price.amount / 10 ** len(more["more"]), price.currency
