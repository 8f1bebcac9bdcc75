"""The airplane as mass and arm: weighed, exchanged, loaded, tested against its envelope."""

from wringout.loading.empty import EmptyMass, MassRow, recorded, weigh
from wringout.loading.equipment import empty_mass, exchange, reverse
from wringout.loading.loaded import mass_and_cg, mass_and_cg_sd

__all__ = [
    "EmptyMass",
    "MassRow",
    "empty_mass",
    "exchange",
    "mass_and_cg",
    "mass_and_cg_sd",
    "recorded",
    "reverse",
    "weigh",
]
