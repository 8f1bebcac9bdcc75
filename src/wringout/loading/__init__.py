"""The airplane as mass and arm: weighed, exchanged, loaded, tested against its envelope."""

from wringout.loading.adverse import AdverseCase, AdverseLoadings, adverse_loadings, minimum_fuel
from wringout.loading.ballasting import Ballast, ballast
from wringout.loading.capacity import Capacity, capacity
from wringout.loading.empty import EmptyMass, MassRow, recorded, weigh
from wringout.loading.envelope import Margins, margins
from wringout.loading.equipment import empty_mass, exchange, reverse
from wringout.loading.fuel import fuel_in_tanks
from wringout.loading.limits import LimitCheck, place_limits
from wringout.loading.loaded import mass_and_cg, mass_and_cg_sd
from wringout.loading.loading_report import Binding, BurnPath, LoadingReport, LoadingState, binding_words
from wringout.loading.planning import PlannedLoading, Reach, planned_loading
from wringout.loading.reach import Pilot, usual_pilot
from wringout.loading.reporting import loading_report
from wringout.loading.stowage import LeftBehind, Stowage, Stowed, stow
from wringout.loading.stowage_changes import Change, Move, changes
from wringout.loading.stowage_fuel import most_fuel
from wringout.loading.stowage_stop import Stop
from wringout.loading.useful_load import payload_with_fuel, useful_load

__all__ = [
    "AdverseCase",
    "AdverseLoadings",
    "Ballast",
    "Binding",
    "BurnPath",
    "Capacity",
    "Change",
    "EmptyMass",
    "LeftBehind",
    "LimitCheck",
    "LoadingReport",
    "LoadingState",
    "Margins",
    "MassRow",
    "Move",
    "Pilot",
    "PlannedLoading",
    "Reach",
    "Stop",
    "Stowage",
    "Stowed",
    "adverse_loadings",
    "ballast",
    "binding_words",
    "capacity",
    "changes",
    "empty_mass",
    "exchange",
    "fuel_in_tanks",
    "loading_report",
    "margins",
    "mass_and_cg",
    "mass_and_cg_sd",
    "minimum_fuel",
    "most_fuel",
    "payload_with_fuel",
    "place_limits",
    "planned_loading",
    "recorded",
    "reverse",
    "stow",
    "useful_load",
    "usual_pilot",
    "weigh",
]
