"""What a physics argument may be, and how one outside its range is refused."""

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]
Real = float | Array  # every argument broadcasts; a float gives a numpy scalar back


def within(value: Real, low: float, high: float, what: str) -> Array:
    """The value as floats, refused outside [low, high] by a message naming `what`; NaN passes through."""
    values = np.asarray(value, dtype=np.float64)
    outside = (values < low) | (values > high)
    if outside.any():
        raise ValueError(f"{what} must lie between {low:g} and {high:g}, found {values[outside].flat[0]:g}")
    return values


def positive(value: Real, what: str) -> Array:
    """The value as floats, refused where it is zero or less; NaN passes through."""
    values = np.asarray(value, dtype=np.float64)
    outside = values <= 0
    if outside.any():
        raise ValueError(f"{what} must be positive, found {values[outside].flat[0]:g}")
    return values


def not_negative(value: Real, what: str) -> Array:
    """The value as floats, refused where it is less than zero; NaN passes through."""
    values = np.asarray(value, dtype=np.float64)
    outside = values < 0
    if outside.any():
        raise ValueError(f"{what} must not be negative, found {values[outside].flat[0]:g}")
    return values
