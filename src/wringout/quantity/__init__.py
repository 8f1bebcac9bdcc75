"""Text with a unit ↔ SI float; value ± uncertainty with its origin."""

from wringout.quantity.dimensions import Dimension
from wringout.quantity.estimate import Estimate
from wringout.quantity.fuel import mass_to_volume, volume_to_mass
from wringout.quantity.showing import arm_digits, as_json, show, show_estimate
from wringout.quantity.text import parse, parse_estimate, stated_dimension
from wringout.quantity.units import convert, find_unit, to_si, unit_dimension, unit_symbols

__all__ = [
    "Dimension",
    "Estimate",
    "arm_digits",
    "as_json",
    "convert",
    "find_unit",
    "mass_to_volume",
    "parse",
    "parse_estimate",
    "show",
    "show_estimate",
    "stated_dimension",
    "to_si",
    "unit_dimension",
    "unit_symbols",
    "volume_to_mass",
]
