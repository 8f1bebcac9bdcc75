"""What stops a load from going beside all that goes: the limit, and by how many kilograms."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace

import numpy as np

from wringout.loading.burn_limits import Allowed, BurnLimits
from wringout.loading.stowage_program import Stowing, solve
from wringout.loading.stowage_rows import StowageProblem, Wish
from wringout.quantity.showing import show

_NEAR = 1e-4  # kg·m by which a moment may miss while kilograms are sought
_STEPS = 501  # in which a piece is cut down where an envelope with steps leaves it open
_MORE = 0.02  # kg more than goes: whatever is then beyond its limit binds


@dataclass(frozen=True, slots=True)
class Stop:
    """The limit that binds, where in the flight, and by how much a piece is too heavy for it.

    With everything else aboard, wherever it then lies best, a piece lighter by `short` [kg] would go.
    `price` is how many kilograms more go for each unit by which the limit is moved: for a metre of CG, or
    for a kilogram. `short` is infinite where no piece goes however light.
    """

    limit: str
    where: str
    short: float
    price: float | None = None

    def words(self, mass_unit: str = "kg") -> str:
        """'aft CG binds by 6 kg'."""
        if not math.isfinite(self.short):
            return self.limit
        digits = 0 if self.short >= 0.95 else 1
        return f"{self.limit} binds by {show(self.short, mass_unit, digits=digits)}"


NOTHING_GOES = Stop("no loading of these things is inside every limit", "", math.inf)
NO_SEAT = Stop("no seat is free", "", math.inf)


def stop_of(limits: BurnLimits, carried: tuple[Wish, ...], index: int) -> Stop:
    """What stops one more piece of a load.

    Parameters
    ----------
    limits : BurnLimits
    carried : tuple of Wish
        What goes, each with `most` what goes of it; at least `least` of it goes on going, wherever it then
        lies.
    index : int
        Of the load in `carried`.

    Notes
    -----
    The piece is cut to fit: the most of it that goes is sought over every arrangement of the rest, and the
    limit that then holds is the one that binds.
    """
    load = carried[index].load
    problem = StowageProblem(limits, carried, part=index)
    found = solve(problem, [0.0] * len(problem.columns), tolerance=_NEAR)
    if found is None or found.part_station is None:
        return NO_SEAT
    if not found.verified:
        found = _cut_to_fit(problem, found)
    short = max(load.mass - found.part, 0.0)
    stop = next(_binding(problem, found), None)
    return replace(stop, short=short) if stop else Stop("the envelope", "", short)


def _cut_to_fit(problem: StowageProblem, found: Stowing) -> Stowing:
    """The answer with as much less of the piece as the envelope itself asks for; none where none will do."""
    station = next(item for item in problem.stations if item.name == found.part_station)
    near, far = sorted((station.arm, station.arm_aft))
    tried = found
    for less in np.linspace(0.0, found.part, _STEPS):
        moments = (found.moments[0] - less * near, found.moments[1] - less * far)
        tried = replace(
            found, part=found.part - less, payload=found.payload - less, moments=moments, verified=True
        )
        allowed = problem.limits.allowed(tried.payload, tried.within)
        if max(moments[0] - allowed.high, allowed.low - moments[1]) <= _NEAR:
            break
    return tried


def _binding(problem: StowageProblem, found: Stowing) -> Iterator[Stop]:
    """The limits that a little more of the piece, at its station, is beyond; those of CG first."""
    limits = problem.limits
    station = next(item for item in problem.stations if item.name == found.part_station)
    near, far = sorted((station.arm, station.arm_aft))
    payload = found.payload + _MORE
    allowed = limits.allowed(payload, found.within)
    low, high = found.moments[0] + _MORE * near, found.moments[1] + _MORE * far
    if low > allowed.high:
        yield Stop("aft CG", _where(limits, allowed.high_fuel), 0.0, _price(limits, found, near, aft=True))
    if high < allowed.low:
        yield Stop("forward CG", _where(limits, allowed.low_fuel), 0.0, _price(limits, found, far, aft=False))
    for limit in sorted(limits.most, key=lambda item: item.payload):
        if payload > limit.payload:
            yield Stop(f"the {limit.name}", "", 0.0, 1.0)
    masses = _masses(problem, found)
    if station.mass_limit is not None and masses[station.name] + _MORE > station.mass_limit:
        yield Stop(f"the limit of {station.name}", "", 0.0, 1.0)
    if station.floor_load_limit is not None and station.floor_area:
        room = station.floor_load_limit * station.floor_area
        if masses[station.name] + _MORE > room:
            yield Stop(f"the floor of {station.name}", "", 0.0, 1.0)
    for combined in limits.airplane.combined_limits:
        together = sum(masses.get(name, 0.0) for name in combined.stations)
        if station.name in combined.stations and together + _MORE > combined.mass_limit:
            yield Stop(f"the limit of {combined.name}", "", 0.0, 1.0)


def _masses(problem: StowageProblem, found: Stowing) -> dict[str, float]:
    masses = {station.name: 0.0 for station in problem.stations}
    for (wish, name), count in found.pieces.items():
        masses[name] += count * problem.wishes[wish].load.mass
    if found.part_station is not None:
        masses[found.part_station] += found.part
    return masses


def _where(limits: BurnLimits, fuel: float) -> str:
    """Where in the flight a limit is nearest, by the fuel that is then aboard [kg]."""
    if fuel >= float(limits.fuel_mass.max()) - 1e-6:
        return "with the fuel of the start"
    if fuel <= 1e-6:
        return "with no fuel"
    return f"with {show(fuel / limits.airplane.fuel.density, 'L', digits=0)} of fuel left"


def _price(limits: BurnLimits, found: Stowing, arm: float, *, aft: bool) -> float | None:
    """Kilograms of the piece for each metre by which the CG limit is moved outwards."""

    def end(payload: float) -> float:
        allowed: Allowed = limits.allowed(payload, found.within)
        return allowed.high if aft else allowed.low

    slope = (end(found.payload) - end(found.payload - _MORE)) / _MORE
    lever = abs(arm - slope)
    fuel = limits.allowed(found.payload, found.within)
    mass = limits.empty.mass.value + found.payload + (fuel.high_fuel if aft else fuel.low_fuel)
    return mass / lever if lever > 1e-6 else None
