"""Text that a person typed → SI float or Estimate: one number, one unit, perhaps its uncertainty."""

import re
from math import isfinite

from wringout.problems import InputError, Problem
from wringout.quantity.dimensions import Dimension
from wringout.quantity.estimate import Estimate
from wringout.quantity.units import WORDS, Unit, difference_factor, find_unit, to_si

_LONGEST = 80
# Nothing repeats inside a repetition without its own separator, so the time is linear in the text.
_NUMBER = re.compile(
    r"[ \t\u00a0]*([+\-−]?)"
    r"(?:([0-9]{1,3}(?:[ \u00a0\u2009\u202f][0-9]{3}(?![0-9]))+|[0-9]+)((?:\.[0-9]+)?)|(\.[0-9]+))"
    r"((?:[eE][+\-−]?[0-9]{1,3})?)"
)
_COMMA = re.compile(r"[0-9],[0-9]")
_GROUPED_COMMAS = re.compile(r"(?<![0-9,])[1-9][0-9]{0,2}(?:,[0-9]{3})+(?![0-9,])")
_SPACES = dict.fromkeys(map(ord, " \u00a0\u2009\u202f"))


def parse(text: str, dimension: Dimension) -> float:
    """A quantity such as '10.9 m', in SI.

    Parameters
    ----------
    text : str
        One number and one unit. A space may group thousands ('1 090 kg'). A ratio may stand without unit.
    dimension : Dimension
        What is expected.

    Returns
    -------
    float
        SI. Temperatures in K; slopes as rise over run.

    Raises
    ------
    InputError
        Not a number with a unit of `dimension`; the Problem's place is for the caller to fill in.

    Examples
    --------
    >>> print(f"{parse('38 kt', Dimension.SPEED):.3f} m/s")
    19.549 m/s
    """
    _refuse_unreadable(text, dimension)
    if _split(text)[1] is not None:
        words = WORDS[dimension]
        raise InputError(
            Problem(
                f"{words.name} without uncertainty is expected, found '{text}'",
                f"write it like '{words.example}'",
            )
        )
    value, unit = _number_and_unit(text, text, dimension)
    return _in_si(value, unit, text, dimension)


def parse_estimate(text: str, dimension: Dimension, source: str) -> Estimate:
    """A quantity with its standard uncertainty such as '668 kg ± 1.5 kg', '668 ± 1.5 kg', '668 kg ± 0.2 %'.

    Parameters
    ----------
    text : str
        As for `parse`, then perhaps '±' or '+/-' and one standard uncertainty; per cent are of the value
        unless the quantity is itself a ratio, a slope or a temperature.
    dimension : Dimension
        What is expected.
    source : str
        Where the figure came from. Where the text states no uncertainty, this is added to it.

    Raises
    ------
    InputError
        As for `parse`; or the uncertainty is not a positive number.

    Examples
    --------
    >>> parse_estimate("668 ± 1.5 kg", Dimension.MASS, "weighing")
    Estimate(value=668.0, sd=1.5, dimension=<Dimension.MASS: 'kg'>, source='weighing')
    """
    _refuse_unreadable(text, dimension)
    head, tail = _split(text)
    if tail is None:
        value, unit = _number_and_unit(head, text, dimension)
        return Estimate(
            _in_si(value, unit, text, dimension), None, dimension, f"{source}; no uncertainty stated"
        )
    spread, spread_text = _number(tail, text, dimension)
    value, unit_text = _number(head, text, dimension)
    unit = _unit(unit_text or spread_text, text, dimension)
    si = _in_si(value, unit, text, dimension)
    sd = _standard_uncertainty(spread, spread_text, si, unit, text)
    if not (isfinite(sd) and sd > 0):
        raise InputError(
            Problem(
                f"the uncertainty in '{text}' is not above zero",
                "write one standard uncertainty after '±', or leave '±' out",
            )
        )
    return Estimate(si, sd, dimension, source)


def stated_dimension(text: str) -> Dimension:
    """The dimension of the unit that stands in a quantity; a ratio where there is no unit.

    Raises
    ------
    InputError
        The text does not start with a number, or its unit is unknown or ambiguous.

    Examples
    --------
    >>> stated_dimension("12 ± 2 kg"), stated_dimension("0.034 ± 0.004")
    (<Dimension.MASS: 'kg'>, <Dimension.RATIO: '1'>)
    """
    _refuse_unreadable(text, Dimension.RATIO)
    head, tail = _split(text)
    units = [_number(part, text, Dimension.RATIO)[1] for part in (head, tail) if part is not None]
    unit = next((unit for unit in units if unit), "")
    return find_unit(unit).dimension if unit else Dimension.RATIO


def _refuse_unreadable(text: str, dimension: Dimension) -> None:
    words = WORDS[dimension]
    mend = f"write it like '{words.example}'"
    if not isinstance(text, str):
        raise InputError(Problem(f"{words.name} with its unit is expected, found {_shown(repr(text))}", mend))
    if not text.strip():
        raise InputError(Problem(f"{words.name} is expected, found nothing", mend))
    if len(text) > _LONGEST:
        raise InputError(Problem(f"{words.name} is expected, found a text of {len(text)} characters", mend))


def _split(text: str) -> tuple[str, str | None]:
    head, sign, tail = text.replace("+/-", "±").partition("±")
    return head, tail if sign else None


def _number(text: str, whole: str, dimension: Dimension) -> tuple[float, str]:
    """The number at the start of `text`, and what follows it."""
    words = WORDS[dimension]
    if _COMMA.search(text):
        raise InputError(_comma_problem(text, whole))
    match = _NUMBER.match(text)
    if match is None:
        raise InputError(
            Problem(
                f"{words.name} is expected, '{_shown(whole)}' does not start with a number",
                f"write it like '{words.example}'",
            )
        )
    sign, whole_part, fraction, bare_fraction, exponent = match.groups()
    digits = (whole_part or "0").translate(_SPACES) + (fraction or bare_fraction or "")
    value = float(f"{sign}{digits}{exponent}".replace("−", "-"))
    if not isfinite(value):
        raise InputError(
            Problem(f"'{_shown(whole)}' is too large to be {words.name}", f"write it like '{words.example}'")
        )
    return value, text[match.end() :].strip()


def _comma_problem(text: str, whole: str) -> Problem:
    grouped = _GROUPED_COMMAS.search(text)
    if grouped is None:
        return Problem(
            f"the comma in '{_shown(whole)}' is not understood", f"use a point: '{whole.replace(',', '.')}'"
        )
    number = grouped.group()
    mend = f"write '{number.replace(',', ' ')}' for thousands"
    if number.count(",") == 1:
        mend += f", '{number.replace(',', '.')}' for a decimal fraction"
    return Problem(f"the comma in '{_shown(whole)}' may mean thousands or a decimal fraction", mend)


def _unit(text: str, whole: str, dimension: Dimension) -> Unit:
    words = WORDS[dimension]
    if not text or (dimension is Dimension.RATIO and text == "1"):
        if dimension is Dimension.RATIO:
            return Unit("", dimension, 1.0)
        raise InputError(
            Problem(f"{words.name} needs a unit, found '{_shown(whole)}'", f"write it like '{words.example}'")
        )
    if text[0] in "0123456789.,+-−" and not text.startswith("1/"):
        raise InputError(
            Problem(f"one number is expected, found '{_shown(whole)}'", f"write it like '{words.example}'")
        )
    return find_unit(text, dimension)


def _number_and_unit(text: str, whole: str, dimension: Dimension) -> tuple[float, Unit]:
    value, unit_text = _number(text, whole, dimension)
    if dimension is Dimension.RATIO and unit_text.replace(" ", "") == ":1":
        unit_text = ""
    return value, _unit(unit_text, whole, dimension)


def _in_si(value: float, unit: Unit, whole: str, dimension: Dimension) -> float:
    if unit.tangent and abs(value * unit.factor) >= 1.5:
        raise InputError(
            Problem(f"'{_shown(whole)}' is steeper than a slope can be", "write it like '9 %' or '5 °'")
        )
    si = to_si(value, unit.symbol, dimension) if unit.symbol else value
    if dimension is Dimension.TEMPERATURE and si < 0:
        raise InputError(Problem(f"'{_shown(whole)}' is below absolute zero", "write it like '15 °C'"))
    if not isfinite(si):
        raise InputError(
            Problem(f"'{_shown(whole)}' is too large to be {WORDS[dimension].name}", "check the number")
        )
    return si


_ABSOLUTE_PER_CENT = (
    Dimension.RATIO,
    Dimension.SLOPE,
    Dimension.TEMPERATURE,
    Dimension.TEMPERATURE_DIFFERENCE,
)


def _standard_uncertainty(spread: float, spread_text: str, value: float, unit: Unit, whole: str) -> float:
    if spread_text in ("%", "percent") and unit.dimension not in _ABSOLUTE_PER_CENT:
        return abs(value) * spread / 100
    dimension = (
        Dimension.TEMPERATURE_DIFFERENCE if unit.dimension is Dimension.TEMPERATURE else unit.dimension
    )
    spread_unit = _unit(spread_text, whole, dimension) if spread_text else unit
    return spread * difference_factor(spread_unit, value)


def _shown(text: str) -> str:
    return text if len(text) <= _LONGEST else text[:_LONGEST] + "…"
