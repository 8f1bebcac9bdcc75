"""Fuel in the tanks: its arm as a function of contents, and which tank the engine draws from."""

import math
from collections.abc import Mapping

import numpy as np
from numpy.typing import NDArray

from wringout.airplane.airplane import Airplane, Tank
from wringout.problems import Problem

FloatArray = NDArray[np.float64]

# Rounding of summed volumes, a cubic millimetre; not a kindness to overfilled tanks.
_VOLUME_ROUNDING = 1e-9


def fuel_arm(tank: Tank, contents: FloatArray) -> FloatArray:
    """Arm [m] of a tank's usable contents [m³], linear between its given points and constant beyond them."""
    volumes = np.array([volume for volume, _ in tank.arms])
    arms = np.array([arm for _, arm in tank.arms])
    arm: FloatArray = np.interp(contents, volumes, arms)
    return arm


def contents_during_burn(
    tanks: tuple[Tank, ...], at_start: Mapping[str, float], burnt: FloatArray
) -> dict[str, FloatArray]:
    """What is left in each tank after fuel is burnt, tanks drawn in the order of their `burn_order`.

    Parameters
    ----------
    tanks : tuple of Tank
    at_start : mapping
        Usable contents [m³] by tank; a tank that is not named is empty.
    burnt : ndarray, shape (n,)
        Fuel used since then [m³]. NaN gives NaN.

    Returns
    -------
    dict of ndarray, shape (n,)
        Contents [m³] of each tank.

    Raises
    ------
    ValueError
        More is burnt than is aboard, or less than nothing.

    Notes
    -----
    Tanks of one number are drawn together at equal rates until the emptiest runs dry, the rest then going
    on alone [common practice, no source].
    """
    aboard = math.fsum(at_start.get(tank.name, 0.0) for tank in tanks)
    if np.any(burnt < -_VOLUME_ROUNDING) or np.any(burnt > aboard + _VOLUME_ROUNDING):
        raise ValueError(
            f"fuel burnt must lie between nothing and the {aboard * 1000:.1f} L aboard, "
            f"found {np.nanmin(burnt) * 1000:.1f} to {np.nanmax(burnt) * 1000:.1f} L"
        )
    left = np.clip(burnt, 0.0, aboard)
    result: dict[str, FloatArray] = {}
    for order in sorted({tank.burn_order for tank in tanks}):
        group = [tank for tank in tanks if tank.burn_order == order]
        held = [at_start.get(tank.name, 0.0) for tank in group]
        drawn = np.minimum(left, math.fsum(held))
        each = _equal_draw(held, drawn)
        for tank, contents in zip(group, held, strict=True):
            result[tank.name] = np.maximum(contents - np.minimum(each, contents), 0.0)
        left = left - drawn
    return {tank.name: result[tank.name] for tank in tanks}


def fuel_in_tanks(tanks: tuple[Tank, ...], total: float) -> dict[str, float]:
    """How a total of usable fuel [m³] lies in the tanks: as a burn from full tanks would leave it.

    Raises ValueError where the tanks cannot hold it.
    """
    full = {tank.name: tank.usable for tank in tanks}
    contents = contents_during_burn(tanks, full, np.array([math.fsum(full.values()) - total]))
    return {name: float(volume[0]) for name, volume in contents.items()}


def burn_breaks(tanks: tuple[Tank, ...], at_start: Mapping[str, float]) -> FloatArray:
    """Fuel burnt [m³] at each corner and end of the CG path: a tank run dry, a knot of its arms."""
    breaks = {0.0, math.fsum(at_start.get(tank.name, 0.0) for tank in tanks)}
    before = 0.0
    for order in sorted({tank.burn_order for tank in tanks}):
        group = [tank for tank in tanks if tank.burn_order == order]
        held = [at_start.get(tank.name, 0.0) for tank in group]
        for tank, contents in zip(group, held, strict=True):
            levels = [contents, *(contents - volume for volume, _ in tank.arms if 0.0 < volume < contents)]
            breaks.update(before + math.fsum(min(level, other) for other in held) for level in levels)
        before += math.fsum(held)
    return np.unique(np.round(np.array(sorted(breaks)), 12))


def fuel_problems(airplane: Airplane, fuel: Mapping[str, float], what: str = "fuel") -> list[Problem]:
    """What is wrong with contents [m³] by tank: an unknown tank, less than nothing, more than it holds."""
    problems = []
    usable = {tank.name: tank.usable for tank in airplane.tanks}
    for name, volume in fuel.items():
        if name not in usable:
            names = ", ".join(f"'{tank}'" for tank in usable) or "none"
            problems.append(Problem(f"there is no tank '{name}'", f"use one of: {names}", field=what))
        elif not (math.isfinite(volume) and volume >= 0.0):
            problems.append(
                Problem(f"tank '{name}' holds {volume * 1000:g} L", "give zero or more", field=what)
            )
        elif volume > usable[name] + _VOLUME_ROUNDING:
            problems.append(
                Problem(
                    f"tank '{name}' holds {usable[name] * 1000:.1f} L usable, found {volume * 1000:.1f} L",
                    "give what was usable in the tank; unusable fuel belongs to the empty mass",
                    field=what,
                )
            )
    return problems


def _equal_draw(held: list[float], drawn: FloatArray) -> FloatArray:
    """What each tank of a group has given when the group has given `drawn`, a tank that ran dry aside."""
    levels = np.array(sorted({0.0, *held}))
    volumes = np.array([math.fsum(min(level, contents) for contents in held) for level in levels])
    each: FloatArray = np.interp(drawn, volumes, levels)
    return each
