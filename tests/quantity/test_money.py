"""Money: an amount with its currency, for each of something or not, and its uncertainty."""

from contextlib import suppress

import pytest
from hypothesis import given
from hypothesis import strategies as st

from wringout.problems import InputError
from wringout.quantity.dimensions import Dimension
from wringout.quantity.money import money_unit, parse_money, show_money

HOUR, YEAR, GALLON = 3600.0, 31_557_600.0, 3.785411784e-3


@pytest.mark.parametrize(
    ("text", "per", "value", "sd"),
    [
        ("342 000 EUR", None, 342_000.0, None),
        ("EUR 342 000 ± 6 000 EUR", None, 342_000.0, 6_000.0),
        ("342 000 ± 6 000 EUR", None, 342_000.0, 6_000.0),
        ("€ 95.50", None, 95.5, None),
        ("36 EUR/h ± 3.60 EUR/h", Dimension.TIME, 0.01, 0.001),
        ("EUR 36 per h ± 10 %", Dimension.TIME, 0.01, 0.001),
        ("36 EUR/h ± 3.60", Dimension.TIME, 0.01, 0.001),
        ("4 800 ± 400 EUR/year", Dimension.TIME, 4_800.0 / YEAR, 400.0 / YEAR),
        ("400 EUR/month", Dimension.TIME, 4_800.0 / YEAR, None),
        ("2.659 EUR/L", Dimension.VOLUME, 2_659.0, None),
        ("7.90 USD per US gal", Dimension.VOLUME, 7.9 / GALLON, None),
    ],
)
def test_money_as_people_write_it(text: str, per: Dimension | None, value: float, sd: float | None) -> None:
    """Currency before or after, the uncertainty with its unit, without it, or in per cent."""
    money = parse_money(text, per)
    assert money.value == pytest.approx(value)
    assert (money.sd is None) if sd is None else (money.sd == pytest.approx(sd))


@pytest.mark.parametrize(
    ("text", "per", "words"),
    [
        (342_000, None, "found 342000"),
        ("dear", None, "a price is expected"),
        ("342,000 EUR", None, "a price is expected"),
        ("342 000", None, "a price is expected"),
        ("31 EUR", Dimension.TIME, "does not say for what unit"),
        ("31 EUR/L", Dimension.TIME, "a time is expected"),
        ("31 EUR/h", None, "for each h"),
        ("31 EUR ± 2 USD", None, "in two currencies"),
        ("31 EUR ± 0 EUR", None, "not above zero"),
        ("−31 EUR", None, "a price is expected"),
        ("", None, "an amount of money is expected"),
    ],
)
def test_what_is_no_money_is_told_with_its_mend(text: object, per: Dimension | None, words: str) -> None:
    """Each refusal says what was found and how to write it."""
    with pytest.raises(InputError, match=words) as refused:
        parse_money(text, per)
    assert refused.value.problems[0].mend


@given(st.integers(1, 10**8), st.sampled_from(["h", "year", "min"]))
def test_what_is_shown_is_read_again(amount: int, unit: str) -> None:
    """To the four figures that are shown."""
    money = parse_money(f"{amount} EUR/{unit}", Dimension.TIME)
    again = parse_money(show_money(money.value, "EUR", per=unit), Dimension.TIME)
    assert again.value == pytest.approx(money.value, rel=5e-4)
    assert money_unit(f"{amount} EUR/{unit}") == f"EUR/{unit}"


@given(st.text(max_size=100))
def test_any_text_is_read_or_refused(text: str) -> None:
    """Nothing else is raised, and the unit of what is no money is empty."""
    for per in (None, Dimension.TIME):
        with suppress(InputError):
            assert parse_money(text, per).value >= 0.0
    assert isinstance(money_unit(text), str)
