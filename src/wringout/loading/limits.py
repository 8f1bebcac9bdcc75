"""Limits of places rather than of the airplane: each station, its floor, several stations together."""

import math
from dataclasses import dataclass
from typing import Literal

from wringout.airplane.airplane import Airplane, Station
from wringout.dossier.card import CardLoading
from wringout.loading.envelope import MASS_ROUNDING
from wringout.quantity.dimensions import Dimension

LimitKind = Literal["station", "floor", "combined"]


@dataclass(frozen=True, slots=True)
class LimitCheck:
    """One limit: what is there, what is allowed, both in the SI unit of `dimension`."""

    kind: LimitKind
    name: str
    found: float
    limit: float
    dimension: Dimension

    @property
    def margin(self) -> float:
        """What is left to the limit; negative beyond it."""
        return self.limit - self.found

    @property
    def within(self) -> bool:
        """Whether the limit holds; the limit itself is allowed."""
        return self.margin >= -MASS_ROUNDING


def place_limits(airplane: Airplane, loading: CardLoading) -> tuple[LimitCheck, ...]:
    """Every limit of a station, a floor [kg/m²] or several stations together that the airplane states.

    A floor load is the station's mass over its whole floor area, as though spread evenly; a heavy thing on a
    small foot needs its own board.
    """
    checks: list[LimitCheck] = []
    for station in airplane.stations:
        checks.extend(_station_limits(station, loading.stations.get(station.name, 0.0)))
    for combined in airplane.combined_limits:
        mass = math.fsum(loading.stations.get(name, 0.0) for name in combined.stations)
        checks.append(LimitCheck("combined", combined.name, mass, combined.mass_limit, Dimension.MASS))
    return tuple(checks)


def floor_notes(airplane: Airplane) -> tuple[str, ...]:
    """Floors whose limit cannot be tested because their area is not given, in words."""
    return tuple(
        f"The floor load of {station.name} is not tested: its limit is given, its area is not."
        for station in airplane.stations
        if station.floor_load_limit is not None and not station.floor_area
    )


def _station_limits(station: Station, mass: float) -> list[LimitCheck]:
    checks = []
    if station.mass_limit is not None:
        checks.append(LimitCheck("station", station.name, mass, station.mass_limit, Dimension.MASS))
    if station.floor_load_limit is not None and station.floor_area:
        load = mass / station.floor_area
        checks.append(
            LimitCheck("floor", station.name, load, station.floor_load_limit, Dimension.MASS_PER_AREA)
        )
    return checks
