"""What people type: read right or refused, never read wrong."""

import time

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from wringout.problems import InputError, Problem
from wringout.quantity import Dimension, parse, parse_estimate, stated_dimension, to_si, unit_symbols

ANY_UNIT = st.sampled_from([(d, symbol) for d in Dimension for symbol in unit_symbols(d)])


@pytest.mark.parametrize(
    ("text", "dimension", "expected"),
    [
        ("10.9 m", Dimension.LENGTH, 10.9),
        ("10.9m", Dimension.LENGTH, 10.9),
        ("  10.9  m ", Dimension.LENGTH, 10.9),
        ("1 090 kg", Dimension.MASS, 1090.0),
        ("1\u202f090\u00a0kg", Dimension.MASS, 1090.0),
        ("12 345 678 kg", Dimension.MASS, 12345678.0),
        ("−5 °C", Dimension.TEMPERATURE, 268.15),
        ("-40 °F", Dimension.TEMPERATURE, 233.15),
        ("+.5 m", Dimension.LENGTH, 0.5),
        ("1.5e3 kg", Dimension.MASS, 1500.0),
        ("0.3 g", Dimension.ACCELERATION, 0.3 * 9.80665),
        ("5 K", Dimension.TEMPERATURE_DIFFERENCE, 5.0),
        ("9 °F", Dimension.TEMPERATURE_DIFFERENCE, 5.0),
        ("25 1/s", Dimension.ROTATION, 25.0),
        ("10.5", Dimension.RATIO, 10.5),
        ("10.5 : 1", Dimension.RATIO, 10.5),
        ("75 %", Dimension.RATIO, 0.75),
        ("-9 %", Dimension.SLOPE, -0.09),
        ("45 °", Dimension.SLOPE, 1.0),
        ("29.92 inHg", Dimension.PRESSURE, 101320.76),
        ("100 nm", Dimension.LENGTH, 185200.0),
    ],
)
def test_quantities_as_people_write_them(text: str, dimension: Dimension, expected: float) -> None:
    """Usual ways of writing a quantity come to its SI value."""
    assert parse(text, dimension) == pytest.approx(expected, rel=1e-7)


@pytest.mark.parametrize(
    ("text", "dimension", "says"),
    [
        ("10.9", Dimension.LENGTH, r"a length needs a unit.*'10\.9 m'"),
        ("", Dimension.LENGTH, "found nothing"),
        ("m", Dimension.LENGTH, "does not start with a number"),
        ("10.9 kg", Dimension.LENGTH, "a length is expected, 'kg' is the unit of a mass"),
        ("25 gal", Dimension.VOLUME, "'US gal' or 'imp gal'"),
        ("1,090 kg", Dimension.MASS, r"may mean thousands.*'1 090'.*'1\.090'"),
        ("1,090,000 kg", Dimension.MASS, "'1 090 000' for thousands"),
        ("10,9 m", Dimension.LENGTH, r"use a point: '10\.9 m'"),
        ("nan m", Dimension.LENGTH, "does not start with a number"),
        ("inf m", Dimension.LENGTH, "does not start with a number"),
        ("1e999 m", Dimension.LENGTH, "too large"),
        ("1.5.2 kg", Dimension.MASS, "one number is expected"),
        ("12 12 kg", Dimension.MASS, "one number is expected"),
        ("5 k g", Dimension.MASS, "not known"),
        ("9**9**9", Dimension.MASS, "not known"),
        ("10.9 m long", Dimension.LENGTH, "not known"),
        ("0x10 m", Dimension.LENGTH, "not known"),
        ("1_000 kg", Dimension.MASS, "not known"),
        ("٣ m", Dimension.LENGTH, "does not start with a number"),
        ("-300 °C", Dimension.TEMPERATURE, "absolute zero"),
        ("89 °", Dimension.SLOPE, "steeper"),
        ("5 kg ± 1 kg", Dimension.MASS, "without uncertainty"),
        ("9" * 100 + " m", Dimension.LENGTH, "103 characters|102 characters"),
    ],
)
def test_what_cannot_be_read_is_refused_in_words(text: str, dimension: Dimension, says: str) -> None:
    """The error says what was expected and shows what to write."""
    with pytest.raises(InputError, match=f"(?i){says}"):
        parse(text, dimension)


@pytest.mark.parametrize(
    ("text", "value", "sd"),
    [
        ("668 kg ± 1.5 kg", 668.0, 1.5),
        ("668 ± 1.5 kg", 668.0, 1.5),
        ("668 kg ± 1.5", 668.0, 1.5),
        ("668 kg +/- 1.5 kg", 668.0, 1.5),
        ("668 kg ± 1 lb", 668.0, 0.45359237),
        ("668 kg ± 0.5 %", 668.0, 3.34),
        ("1 090 kg±2 kg", 1090.0, 2.0),
    ],
)
def test_an_uncertainty_follows_plus_or_minus(text: str, value: float, sd: float) -> None:
    """Each way of writing it gives the value and one standard uncertainty, both in SI."""
    estimate = parse_estimate(text, Dimension.MASS, "scales")
    assert (estimate.value, estimate.sd) == pytest.approx((value, sd))
    assert estimate.source == "scales"


def test_uncertainties_are_differences() -> None:
    """A temperature's has no zero point, a slope's goes through the tangent, a ratio's is in points."""
    assert parse_estimate("50 °F ± 9 °F", Dimension.TEMPERATURE, "").sd == pytest.approx(5.0)
    assert parse_estimate("10 °C ± 0.5 K", Dimension.TEMPERATURE, "").sd == pytest.approx(0.5)
    assert parse_estimate("45 ± 1 °", Dimension.SLOPE, "").sd == pytest.approx(2 * 3.14159265 / 180)
    assert parse_estimate("80 % ± 2 %", Dimension.RATIO, "").sd == pytest.approx(0.02)


@pytest.mark.parametrize(
    ("text", "dimension"),
    [
        ("12 kg ± 2 kg", Dimension.MASS),
        ("12 ± 2 kg", Dimension.MASS),
        ("0.034 ± 0.004", Dimension.RATIO),
        ("0.034", Dimension.RATIO),
        ("85 % ± 2 %", Dimension.RATIO),
        ("1.2e-7 kg/J ± 10 %", Dimension.SPECIFIC_CONSUMPTION),
        ("3 °", Dimension.ANGLE),
    ],
)
def test_the_unit_says_what_kind_a_quantity_is(text: str, dimension: Dimension) -> None:
    """Where nobody expects a kind, the unit says it; no unit is a ratio."""
    assert stated_dimension(text) is dimension


def test_no_stated_uncertainty_is_said() -> None:
    """A value without uncertainty has none, and its source says so."""
    estimate = parse_estimate("668 kg", Dimension.MASS, "record")
    assert estimate.sd is None
    assert estimate.source == "record; no uncertainty stated"


@pytest.mark.parametrize(
    "text", ["668 kg ± 0 kg", "668 kg ± -1 kg", "668 kg ± kg", "668 ± 1 ± 2 kg", "668 kg ± 2 m", "± 2 kg"]
)
def test_an_uncertainty_that_is_none_is_refused(text: str) -> None:
    """Zero, negative, missing, double or of another kind: an error."""
    with pytest.raises(InputError):
        parse_estimate(text, Dimension.MASS, "")


@given(st.floats(-1e6, 1e6, allow_nan=False), ANY_UNIT)
def test_what_is_written_is_read(value: float, unit: tuple[Dimension, str]) -> None:
    """Any number in any unit reads as the number converted."""
    dimension, symbol = unit
    if dimension is Dimension.TEMPERATURE:
        value = abs(value)
    if dimension is Dimension.SLOPE:
        value = value / 1e6
    assert parse(f"{value!r} {symbol}", dimension) == pytest.approx(
        to_si(value, symbol, dimension), rel=1e-12
    )


@given(st.text(max_size=100), st.sampled_from(Dimension))
@example("1 " + "0" * 70 + ",", Dimension.LENGTH)
@example("±", Dimension.MASS)
@example("1e", Dimension.MASS)
def test_any_text_is_read_or_refused(text: str, dimension: Dimension) -> None:
    """No text makes anything but a finite number or an InputError."""

    def value() -> float:
        return parse(text, dimension)

    def estimate() -> float:
        return parse_estimate(text, dimension, "").value

    for read in (value, estimate):
        problems: tuple[Problem, ...] = ()
        number = 0.0
        try:
            number = read()
        except InputError as error:
            problems = error.problems
        assert all(problem.what and problem.mend for problem in problems)
        assert abs(number) < float("inf")


def test_long_hostile_text_takes_no_time() -> None:
    """Reading is linear: texts that make backtracking patterns explode are answered at once."""
    start = time.perf_counter()
    for text in ("1 000" * 20_000, "1" * 100_000, "1 " * 50_000, "±" * 100_000, "0 000 " * 13, "1.1" * 26):
        with pytest.raises(InputError):
            parse(text, Dimension.MASS)
    assert time.perf_counter() - start < 1.0
