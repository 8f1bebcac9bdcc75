"""SI float or Estimate → text for people, and the JSON form of an Estimate."""

from math import floor, isfinite, log10

from wringout.quantity.dimensions import Dimension
from wringout.quantity.estimate import Estimate
from wringout.quantity.units import convert, difference_factor, find_unit

_NOT_KNOWN = "–"
_THOUSANDS = "\u202f"


def show(
    value: float,
    unit: str,
    sd: float | None = None,
    digits: int | None = None,
    dimension: Dimension | None = None,
) -> str:
    """An SI value as people read it, in `unit`: '668.0 ± 1.5 kg', '1 240 ± 150 ft', '15 °C'.

    Parameters
    ----------
    value : float
        SI. NaN gives '–'.
    unit : str
        Symbol to show it in; the empty string for a plain ratio.
    sd : float, optional
        Standard uncertainty, SI; its second significant digit is the last digit shown.
    digits : int, optional
        Digits after the point instead; negative rounds before it. Without `sd` and `digits`, four
        significant digits.
    dimension : Dimension, optional
        As for `to_si`.

    Raises
    ------
    InputError
        The unit is unknown or of another dimension.

    Notes
    -----
    Thousands are grouped with a narrow no-break space; the other spaces are plain.

    Examples
    --------
    >>> show(668.0, "kg", sd=1.5)
    '668.0 ± 1.5 kg'
    >>> show(19.549, "kt")
    '38 kt'
    """
    found = find_unit(unit, dimension) if unit else None
    if not isfinite(value):
        return _NOT_KNOWN
    shown = convert(value, unit, dimension) if found else value
    suffix = "" if found is None else "°" if found.symbol == "°" else f" {found.symbol}"
    if sd is None or not (isfinite(sd) and sd > 0):
        return _plain(shown, digits) + suffix
    spread = sd / (difference_factor(found, value) if found else 1.0)
    places = _second_digit(spread) if digits is None else digits
    body = f"{_rounded(shown, places)} ± {_rounded(spread, places)}"
    return f"({body})°" if suffix == "°" else body + suffix


def show_estimate(estimate: Estimate, unit: str, digits: int | None = None) -> str:
    """An Estimate as people read it, in `unit`; see `show`."""
    return show(estimate.value, unit, estimate.sd, digits, estimate.dimension)


def arm_digits(unit: str) -> int:
    """Digits after the point of an arm or a CG in `unit`: those that tell about a millimetre.

    Examples
    --------
    >>> [arm_digits(unit) for unit in ("mm", "cm", "in", "m")]
    [0, 1, 1, 3]
    """
    return max(0, floor(-log10(0.001 / find_unit(unit, Dimension.LENGTH).factor) + 1e-9))


def as_json(estimate: Estimate, unit: str | None = None) -> dict[str, float | str | None]:
    """An Estimate for machines: value and sd in `unit` (SI where none is given), unit and source."""
    if unit is None:
        return {
            "value": _finite(estimate.value),
            "unit": estimate.dimension.value,
            "sd": None if estimate.sd is None else _finite(estimate.sd),
            "source": estimate.source,
        }
    found = find_unit(unit, estimate.dimension)
    factor = difference_factor(found, estimate.value)
    return {
        "value": _finite(convert(estimate.value, unit, estimate.dimension)),
        "unit": found.symbol,
        "sd": None if estimate.sd is None else _finite(estimate.sd / factor),
        "source": estimate.source,
    }


def _finite(value: float) -> float | None:
    return value if isfinite(value) else None


def _second_digit(spread: float) -> int:
    """Digits after the point that show two significant ones; 0.0996 rounds to 0.10, not 0.100."""
    places = 1 - floor(log10(spread))
    return places - 1 if round(spread, places) >= 10.0 ** (2 - places) else places


def _rounded(value: float, places: int) -> str:
    text = f"{round(value, places):_.{max(places, 0)}f}".replace("_", _THOUSANDS)
    if text.startswith("-"):
        return text[1:] if not text.strip("-0.") else "−" + text[1:]
    return text


def _plain(value: float, digits: int | None) -> str:
    if digits is not None:
        return _rounded(value, digits)
    places = 3 - floor(log10(abs(value))) if value else 0
    text = _rounded(value, max(places, 0))
    return text.rstrip("0").rstrip(".") if "." in text else text
