"""The electrical system when something fails: how long batteries last, and what goes dark when."""

from wringout.electrical.battery import available_charge, battery_endurance, battery_endurance_estimate
from wringout.electrical.failure import (
    ESSENTIAL_TIME,
    AlternatorFailure,
    Event,
    endurance_after_alternator_failure,
)

__all__ = [
    "ESSENTIAL_TIME",
    "AlternatorFailure",
    "Event",
    "available_charge",
    "battery_endurance",
    "battery_endurance_estimate",
    "endurance_after_alternator_failure",
]
