"""Options whose value is a quantity with its unit."""

from __future__ import annotations

from typing import overload

from wringout.problems import InputError
from wringout.quantity import Dimension, parse


@overload
def quantity_option(name: str, text: str, dimension: Dimension) -> float: ...
@overload
def quantity_option(name: str, text: None, dimension: Dimension) -> None: ...
@overload
def quantity_option(name: str, text: str | None, dimension: Dimension) -> float | None: ...
def quantity_option(name: str, text: str | None, dimension: Dimension) -> float | None:
    """The option's value in SI, None where it was not given; InputError names the option."""
    if text is None:
        return None
    try:
        return parse(text, dimension)
    except InputError as error:
        raise InputError(*(problem.at(field=f"--{name}") for problem in error.problems)) from None
