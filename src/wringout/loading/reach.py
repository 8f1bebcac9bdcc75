"""What moments the stations can give: filled from the front, filled from the back, and all between."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from wringout.airplane.airplane import Airplane, Station
from wringout.airplane.lookups import station as station_named
from wringout.loading.empty import MassRow
from wringout.loading.envelope import MASS_ROUNDING
from wringout.problems import InputError, Problem

FloatArray = NDArray[np.float64]
Side = Literal["forward", "aft"]


@dataclass(frozen=True, slots=True)
class Pilot:
    """Who must be aboard whatever else is: a station and a mass [kg]."""

    station: str
    mass: float


@dataclass(frozen=True, slots=True)
class StationReach:
    """The stations in the order of filling from the front and from the back, the pilot first in both.

    Each row is all that its station then takes. For any payload the moments between the two orders can be
    reached. Exact where combined limits lie inside one another or apart; where they overlap, a reach within
    it.
    """

    forward: tuple[MassRow, ...]
    aft: tuple[MassRow, ...]

    @property
    def most(self) -> float:
        """The payload that fills every station [kg]."""
        return min(sum(row.mass for row in self.forward), sum(row.mass for row in self.aft))

    @property
    def corners(self) -> FloatArray:
        """Payloads [kg] at which one of the orders goes on to its next station."""
        steps = [np.cumsum([row.mass for row in rows]) for rows in (self.forward, self.aft)]
        return np.unique(np.minimum(np.concatenate(steps), self.most))

    def moments(self, payload: FloatArray) -> tuple[FloatArray, FloatArray]:
        """Least and greatest moment [kg·m] of each payload [kg]; NaN where stations cannot hold it."""
        return self._moment(self.forward, payload), self._moment(self.aft, payload)

    def rows(self, side: Side, payload: float) -> tuple[MassRow, ...]:
        """What lies where when a payload [kg] is laid as far forward, or aft, as it goes."""
        rows, left = [], payload
        for row in self.forward if side == "forward" else self.aft:
            mass = min(row.mass, left)
            if mass > 0.0:
                rows.append(MassRow(row.name, mass, row.arm))
            left -= mass
        return tuple(rows)

    def _moment(self, rows: Sequence[MassRow], payload: FloatArray) -> FloatArray:
        masses = np.cumsum([row.mass for row in rows])
        moments = np.cumsum([row.moment for row in rows])
        inside = (payload >= masses[0] - MASS_ROUNDING) & (payload <= self.most + MASS_ROUNDING)
        return np.where(inside, np.interp(payload, masses, moments), np.nan)


def usual_pilot(airplane: Airplane) -> Pilot:
    """An occupant of the airplane's usual mass in its first seat; InputError where it has no seat."""
    for station in airplane.stations:
        if station.seats > 0 and station.holds != "things":
            limit = airplane.seats_weight if station.mass_limit is None else station.mass_limit
            return Pilot(station.name, min(airplane.seats_weight, limit))
    raise InputError(
        Problem("no station has a seat for the pilot", "give the front station its seats", field="stations")
    )


def station_reach(airplane: Airplane, pilot: Pilot, highest: float) -> StationReach:
    """What the stations can take beside the pilot, every station, floor and combined limit held.

    A station without a limit holds up to `highest` [kg]. InputError where the station is unknown or the pilot
    alone is beyond its limit.
    """
    seat = station_named(airplane, pilot.station)
    room = _room(seat, highest)
    if not 0.0 <= pilot.mass <= room + MASS_ROUNDING:
        raise InputError(
            Problem(
                f"{seat.name} may hold {room:g} kg, the pilot has {pilot.mass:g} kg",
                "correct the limit or the pilot's mass",
                field="pilot",
            )
        )
    forward = sorted(airplane.stations, key=lambda station: station.arm)
    aft = sorted(airplane.stations, key=lambda station: -station.arm_aft)
    fill_forward = _filling(airplane, forward, pilot, highest)
    fill_aft = _filling(airplane, aft, pilot, highest)
    return StationReach(
        (
            MassRow(f"pilot, {pilot.station}", pilot.mass, seat.arm),
            *(MassRow(s.name, mass, s.arm) for s, mass in zip(forward, fill_forward, strict=True) if mass),
        ),
        (
            MassRow(f"pilot, {pilot.station}", pilot.mass, seat.arm_aft),
            *(MassRow(s.name, mass, s.arm_aft) for s, mass in zip(aft, fill_aft, strict=True) if mass),
        ),
    )


def _room(station: Station, highest: float) -> float:
    room = highest if station.mass_limit is None else min(station.mass_limit, highest)
    if station.floor_load_limit is not None and station.floor_area:
        room = min(room, station.floor_load_limit * station.floor_area)
    return room


def _filling(airplane: Airplane, order: list[Station], pilot: Pilot, highest: float) -> list[float]:
    """What each station takes when they are filled in that order beside the pilot, every limit held."""
    taken = {pilot.station: pilot.mass}
    filling = []
    for station in order:
        room = _room(station, highest) - taken.get(station.name, 0.0)
        for combined in airplane.combined_limits:
            if station.name in combined.stations:
                together = sum(taken.get(name, 0.0) for name in combined.stations)
                room = min(room, combined.mass_limit - together)
        room = max(room, 0.0)
        taken[station.name] = taken.get(station.name, 0.0) + room
        filling.append(room)
    return filling
