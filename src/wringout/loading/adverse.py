"""The worst loadings that the stations and tanks allow: how far forward and how far aft the CG can come."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from wringout.airplane.airplane import Airplane, Envelope
from wringout.airplane.lookups import configuration_envelope
from wringout.loading.empty import EmptyMass, MassRow, total
from wringout.loading.envelope import ARM_ROUNDING, MASS_ROUNDING, margins
from wringout.loading.equipment import empty_mass
from wringout.loading.fuel import burn_breaks, contents_during_burn, fuel_arm, fuel_in_tanks
from wringout.loading.loading_report import maximum_mass
from wringout.loading.reach import Pilot, Side, StationReach, station_reach, usual_pilot
from wringout.problems import InputError, Problem
from wringout.quantity.showing import arm_digits, show

FloatArray = NDArray[np.float64]

_HORSEPOWER = 745.6998715822702  # W, 550 ft·lbf/s
_US_GALLON = 3.785411784e-3  # m³


@dataclass(frozen=True, slots=True)
class AdverseCase:
    """The loading with the least margin [m] to one CG limit; rows add up to mass [kg] and CG [m]."""

    side: Side
    rows: tuple[MassRow, ...]
    fuel: float
    mass: float
    cg: float
    limit: float
    margin: float

    @property
    def within(self) -> bool:
        """Whether even this loading is inside the limit."""
        return self.margin >= -ARM_ROUNDING


@dataclass(frozen=True, slots=True)
class AdverseLoadings:
    """The worst cases to either side, and the CGs [m] that can be reached at each mass [kg]."""

    configuration: str
    envelope: Envelope
    forward: AdverseCase
    aft: AdverseCase
    mass: FloatArray
    most_forward: FloatArray
    most_aft: FloatArray
    sentence: str
    notes: tuple[str, ...]


def minimum_fuel(rated_power: float) -> float:
    """Fuel [m³] that an adverse-loading check leaves aboard: 1/12 US gal a horsepower of METO power [W].

    [AC43.13-1B, par. 10-2 p.] ValueError where the power is not positive.

    Examples
    --------
    >>> print(f"{minimum_fuel(165 * 745.7) / 3.785411784e-3:.2f} US gal")
    13.75 US gal
    """
    if not rated_power > 0.0:
        raise ValueError(f"rated power must be positive, found {rated_power:g} W")
    return rated_power / _HORSEPOWER / 12.0 * _US_GALLON


def adverse_loadings(
    airplane: Airplane,
    configuration: str,
    pilot: Pilot | None = None,
    least_fuel: float | None = None,
    arm_unit: str = "mm",
) -> AdverseLoadings:
    """The most adverse forward and aft loadings that station limits, tanks and the highest mass allow.

    Parameters
    ----------
    airplane : Airplane
    configuration : str
    pilot : Pilot, optional
        Who is always aboard; left out, an occupant of the usual mass in the first seat.
    least_fuel : float, optional
        Never less aboard [m³]; left out, `minimum_fuel`, or none with an electric motor.
    arm_unit : str
        For the sentence.

    Returns
    -------
    AdverseLoadings

    Raises
    ------
    InputError
        As `empty_mass`; fuel that the tanks do not hold; a pilot beyond the station's limit.

    Notes
    -----
    Useful load ahead of the limit at its most and behind it at its least, and the reverse [AC43.13-1B, ch.
    10; FAA-H-8083-1, ch. 5]; here over every payload and fuel, so that a limit that changes with mass is
    met where it is worst. Persons and things count as divisible up to each limit, which no whole persons
    can exceed.
    """
    envelope = configuration_envelope(airplane, configuration)
    crew = pilot or usual_pilot(airplane)
    grid = _Grid.of(airplane, configuration, crew, least_fuel)
    payload = grid.payloads()
    forward = _worst(airplane, grid, envelope, "forward", payload)
    aft = _worst(airplane, grid, envelope, "aft", payload)
    masses = np.linspace(grid.dry_mass.min() + crew.mass, grid.highest, 61)
    most_forward, most_aft = grid.reached(masses)
    fuel = show(float(grid.fuel.min()), "L", digits=0)
    return AdverseLoadings(
        configuration,
        envelope,
        forward,
        aft,
        masses,
        most_forward,
        most_aft,
        f"{_words(forward, arm_unit)}; {_words(aft, arm_unit).lower()}.",
        (f"Always aboard: the pilot, {crew.mass:.0f} kg in {crew.station}, and {fuel} of fuel or more.",),
    )


@dataclass(frozen=True, slots=True)
class _Grid:
    """The airplane with pilot and fuel but no other payload, at nodes of fuel from least to full."""

    empty: EmptyMass
    reach: StationReach
    highest: float
    pilot: Pilot
    fuel: FloatArray
    dry_mass: FloatArray  # empty mass and fuel, without the pilot
    dry_moment: FloatArray

    @staticmethod
    def of(airplane: Airplane, configuration: str, pilot: Pilot, least_fuel: float | None) -> "_Grid":
        empty = empty_mass(airplane, configuration)
        highest = maximum_mass(configuration_envelope(airplane, configuration), "take-off")
        fuel = _fuels(airplane, least_fuel)
        full = {tank.name: tank.usable for tank in airplane.tanks}
        contents = contents_during_burn(airplane.tanks, full, sum(full.values()) - fuel)
        mass = np.full_like(fuel, empty.mass.value)
        moment = np.full_like(fuel, empty.moment)
        for tank in airplane.tanks:
            part = airplane.fuel.density * contents[tank.name]
            mass = mass + part
            moment = moment + part * fuel_arm(tank, contents[tank.name])
        if mass.min() + pilot.mass > highest:
            raise InputError(
                Problem(
                    f"the airplane, its pilot and the least fuel weigh {mass.min() + pilot.mass:.0f} kg, "
                    f"the highest take-off mass is {highest:.0f} kg",
                    "check the empty mass and the limit",
                    field="empty",
                )
            )
        reach = station_reach(airplane, pilot, max(highest - empty.mass.value, pilot.mass))
        return _Grid(empty, reach, highest, pilot, fuel, mass, moment)

    def payloads(self) -> FloatArray:
        """Payloads to try: even steps, where a station is full, where the highest mass is met [kg]."""
        even = np.linspace(self.pilot.mass, self.reach.most, 101)
        at_limit = self.highest - self.dry_mass
        tried = np.concatenate((even, self.reach.corners, at_limit))
        return np.unique(tried[(tried >= self.pilot.mass) & (tried <= self.reach.most)])

    def reached(self, masses: FloatArray) -> tuple[FloatArray, FloatArray]:
        """Most forward and most aft CG [m] at each mass [kg]; NaN where no loading has that mass."""
        payload = masses[:, np.newaxis] - self.dry_mass
        least, greatest = self.reach.moments(payload)
        forward = (self.dry_moment + least) / masses[:, np.newaxis]
        aft = (self.dry_moment + greatest) / masses[:, np.newaxis]
        none = np.all(np.isnan(forward), axis=1)
        return (
            np.where(none, np.nan, np.nan_to_num(forward, nan=np.inf).min(axis=1)),
            np.where(none, np.nan, np.nan_to_num(aft, nan=-np.inf).max(axis=1)),
        )


def _worst(
    airplane: Airplane, grid: _Grid, envelope: Envelope, side: Side, payload: FloatArray
) -> AdverseCase:
    moment = grid.reach.moments(payload)[0 if side == "forward" else 1]
    mass = grid.dry_mass + payload[:, np.newaxis]
    found = margins(envelope, mass, (grid.dry_moment + moment[:, np.newaxis]) / mass)
    margin = found.forward if side == "forward" else found.aft
    margin = np.where(mass <= grid.highest + MASS_ROUNDING, margin, np.inf)
    row, column = np.unravel_index(int(np.argmin(margin)), margin.shape)
    contents = fuel_in_tanks(airplane.tanks, float(grid.fuel[column]))
    tanks = tuple(
        MassRow(
            f"fuel, {tank.name}",
            contents[tank.name] * airplane.fuel.density,
            float(fuel_arm(tank, np.array(contents[tank.name]))),
        )
        for tank in airplane.tanks
        if contents[tank.name] > 0.0
    )
    empty = MassRow("empty", grid.empty.mass.value, grid.empty.arm.value)
    rows = (empty, *grid.reach.rows(side, float(payload[row])), *tanks)
    mass_now, cg = total(rows, "the loading")
    limits = margins(envelope, mass_now, cg)
    limit = limits.forward_limit if side == "forward" else limits.aft_limit
    least = limits.forward if side == "forward" else limits.aft
    return AdverseCase(side, rows, float(grid.fuel[column]), mass_now, cg, float(limit), float(least))


def _fuels(airplane: Airplane, least_fuel: float | None) -> FloatArray:
    full = sum(tank.usable for tank in airplane.tanks)
    if least_fuel is None:
        electric = airplane.engine.kind == "electric"
        least = 0.0 if electric else min(minimum_fuel(airplane.engine.rated_power), full)
    else:
        least = least_fuel
    if not 0.0 <= least <= full:
        raise InputError(
            Problem(
                f"the tanks hold {full * 1000:.1f} L usable, {least * 1000:.1f} L are never to be missing",
                "give fuel that the tanks hold",
                field="least_fuel",
            )
        )
    breaks = full - burn_breaks(airplane.tanks, {tank.name: tank.usable for tank in airplane.tanks})
    nodes = np.concatenate((np.linspace(least, full, 21), breaks))
    return np.unique(nodes[(nodes >= least) & (nodes <= full)])


def _words(case: AdverseCase, arm_unit: str) -> str:
    amount = show(abs(case.margin), arm_unit, digits=arm_digits(arm_unit))
    where = "inside" if case.within else "beyond"
    return f"Loaded most {case.side} it is {amount} {where} the {case.side} limit at {case.mass:.0f} kg"
