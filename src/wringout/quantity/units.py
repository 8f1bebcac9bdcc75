"""The closed table of units that people may write, and the conversion between each and SI."""

from dataclasses import dataclass
from difflib import get_close_matches
from math import pi
from typing import overload

import numpy as np
from numpy.typing import NDArray

from wringout.problems import InputError, Problem
from wringout.quantity.dimensions import Dimension

FloatArray = NDArray[np.float64]

# Exact by definition: international foot and pound, nautical mile, standard gravity, US and imperial gallon.
_FOOT = 0.3048
_INCH = 0.0254
_NAUTICAL_MILE = 1852.0
_STATUTE_MILE = 1609.344
_POUND = 0.45359237
_GRAVITY = 9.80665
_LITRE = 1e-3
_US_GALLON = 231 * _INCH**3
_IMPERIAL_GALLON = 4.54609e-3
_HORSEPOWER = 550 * _FOOT * _POUND * _GRAVITY
_METRIC_HORSEPOWER = 75 * _GRAVITY
_INCH_OF_MERCURY = 3386.389  # conventional, mercury at 0 °C; the altimeter's 29.92 inHg
_MINUTE = 60.0
_HOUR = 3600.0
_YEAR = 365.25 * 24 * _HOUR  # of costs and leases; a calendar's own years differ by a day


@dataclass(frozen=True, slots=True)
class Unit:
    """One unit of one dimension: SI = (value + zero) · factor; of a slope given as an angle, its tangent."""

    symbol: str
    dimension: Dimension
    factor: float
    zero: float = 0.0
    tangent: bool = False


@dataclass(frozen=True, slots=True)
class DimensionWords:
    """How a person is told what is expected."""

    name: str
    example: str


WORDS: dict[Dimension, DimensionWords] = {
    Dimension.LENGTH: DimensionWords("a length", "10.9 m"),
    Dimension.AREA: DimensionWords("an area", "17.6 m²"),
    Dimension.VOLUME: DimensionWords("a volume", "90 L"),
    Dimension.MASS: DimensionWords("a mass", "668 kg"),
    Dimension.MASS_PER_AREA: DimensionWords("a mass per area", "245 kg/m²"),
    Dimension.MOMENT: DimensionWords("a moment", "1500 kg·m"),
    Dimension.DENSITY: DimensionWords("a density", "0.72 kg/L"),
    Dimension.SPEED: DimensionWords("a speed", "38 kt"),
    Dimension.ACCELERATION: DimensionWords("an acceleration", "0.3 g"),
    Dimension.FORCE: DimensionWords("a force", "450 N"),
    Dimension.PRESSURE: DimensionWords("a pressure", "1013 hPa"),
    Dimension.TEMPERATURE: DimensionWords("a temperature", "15 °C"),
    Dimension.TEMPERATURE_DIFFERENCE: DimensionWords("a temperature difference", "5 K"),
    Dimension.POWER: DimensionWords("a power", "149 kW"),
    Dimension.ENERGY: DimensionWords("an energy", "24 kWh"),
    Dimension.VOLUME_FLOW: DimensionWords("a volume a time", "38 L/h"),
    Dimension.MASS_FLOW: DimensionWords("a mass a time", "27 kg/h"),
    Dimension.SPECIFIC_CONSUMPTION: DimensionWords("a specific consumption", "0.28 kg/kW/h"),
    Dimension.ROTATION: DimensionWords("a rotational speed", "2700 rpm"),
    Dimension.ANGLE: DimensionWords("an angle", "30 °"),
    Dimension.RATIO: DimensionWords("a ratio", "75 %"),
    Dimension.SLOPE: DimensionWords("a slope", "9 %"),
    Dimension.TIME: DimensionWords("a time", "45 min"),
    Dimension.CURRENT: DimensionWords("a current", "8 A"),
    Dimension.CHARGE: DimensionWords("a charge", "24 Ah"),
    Dimension.VOLTAGE: DimensionWords("a voltage", "14 V"),
}

D = Dimension

# Symbol as shown, dimension, factor to SI, further spellings ('_' stands for a space there).
# Case counts: 'nm' is the nautical mile, 'Nm' is nothing.
_TABLE: tuple[tuple[str, Dimension, float, str], ...] = (
    ("m", D.LENGTH, 1.0, "metre metres meter meters"),
    ("km", D.LENGTH, 1000.0, ""),
    ("cm", D.LENGTH, 0.01, ""),
    ("mm", D.LENGTH, 0.001, ""),
    ("ft", D.LENGTH, _FOOT, "foot feet"),
    ("in", D.LENGTH, _INCH, "inch inches"),
    ("nm", D.LENGTH, _NAUTICAL_MILE, "NM nmi"),
    ("sm", D.LENGTH, _STATUTE_MILE, "SM"),
    ("m²", D.AREA, 1.0, "m2 sq_m sqm"),
    ("cm²", D.AREA, 1e-4, "cm2"),
    ("ft²", D.AREA, _FOOT**2, "ft2 sq_ft sqft"),
    ("in²", D.AREA, _INCH**2, "in2 sq_in"),
    ("m³", D.VOLUME, 1.0, "m3"),
    ("L", D.VOLUME, _LITRE, "l litre litres liter liters dm³ dm3"),
    ("US gal", D.VOLUME, _US_GALLON, "USgal US_gallon US_gallons USG US-gal usgal"),
    ("imp gal", D.VOLUME, _IMPERIAL_GALLON, "impgal imp_gallon imp_gallons Imp_gal imperial_gal"),
    ("US qt", D.VOLUME, _US_GALLON / 4, "USqt"),
    ("ft³", D.VOLUME, _FOOT**3, "ft3 cu_ft"),
    ("kg", D.MASS, 1.0, ""),
    ("g", D.MASS, 0.001, "gram grams"),
    ("t", D.MASS, 1000.0, ""),
    ("lb", D.MASS, _POUND, "lbs lbm pound pounds"),
    ("kg/m²", D.MASS_PER_AREA, 1.0, "kg/m2"),
    ("lb/ft²", D.MASS_PER_AREA, _POUND / _FOOT**2, "lb/ft2 lbs/ft² lbs/ft2 psf lb/sq_ft"),
    ("kg·m", D.MOMENT, 1.0, "kg_m kg-m"),
    ("kg·cm", D.MOMENT, 0.01, "kg_cm kg-cm"),
    ("kg·mm", D.MOMENT, 0.001, "kg_mm kg-mm"),
    ("lb·in", D.MOMENT, _POUND * _INCH, "lb_in lb-in in·lb in-lb in_lb lbs·in lb-ins"),
    ("lb·ft", D.MOMENT, _POUND * _FOOT, "lb_ft lb-ft ft·lb ft-lb ft_lb"),
    ("kg/m³", D.DENSITY, 1.0, "kg/m3"),
    ("kg/L", D.DENSITY, 1000.0, "kg/l g/cm³ g/cm3"),
    ("lb/US gal", D.DENSITY, _POUND / _US_GALLON, "lb/USgal lbs/US_gal"),
    ("lb/imp gal", D.DENSITY, _POUND / _IMPERIAL_GALLON, "lb/impgal lbs/imp_gal"),
    ("m/s", D.SPEED, 1.0, "mps"),
    ("kt", D.SPEED, _NAUTICAL_MILE / _HOUR, "kts kn knot knots"),
    ("mph", D.SPEED, _STATUTE_MILE / _HOUR, "mi/h sm/h"),
    ("km/h", D.SPEED, 1000 / _HOUR, "kph kmh km/hr"),
    ("ft/min", D.SPEED, _FOOT / _MINUTE, "fpm"),
    ("ft/s", D.SPEED, _FOOT, "fps"),
    ("m/s²", D.ACCELERATION, 1.0, "m/s2 m/s/s"),
    ("g", D.ACCELERATION, _GRAVITY, "G"),
    ("ft/s²", D.ACCELERATION, _FOOT, "ft/s2 ft/s/s"),
    ("kt/s", D.ACCELERATION, _NAUTICAL_MILE / _HOUR, "kts/s"),
    ("N", D.FORCE, 1.0, ""),
    ("kN", D.FORCE, 1000.0, ""),
    ("daN", D.FORCE, 10.0, ""),
    ("lbf", D.FORCE, _POUND * _GRAVITY, ""),
    ("kgf", D.FORCE, _GRAVITY, ""),
    ("hPa", D.PRESSURE, 100.0, "mbar mb"),
    ("Pa", D.PRESSURE, 1.0, ""),
    ("kPa", D.PRESSURE, 1000.0, ""),
    ("bar", D.PRESSURE, 1e5, ""),
    ("inHg", D.PRESSURE, _INCH_OF_MERCURY, "in_Hg inhg in.Hg"),
    ("psi", D.PRESSURE, _POUND * _GRAVITY / _INCH**2, ""),
    ("kW", D.POWER, 1000.0, ""),
    ("W", D.POWER, 1.0, ""),
    ("hp", D.POWER, _HORSEPOWER, "HP bhp"),
    ("PS", D.POWER, _METRIC_HORSEPOWER, ""),
    ("J", D.ENERGY, 1.0, ""),
    ("kJ", D.ENERGY, 1e3, ""),
    ("MJ", D.ENERGY, 1e6, ""),
    ("Wh", D.ENERGY, _HOUR, "W·h"),
    ("kWh", D.ENERGY, 1000 * _HOUR, "kW·h"),
    ("L/h", D.VOLUME_FLOW, _LITRE / _HOUR, "l/h L/hr l/hr lph"),
    ("L/min", D.VOLUME_FLOW, _LITRE / _MINUTE, "l/min"),
    ("m³/s", D.VOLUME_FLOW, 1.0, "m3/s"),
    ("US gal/h", D.VOLUME_FLOW, _US_GALLON / _HOUR, "USgal/h US_gal/hr USgal/hr USG/h"),
    ("imp gal/h", D.VOLUME_FLOW, _IMPERIAL_GALLON / _HOUR, "impgal/h imp_gal/hr"),
    ("kg/h", D.MASS_FLOW, 1 / _HOUR, "kg/hr"),
    ("kg/s", D.MASS_FLOW, 1.0, ""),
    ("lb/h", D.MASS_FLOW, _POUND / _HOUR, "lb/hr lbs/h lbs/hr pph"),
    ("kg/kW/h", D.SPECIFIC_CONSUMPTION, 1 / (1000 * _HOUR), "kg/(kW·h) kg/kWh"),
    ("g/kW/h", D.SPECIFIC_CONSUMPTION, 1e-3 / (1000 * _HOUR), "g/(kW·h) g/kWh"),
    ("lb/hp/h", D.SPECIFIC_CONSUMPTION, _POUND / (_HORSEPOWER * _HOUR), "lb/(hp·h) lb/hp/hr lb/bhp/hr"),
    ("kg/J", D.SPECIFIC_CONSUMPTION, 1.0, ""),
    ("rpm", D.ROTATION, 1 / _MINUTE, "RPM 1/min r/min min⁻¹"),
    ("1/s", D.ROTATION, 1.0, "s⁻¹ r/s rps"),
    ("°", D.ANGLE, pi / 180, "deg degree degrees"),
    ("rad", D.ANGLE, 1.0, ""),
    ("%", D.RATIO, 0.01, "percent"),
    ("%", D.SLOPE, 0.01, "percent"),
    ("s", D.TIME, 1.0, "sec second seconds"),
    ("min", D.TIME, _MINUTE, "minute minutes"),
    ("h", D.TIME, _HOUR, "hr hrs hour hours"),
    ("year", D.TIME, _YEAR, "years yr"),
    ("month", D.TIME, _YEAR / 12, "months"),
    ("A", D.CURRENT, 1.0, "amp amps"),
    ("mA", D.CURRENT, 0.001, ""),
    ("Ah", D.CHARGE, _HOUR, "A·h"),
    ("mAh", D.CHARGE, _HOUR / 1000, ""),
    ("A·s", D.CHARGE, 1.0, "As"),
    ("V", D.VOLTAGE, 1.0, ""),
    ("ΔK", D.TEMPERATURE_DIFFERENCE, 1.0, ""),
)  # fmt: skip

_CELSIUS_SPELLINGS = "degC deg_C C ℃ celsius"
_FAHRENHEIT_SPELLINGS = "degF deg_F F ℉ fahrenheit"

# Written often, and not to be guessed.
_REFUSED: dict[str, str] = {
    "gal": "say which gallon: 'US gal' or 'imp gal'",
    "gallon": "say which gallon: 'US gal' or 'imp gal'",
    "gallons": "say which gallon: 'US gal' or 'imp gal'",
    "gal/h": "say which gallon: 'US gal/h' or 'imp gal/h'",
    "gal/hr": "say which gallon: 'US gal/h' or 'imp gal/h'",
    "gph": "say which gallon: 'US gal/h' or 'imp gal/h'",
    "GPH": "say which gallon: 'US gal/h' or 'imp gal/h'",
    "lb/gal": "say which gallon: 'lb/US gal' or 'lb/imp gal'",
    "qt": "write 'US qt'",
    "mi": "write 'sm' for statute miles or 'nm' for nautical miles",
    "mile": "write 'sm' for statute miles or 'nm' for nautical miles",
    "miles": "write 'sm' for statute miles or 'nm' for nautical miles",
    "KIAS": "write 'kt'; which airspeed it is stands in the name of the key",
    "KCAS": "write 'kt'; which airspeed it is stands in the name of the key",
    "KTAS": "write 'kt'; which airspeed it is stands in the name of the key",
    "Nm": "write 'nm' for nautical miles",
    "°M": "write true degrees with '°'; apply the variation first",
    "'": "write 'ft' for feet",
    '"': "write 'in' for inches",
}


def _table() -> dict[str, dict[Dimension, Unit]]:
    table: dict[str, dict[Dimension, Unit]] = {}

    def enter(unit: Unit, spellings: str) -> None:
        for spelling in (unit.symbol, *(word.replace("_", " ") for word in spellings.split())):
            by_dimension = table.setdefault(spelling, {})
            assert unit.dimension not in by_dimension, f"{spelling} is entered twice"
            by_dimension[unit.dimension] = unit

    for symbol, dimension, factor, spellings in _TABLE:
        enter(Unit(symbol, dimension, factor), spellings)
    for symbol, factor, zero, spellings in (
        ("°C", 1.0, 273.15, _CELSIUS_SPELLINGS),
        ("°F", 5 / 9, 459.67, _FAHRENHEIT_SPELLINGS),
        ("K", 1.0, 0.0, ""),
    ):
        enter(Unit(symbol, D.TEMPERATURE, factor, zero), spellings)
        enter(Unit(symbol, D.TEMPERATURE_DIFFERENCE, factor), spellings)
    enter(Unit("°", D.SLOPE, pi / 180, tangent=True), "deg degree degrees")
    enter(Unit("rad", D.SLOPE, 1.0, tangent=True), "")
    return table


_UNITS = _table()
_TIDY = str.maketrans({"º": "°", "˚": "°", "*": "·", "⋅": "·", "\u00a0": " ", "\u202f": " ", "\u2009": " "})


def _tidied(text: str) -> str:
    return " ".join(text.translate(_TIDY).replace("^2", "²").replace("^3", "³").replace("^-1", "⁻¹").split())


def find_unit(text: str, dimension: Dimension | None = None) -> Unit:
    """The unit that `text` spells, of `dimension` where that is given.

    Raises
    ------
    InputError
        The spelling is unknown, ambiguous, or of another dimension.
    """
    spelling = _tidied(text)
    by_dimension = _UNITS.get(spelling)
    if by_dimension is None:
        raise InputError(_unknown(text, spelling, dimension))
    if dimension is None:
        if set(by_dimension) == {D.MASS, D.ACCELERATION}:
            raise InputError(
                Problem("'g' is a gram and an acceleration", "say which kind of quantity is meant")
            )
        return next(iter(by_dimension.values()))
    if dimension in by_dimension:
        return by_dimension[dimension]
    found = next(iter(by_dimension))
    words = WORDS[dimension]
    raise InputError(
        Problem(
            f"{words.name} is expected, '{text}' is the unit of {WORDS[found].name}",
            f"write it like '{words.example}'",
        )
    )


def _unknown(text: str, spelling: str, dimension: Dimension | None) -> Problem:
    if spelling in _REFUSED:
        return Problem(f"the unit '{text}' is ambiguous or not used here", _REFUSED[spelling])
    known = [name for name, units in _UNITS.items() if dimension is None or dimension in units]
    by_case = [name for name in known if name.casefold() == spelling.casefold()]
    near = by_case or get_close_matches(spelling, known, n=1, cutoff=0.6) if len(spelling) <= 12 else []
    shown = text if len(text) <= 20 else text[:20] + "…"
    if near:
        return Problem(f"the unit '{shown}' is not known", f"write '{near[0]}' if that is meant")
    symbols = ", ".join(unit_symbols(dimension)) if dimension is not None else "for example m, ft, kg, lb, kt"
    return Problem(f"the unit '{shown}' is not known", f"use one of: {symbols}")


def unit_symbols(dimension: Dimension) -> tuple[str, ...]:
    """The symbols in which a quantity of `dimension` may be written."""
    return tuple(dict.fromkeys(units[dimension].symbol for units in _UNITS.values() if dimension in units))


def unit_dimension(unit: str) -> Dimension:
    """The dimension of a unit; of several the commonest: °C a temperature, ° an angle, % a ratio.

    Raises
    ------
    InputError
        The unit is unknown, or 'g', which is a mass and an acceleration alike.
    """
    return find_unit(unit).dimension


@overload
def to_si(value: float, unit: str, dimension: Dimension | None = None) -> float: ...
@overload
def to_si(value: FloatArray, unit: str, dimension: Dimension | None = None) -> FloatArray: ...
def to_si(value: float | FloatArray, unit: str, dimension: Dimension | None = None) -> float | FloatArray:
    """A value in `unit`, brought to SI.

    Parameters
    ----------
    value : float or ndarray, shape (...)
        In `unit`; NaN stays NaN.
    unit : str
        A symbol or spelling of the table.
    dimension : Dimension, optional
        What is expected. Needed for 'g', for temperature differences and for slopes given as angles.

    Raises
    ------
    InputError
        The unit is unknown or of another dimension.

    Examples
    --------
    >>> print(f"{to_si(100.0, 'kt'):.4f} m/s")
    51.4444 m/s
    """
    found = find_unit(unit, dimension)
    scaled = (value + found.zero) * found.factor
    if not found.tangent:
        return scaled
    return float(np.tan(scaled)) if isinstance(scaled, float | int) else np.tan(scaled)


@overload
def convert(value: float, unit: str, dimension: Dimension | None = None) -> float: ...
@overload
def convert(value: FloatArray, unit: str, dimension: Dimension | None = None) -> FloatArray: ...
def convert(value: float | FloatArray, unit: str, dimension: Dimension | None = None) -> float | FloatArray:
    """An SI value, brought to `unit`: the inverse of `to_si`, with the same arguments and errors.

    Examples
    --------
    >>> print(f"{convert(1000.0, 'ft'):.1f} ft")
    3280.8 ft
    """
    found = find_unit(unit, dimension)
    if found.tangent:
        angle = float(np.arctan(value)) if isinstance(value, float | int) else np.arctan(value)
        return angle / found.factor
    return value / found.factor - found.zero


def difference_factor(unit: Unit, at: float = 0.0) -> float:
    """SI change per unit about the SI value `at`: what a standard uncertainty is multiplied with."""
    return unit.factor * (1 + at * at) if unit.tangent else unit.factor
