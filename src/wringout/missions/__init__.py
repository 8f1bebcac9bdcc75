"""What the airplane does for a reader's work: payload against range, and missions answered."""

from wringout.missions.elsewhere import asked_of
from wringout.missions.field import LANDING_FACTOR, TAKE_OFF_FACTOR, FieldFinding, field_finding
from wringout.missions.mission import Cruise, FieldDistances, FuelRow, MissionAnswer, answer
from wringout.missions.payload_range import PayloadRange, payload_range
from wringout.missions.placement import LeftBehind, Placed, Placement, place
from wringout.missions.trip import (
    DAY_RESERVE,
    NIGHT_RESERVE,
    Allowances,
    TripFuel,
    endurance_with,
    range_with,
    trip_fuel,
)

__all__ = [
    "DAY_RESERVE",
    "LANDING_FACTOR",
    "NIGHT_RESERVE",
    "TAKE_OFF_FACTOR",
    "Allowances",
    "Cruise",
    "FieldDistances",
    "FieldFinding",
    "FuelRow",
    "LeftBehind",
    "MissionAnswer",
    "PayloadRange",
    "Placed",
    "Placement",
    "TripFuel",
    "answer",
    "asked_of",
    "endurance_with",
    "field_finding",
    "payload_range",
    "place",
    "range_with",
    "trip_fuel",
]
