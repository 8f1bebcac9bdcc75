"""The airplane as mass and arm: weighed, exchanged, loaded, tested against its envelope."""

from wringout.loading.empty import EmptyMass, MassRow, recorded, weigh
from wringout.loading.envelope import Margins, margins
from wringout.loading.equipment import empty_mass, exchange, reverse
from wringout.loading.limits import LimitCheck, place_limits
from wringout.loading.loaded import mass_and_cg, mass_and_cg_sd
from wringout.loading.loading_report import Binding, BurnPath, LoadingReport, LoadingState, loading_report

__all__ = [
    "Binding",
    "BurnPath",
    "EmptyMass",
    "LimitCheck",
    "LoadingReport",
    "LoadingState",
    "Margins",
    "MassRow",
    "empty_mass",
    "exchange",
    "loading_report",
    "margins",
    "mass_and_cg",
    "mass_and_cg_sd",
    "place_limits",
    "recorded",
    "reverse",
    "weigh",
]
