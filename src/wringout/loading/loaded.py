"""Mass and CG of the loaded airplane at any moment of the fuel burn, with their standard uncertainty."""

import math
from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from wringout.airplane.airplane import Airplane, Station
from wringout.dossier.card import CardLoading
from wringout.loading.empty import EmptyMass, MassRow
from wringout.loading.equipment import empty_mass
from wringout.loading.fuel import contents_during_burn, fuel_arm, fuel_problems
from wringout.problems import InputError, Problem

FloatArray = NDArray[np.float64]

_ARM_ROUNDING = 1e-9


@dataclass(frozen=True, slots=True)
class BurnStates:
    """The airplane at n amounts of fuel burnt: loaded stations, tank contents [m³], mass [kg], CG [m]."""

    rows: tuple[MassRow, ...]
    contents: Mapping[str, FloatArray]
    mass: FloatArray
    cg: FloatArray


def mass_and_cg(
    airplane: Airplane, configuration: str, loading: CardLoading, fuel_burnt: ArrayLike
) -> tuple[FloatArray, FloatArray]:
    """Mass and CG of the airplane after fuel has been burnt since start-up.

    Parameters
    ----------
    airplane : Airplane
    configuration : str
        Name of the configuration flown.
    loading : CardLoading
        Masses [kg] by station and usable fuel [m³] by tank at start-up.
    fuel_burnt : array_like, shape (...)
        Fuel used since start-up [m³]. NaN gives NaN.

    Returns
    -------
    mass, cg : ndarray, shape (...)
        [kg] and [m] aft of the datum.

    Raises
    ------
    InputError
        Unknown configuration, station or tank, a negative mass, a tank overfilled, or a loaded station
        whose load may lie anywhere between two arms and whose arm is not given.
    ValueError
        More fuel burnt than was aboard.

    Notes
    -----
    Sum of masses and of moments [FAA-H-8083-1, ch. 2].
    """
    burnt = np.asarray(fuel_burnt, dtype=np.float64)
    burn = burn_states(airplane, empty_mass(airplane, configuration), loading, burnt.ravel())
    return burn.mass.reshape(burnt.shape), burn.cg.reshape(burnt.shape)


def mass_and_cg_sd(
    airplane: Airplane, configuration: str, loading: CardLoading, fuel_burnt: ArrayLike
) -> tuple[FloatArray, FloatArray]:
    """Standard uncertainty of mass [kg] and CG [m] after fuel has been burnt.

    Arguments, shapes and errors as `mass_and_cg`. Independent errors: empty mass and arm with their
    correlation, `mass_sd` of each loaded station, `fuel_sd` of each tank that had fuel in it
    [GUM, 5.1 and 5.2]. The fuel's density and the burn itself are taken as exact; an empty mass whose
    record states no uncertainty adds none.
    """
    burnt = np.asarray(fuel_burnt, dtype=np.float64)
    empty = empty_mass(airplane, configuration)
    mass_sd, cg_sd = uncertainty(
        airplane, empty, loading, burn_states(airplane, empty, loading, burnt.ravel())
    )
    return mass_sd.reshape(burnt.shape), cg_sd.reshape(burnt.shape)


def burn_states(airplane: Airplane, empty: EmptyMass, loading: CardLoading, burnt: FloatArray) -> BurnStates:
    """The loaded airplane at each amount of fuel burnt [m³], shape (n,); errors as `mass_and_cg`."""
    rows = station_rows(airplane, loading)
    contents = contents_during_burn(airplane.tanks, loading.fuel, burnt)
    mass = np.full_like(burnt, math.fsum([empty.mass.value, *(row.mass for row in rows)]))
    moment = np.full_like(burnt, math.fsum([empty.moment, *(row.moment for row in rows)]))
    for tank in airplane.tanks:
        fuel_mass = airplane.fuel.density * contents[tank.name]
        mass = mass + fuel_mass
        moment = moment + fuel_mass * fuel_arm(tank, contents[tank.name])
    return BurnStates(rows, contents, mass, moment / mass)


def uncertainty(
    airplane: Airplane, empty: EmptyMass, loading: CardLoading, burn: BurnStates
) -> tuple[FloatArray, FloatArray]:
    """Standard uncertainty of mass [kg] and CG [m] of each state; `mass_and_cg_sd` says what is counted."""
    mass, cg = burn.mass, burn.cg
    empty_sd, arm_sd = empty.mass.sd or 0.0, empty.arm.sd or 0.0
    by_mass = (empty.arm.value - cg) / mass
    by_arm = empty.mass.value / mass
    mass_variance = np.full_like(mass, empty_sd**2)
    cg_variance = (
        (by_mass * empty_sd) ** 2
        + (by_arm * arm_sd) ** 2
        + 2.0 * by_mass * by_arm * empty.correlation * empty_sd * arm_sd
    )
    for row in burn.rows:
        mass_variance = mass_variance + loading.mass_sd**2
        cg_variance = cg_variance + ((row.arm - cg) / mass * loading.mass_sd) ** 2
    fuel_mass_sd = airplane.fuel.density * loading.fuel_sd
    for tank in airplane.tanks:
        if loading.fuel.get(tank.name, 0.0) > 0.0:
            arm = fuel_arm(tank, burn.contents[tank.name])
            mass_variance = mass_variance + fuel_mass_sd**2
            cg_variance = cg_variance + ((arm - cg) / mass * fuel_mass_sd) ** 2
    return np.sqrt(mass_variance), np.sqrt(np.maximum(cg_variance, 0.0))


def station_rows(airplane: Airplane, loading: CardLoading) -> tuple[MassRow, ...]:
    """One row a loaded station, in the airplane's order.

    Raises InputError with every problem of the loading, tanks included: unknown station or tank, negative
    mass, tank overfilled, an arm outside the station's range, or a range of arms without the arm of this
    load.
    """
    problems = _station_problems(airplane, loading) + fuel_problems(airplane, loading.fuel)
    if problems:
        raise InputError(*problems)
    return tuple(
        MassRow(station.name, loading.stations[station.name], _arm(station, loading.station_arms))
        for station in airplane.stations
        if loading.stations.get(station.name, 0.0) > 0.0
    )


def _arm(station: Station, arms: Mapping[str, float]) -> float:
    return arms.get(station.name, station.arm)


def _station_problems(airplane: Airplane, loading: CardLoading) -> list[Problem]:
    known = {station.name: station for station in airplane.stations}
    names = ", ".join(f"'{name}'" for name in known)
    problems = []
    for name in sorted(set(loading.stations) | set(loading.station_arms)):
        field = f"loading, {name}"
        if name not in known:
            problems.append(Problem(f"there is no station '{name}'", f"use one of {names}", field=field))
            continue
        mass = loading.stations.get(name, 0.0)
        if not (math.isfinite(mass) and mass >= 0.0):
            problems.append(Problem(f"the mass is {mass:g} kg", "give zero or more", field=field))
        problems.extend(_arm_problems(known[name], mass, loading.station_arms.get(name), field))
    for what, sd in (("mass_sd", loading.mass_sd), ("fuel_sd", loading.fuel_sd)):
        if not sd >= 0.0:
            problems.append(
                Problem(f"{what} is {sd:g}", "give a standard uncertainty of zero or more", field="loading")
            )
    return problems


def _arm_problems(station: Station, mass: float, arm: float | None, field: str) -> list[Problem]:
    low, high = sorted((station.arm, station.arm_aft))
    reach = f"{low:.3f} m to {high:.3f} m"
    if arm is None:
        if high - low <= _ARM_ROUNDING or not mass > 0.0:
            return []
        return [
            Problem(
                f"the load may lie anywhere from {reach} and its arm is not given",
                "give the arm at which its middle lay",
                field=field,
            )
        ]
    if low - _ARM_ROUNDING <= arm <= high + _ARM_ROUNDING:
        return []
    return [
        Problem(
            f"the load's arm is {arm:.3f} m and the station reaches from {reach}",
            "correct the arm",
            field=field,
        )
    ]
