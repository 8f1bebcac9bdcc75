"""What people read."""

import json

import pytest
from hypothesis import given
from hypothesis import strategies as st

from wringout.quantity import Dimension, Estimate, as_json, parse, parse_estimate, show, show_estimate, to_si


@pytest.mark.parametrize(
    ("value", "unit", "sd", "text"),
    [
        (668.0, "kg", 1.5, "668.0 ± 1.5 kg"),
        (668.0, "kg", 1.46, "668.0 ± 1.5 kg"),
        (668.0, "kg", 15.2, "668 ± 15 kg"),
        (1234.0, "kg", 152.0, "1\u202f230 ± 150 kg"),
        (0.1, "m", 0.00996, "0.100 ± 0.010 m"),
        (99.96, "kg", 0.996, "100.0 ± 1.0 kg"),
        (288.15, "°C", 0.5, "15.00 ± 0.50 °C"),
        (-0.0001, "m", 0.01, "0.000 ± 0.010 m"),
        (-12.0, "m", 1.0, "−12.0 ± 1.0 m"),
        (668.0, "kg", None, "668 kg"),
        (19.549, "kt", None, "38 kt"),
        (0.75, "%", None, "75 %"),
        (12345.6, "m", None, "12\u202f346 m"),
        (0.0, "m", None, "0 m"),
        (float("nan"), "m", None, "–"),
        (10.5, "", None, "10.5"),
        (0.7853981633974483, "°", None, "45°"),
    ],
)
def test_the_uncertainty_decides_the_digits(value: float, unit: str, sd: float | None, text: str) -> None:
    """Two digits of the uncertainty, the value to the same place; without one, four digits at most."""
    assert show(value, unit, sd=sd) == text


def test_digits_may_be_asked_for() -> None:
    """`digits` sets the digits after the point, negative ones before it."""
    assert show(668.25, "kg", digits=1) == "668.2 kg"
    assert show(1234.0, "kg", digits=-2) == "1\u202f200 kg"
    assert show(668.25, "kg", sd=1.234, digits=0) == "668 ± 1 kg"


@given(st.floats(1e-3, 1e6), st.floats(1e-3, 1e3), st.sampled_from(["kg", "lb", "t"]))
def test_what_is_shown_reads_back(value: float, sd: float, unit: str) -> None:
    """The text is itself a quantity: read again, it is off by no more than its rounding."""
    estimate = parse_estimate(show(value, unit, sd=sd), Dimension.MASS, "")
    assert estimate.sd == pytest.approx(sd, rel=0.06)
    assert abs(estimate.value - value) <= 0.06 * sd
    assert parse(show(value, unit), Dimension.MASS) == pytest.approx(value, rel=6e-4)


def test_estimates_are_shown_and_sent_in_any_unit() -> None:
    """An estimate converts its value and its uncertainty, and the JSON says both with the source."""
    estimate = Estimate(
        to_si(50.0, "°F"), to_si(9.0, "°F", Dimension.TEMPERATURE_DIFFERENCE), Dimension.TEMPERATURE, "probe"
    )
    assert show_estimate(estimate, "°C") == "10.0 ± 5.0 °C"
    sent = as_json(estimate, "°F")
    assert sent["value"] == pytest.approx(50.0)
    assert sent["sd"] == pytest.approx(9.0)
    assert (sent["unit"], sent["source"]) == ("°F", "probe")
    assert json.loads(json.dumps(as_json(estimate)))["unit"] == "K"
    assert as_json(Estimate(float("nan"), None, Dimension.MASS, "none"))["value"] is None


def test_fuel_weighs_what_everyone_knows() -> None:
    """25 US gal of avgas at 6.0 lb/US gal weigh 150 lb (common practice, no source)."""
    from wringout.quantity import convert, mass_to_volume, volume_to_mass

    density = parse("6.0 lb/US gal", Dimension.DENSITY)
    mass = volume_to_mass(parse("25 US gal", Dimension.VOLUME), density)
    assert convert(mass, "lb") == pytest.approx(150.0)
    assert convert(mass_to_volume(mass, density), "US gal") == pytest.approx(25.0)
