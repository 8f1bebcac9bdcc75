"""The electrical system when something fails: how long batteries last, and what goes dark when."""

from wringout.electrical.battery import (
    available_charge,
    battery_endurance,
    battery_endurance_estimate,
    unit_current_endurance,
)
from wringout.electrical.failure import (
    ESSENTIAL_TIME,
    SHEDDINGS,
    Event,
    LoadStory,
    Played,
    Shedding,
    Spell,
    play,
)
from wringout.electrical.network import (
    ALTERNATOR,
    Failure,
    at_age,
    generators,
    sources_of,
    taken_with,
    usual_failures,
)
from wringout.electrical.reach import reach_on_battery, worst_leg
from wringout.electrical.uncertain import (
    CURRENT_SPREAD,
    TEMPERATURE_SD,
    PlayedEstimate,
    play_estimate,
)

__all__ = [
    "ALTERNATOR",
    "CURRENT_SPREAD",
    "ESSENTIAL_TIME",
    "SHEDDINGS",
    "TEMPERATURE_SD",
    "Event",
    "Failure",
    "LoadStory",
    "Played",
    "PlayedEstimate",
    "Shedding",
    "Spell",
    "at_age",
    "available_charge",
    "battery_endurance",
    "battery_endurance_estimate",
    "generators",
    "play",
    "play_estimate",
    "reach_on_battery",
    "sources_of",
    "taken_with",
    "unit_current_endurance",
    "usual_failures",
    "worst_leg",
]
