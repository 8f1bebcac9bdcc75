"""Every unit of the table against an independent library."""

import math

import numpy as np
import pint
import pytest
from hypothesis import given
from hypothesis import strategies as st

from wringout.problems import InputError
from wringout.quantity import Dimension, convert, find_unit, to_si, unit_dimension, unit_symbols

# The oracle's name of each of our symbols, and of the SI unit in which we hold its dimension.
PINT = {
    "m": "m",
    "km": "km",
    "cm": "cm",
    "mm": "mm",
    "ft": "ft",
    "in": "inch",
    "nm": "nautical_mile",
    "sm": "mile",
    "m²": "m**2",
    "cm²": "cm**2",
    "ft²": "ft**2",
    "in²": "inch**2",
    "m³": "m**3",
    "L": "L",
    "US gal": "gallon",
    "imp gal": "imperial_gallon",
    "US qt": "quart",
    "ft³": "ft**3",
    "kg": "kg",
    "g": "g",
    "t": "tonne",
    "lb": "lb",
    "kg/m²": "kg/m**2",
    "lb/ft²": "lb/ft**2",
    "kg·m": "kg*m",
    "kg·cm": "kg*cm",
    "kg·mm": "kg*mm",
    "lb·in": "lb*inch",
    "lb·ft": "lb*ft",
    "kg/m³": "kg/m**3",
    "kg/L": "kg/L",
    "lb/US gal": "lb/gallon",
    "lb/imp gal": "lb/imperial_gallon",
    "m/s": "m/s",
    "kt": "knot",
    "mph": "mile/hour",
    "km/h": "km/hour",
    "ft/min": "ft/minute",
    "ft/s": "ft/s",
    "m/s²": "m/s**2",
    "ft/s²": "ft/s**2",
    "kt/s": "knot/s",
    "N": "N",
    "kN": "kN",
    "daN": "daN",
    "lbf": "lbf",
    "kgf": "kgf",
    "hPa": "hPa",
    "Pa": "Pa",
    "kPa": "kPa",
    "bar": "bar",
    "inHg": "inch_Hg",
    "psi": "psi",
    "kW": "kW",
    "W": "W",
    "hp": "horsepower",
    "PS": "metric_horsepower",
    "J": "J",
    "kJ": "kJ",
    "MJ": "MJ",
    "Wh": "W*hour",
    "kWh": "kW*hour",
    "L/h": "L/hour",
    "L/min": "L/minute",
    "m³/s": "m**3/s",
    "US gal/h": "gallon/hour",
    "imp gal/h": "imperial_gallon/hour",
    "kg/h": "kg/hour",
    "kg/s": "kg/s",
    "lb/h": "lb/hour",
    "kg/kW/h": "kg/kW/hour",
    "g/kW/h": "g/kW/hour",
    "lb/hp/h": "lb/horsepower/hour",
    "kg/J": "kg/J",
    "rpm": "1/minute",
    "1/s": "1/s",
    "°": "degree",
    "rad": "radian",
    "%": "percent",
    "s": "s",
    "min": "minute",
    "h": "hour",
    "A": "A",
    "mA": "mA",
    "Ah": "A*hour",
    "mAh": "mA*hour",
    "A·s": "A*s",
    "V": "V",
    "°C": "degC",
    "°F": "degF",
    "K": "kelvin",
}
HELD_IN = {
    Dimension.TEMPERATURE_DIFFERENCE: "delta_degC",
    Dimension.ANGLE: "radian",
    Dimension.RATIO: "dimensionless",
    Dimension.CHARGE: "A*s",
    Dimension.MOMENT: "kg*m",
}
DIFFERENCES = {"°C": "delta_degC", "°F": "delta_degF", "K": "kelvin", "ΔK": "delta_degC"}
WITHOUT_SLOPE = [dimension for dimension in Dimension if dimension is not Dimension.SLOPE]
CASES = [(dimension, symbol) for dimension in WITHOUT_SLOPE for symbol in unit_symbols(dimension)]


@pytest.fixture(scope="module")
def registry() -> "pint.UnitRegistry[float]":
    """The oracle."""
    return pint.UnitRegistry()


@pytest.mark.parametrize(("dimension", "symbol"), CASES)
def test_each_unit_agrees_with_the_oracle(
    registry: "pint.UnitRegistry[float]", dimension: Dimension, symbol: str
) -> None:
    """A value in any unit comes to the same SI value as in the oracle."""
    name = DIFFERENCES[symbol] if dimension is Dimension.TEMPERATURE_DIFFERENCE else PINT.get(symbol, symbol)
    if (dimension, symbol) == (Dimension.ACCELERATION, "g"):
        name = "standard_gravity"
    held = HELD_IN.get(dimension, PINT.get(dimension.value, dimension.value))
    for value in (0.0, 1.0, 37.25, -40.0):
        expected = registry.Quantity(value, name).to(held).magnitude
        assert to_si(value, symbol, dimension) == pytest.approx(expected, rel=1e-6, abs=1e-12)
    # The inch of mercury is conventional, all others are exact.
    if symbol != "inHg":
        expected = registry.Quantity(37.25, name).to(held).magnitude
        assert to_si(37.25, symbol, dimension) == pytest.approx(expected, rel=1e-13)


@pytest.mark.parametrize(("dimension", "symbol"), CASES)
def test_conversion_is_its_own_inverse(dimension: Dimension, symbol: str) -> None:
    """To SI and back gives the number again."""
    for value in (-12.5, 0.0, 1.0, 1e6):
        assert convert(to_si(value, symbol, dimension), symbol, dimension) == pytest.approx(value, abs=1e-9)


@given(st.floats(-60, 60))
def test_a_slope_may_be_an_angle_or_a_percentage(angle: float) -> None:
    """A slope in degrees is the tangent of the angle, in per cent a hundredth."""
    assert to_si(angle, "°", Dimension.SLOPE) == pytest.approx(math.tan(math.radians(angle)))
    assert to_si(angle, "%", Dimension.SLOPE) == pytest.approx(angle / 100)
    assert convert(to_si(angle, "°", Dimension.SLOPE), "°", Dimension.SLOPE) == pytest.approx(angle, abs=1e-9)


def test_arrays_convert_as_their_elements() -> None:
    """An array gives what its elements give one by one, and NaN stays NaN."""
    values = np.array([[-40.0, 0.0], [59.0, np.nan]])
    result = to_si(values, "°F")
    assert result.shape == (2, 2)
    assert result[1, 0] == to_si(59.0, "°F")
    assert np.isnan(result[1, 1])
    np.testing.assert_allclose(convert(result, "°F"), values)
    slopes = to_si(np.array([5.0, 10.0]), "°", Dimension.SLOPE)
    np.testing.assert_allclose(convert(slopes, "°", Dimension.SLOPE), [5.0, 10.0])


def test_g_needs_its_context() -> None:
    """'g' is a gram or an acceleration, and is read only where it is known which."""
    assert to_si(1.0, "g", Dimension.ACCELERATION) == 9.80665
    assert to_si(1.0, "g", Dimension.MASS) == 0.001
    with pytest.raises(InputError, match="gram and an acceleration"):
        unit_dimension("g")


@pytest.mark.parametrize(
    ("spelling", "symbol"),
    [
        ("degC", "°C"),
        ("m2", "m²"),
        ("USgal", "US gal"),
        ("kts", "kt"),
        ("ft^2", "ft²"),
        ("lb*in", "lb·in"),
        ("in Hg", "inHg"),
        ("mbar", "hPa"),
        ("fpm", "ft/min"),
        ("NM", "nm"),
        ("lb-in", "lb·in"),
        ("US  gal/h", "US gal/h"),
        ("1/min", "rpm"),
        ("l", "L"),
        ("º", "°"),
    ],
)
def test_usual_spellings_are_understood(spelling: str, symbol: str) -> None:
    """ASCII and everyday spellings mean the unit that they look like."""
    assert find_unit(spelling).symbol == symbol


@pytest.mark.parametrize(
    ("spelling", "mend"),
    [
        ("gal", "US gal"),
        ("gph", "imp gal/h"),
        ("mi", "'nm'"),
        ("Nm", "nautical"),
        ("KIAS", "'kt'"),
        ("Kg", "'kg'"),
        ("metres/s", "write"),
        ("furlong", "write|use"),
    ],
)
def test_what_is_ambiguous_or_unknown_is_refused_with_a_mend(spelling: str, mend: str) -> None:
    """No guess: the error says what to write instead."""
    with pytest.raises(InputError, match=f"(?i){mend}"):
        find_unit(spelling)


def test_the_nautical_mile_is_never_a_nanometre() -> None:
    """nm is 1 852 m."""
    assert to_si(1.0, "nm") == 1852.0
    assert unit_dimension("nm") is Dimension.LENGTH
