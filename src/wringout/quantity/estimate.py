"""A value with its standard uncertainty and its origin: the only form in which a figure reaches a person."""

from dataclasses import dataclass

from wringout.quantity.dimensions import Dimension


@dataclass(frozen=True, slots=True)
class Estimate:
    """A figure in SI with its standard uncertainty and where it came from.

    `sd` is None only where no uncertainty can be stated, and then `source` says why.
    """

    value: float
    sd: float | None
    dimension: Dimension
    source: str
