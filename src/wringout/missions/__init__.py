"""What the airplane does for a reader's work: payload against range, and missions answered."""

from wringout.missions.elsewhere import asked_of
from wringout.missions.field import LANDING_FACTOR, TAKE_OFF_FACTOR, FieldFinding, field_finding
from wringout.missions.flying import LegFlown, Performance, fly
from wringout.missions.legs import Leg, best_order, legs_of
from wringout.missions.mission import Distances, FieldAsked, FuelRow, LegAnswer, MissionAnswer, answer
from wringout.missions.payload_range import PayloadRange, payload_range
from wringout.missions.trip import (
    DAY_RESERVE,
    NIGHT_RESERVE,
    Allowances,
    Cruise,
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
    "Distances",
    "FieldAsked",
    "FieldFinding",
    "FuelRow",
    "Leg",
    "LegAnswer",
    "LegFlown",
    "MissionAnswer",
    "PayloadRange",
    "Performance",
    "TripFuel",
    "answer",
    "asked_of",
    "best_order",
    "endurance_with",
    "field_finding",
    "fly",
    "legs_of",
    "payload_range",
    "range_with",
    "trip_fuel",
]
