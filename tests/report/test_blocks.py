"""Numbers as they stand in tables: common digits, honest ends, units once."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.report.sample import evaluation
from wringout.airplane.airplane import Airplane
from wringout.quantity import Dimension, Estimate
from wringout.reduction.points import Origin
from wringout.report.blocks import Column, clock, digits_of, estimates, interval, number, origin_words, table
from wringout.report.words import airplane_words, counted, counted_kinds, listed

KNOT = 1852 / 3600


def speed(knots: float, sd: float | None) -> Estimate:
    return Estimate(knots * KNOT, None if sd is None else sd * KNOT, Dimension.SPEED, "")


def test_column_has_one_number_of_digits() -> None:
    """A column's decimal points stand under one another: the most certain figure sets the digits of all."""
    cells = estimates([speed(46.234, 0.37), speed(41.0, 1.2), speed(118.06, None), None], "kt")
    assert cells == [
        {"text": "46.2", "sd": "± 0.4"},
        {"text": "41.0", "sd": "± 1.2"},
        {"text": "118.1", "sd": ""},
        "–",
    ]


def test_small_uncertainty_is_not_shown_as_none() -> None:
    """An uncertainty below the last digit shown is said to be below it, never nought."""
    cells = estimates([speed(46.0, 0.37), speed(46.0, 0.004)], "kt", digits=1)
    assert [cell["sd"] for cell in cells if isinstance(cell, dict)] == ["± 0.4", "± <0.1"]


@given(st.floats(1.0, 5000.0), st.floats(0.01, 1000.0))
def test_digits_follow_the_interval(value: float, half: float) -> None:
    """The last digit shown is a tenth to a hundredth of half the 90 % interval, or a tenth at the finest."""
    digits = digits_of(value - half, value + half, "m", Dimension.LENGTH)
    assert digits == 1 or half / 100 <= 10.0**-digits <= half / 10 * (1 + 1e-9)
    assert digits <= 1


@pytest.mark.parametrize(
    ("low", "high", "unit", "words"),
    [(285.0, 328.0, "m", "285 to 328 m"), (38.0 * KNOT, 39.6 * KNOT, "kt", "38 to 40 kt")],
)
def test_interval_names_its_unit_once(low: float, high: float, unit: str, words: str) -> None:
    """An interval says its unit at the end only."""
    assert interval(low, high, unit, 0) == words


def test_gap_is_a_dash() -> None:
    """What is not known is a dash, never 'nan'."""
    assert number(None, "kg", 1) == "–"
    assert number(float("nan"), "kg", 1) == "–"


def test_span_is_minutes_and_seconds() -> None:
    """A span of a recording reads as minutes and seconds from its start."""
    assert clock(725.4) == "12:05"
    assert origin_words(Origin("flight-1", "L2", "flight-1", 59.6, 5500.0)) == "flight-1, L2: 1:00–91:40"


def test_row_must_fit_its_columns() -> None:
    """A row with a cell too few is a fault, not a shifted table."""
    with pytest.raises(ValueError, match="a row of 1 cells in a table of 2 columns"):
        table((Column("a"), Column("b")), [["x"]])


def test_counting_in_words() -> None:
    """Small numbers are words, lists end in 'and'."""
    assert counted(1, "landing") == "one landing"
    assert counted(13, "landing") == "13 landings"
    assert listed(["a", "b", "c"]) == "a, b and c"
    assert counted_kinds(()) == "no manoeuvres"
    flown = counted_kinds(evaluation().flights[1].manoeuvres)
    assert flown == "one take-off, nine stalls and one landing"


@pytest.mark.parametrize(
    ("maker", "name", "words"),
    [
        ("Fellside", "Shepherd 200", "Fellside Shepherd 200"),
        ("Fellside Works", "Fellside Shepherd", "Fellside Shepherd"),
    ],
)
def test_maker_is_named_once(maker: str, name: str, words: str) -> None:
    """An airplane whose name starts with its maker's is not named twice."""
    from dataclasses import replace

    plane: Airplane = replace(evaluation().dossier.airplane, maker=maker, name=name)
    assert airplane_words(plane) == words
