"""Floats: what they carry, and the run on the water over the hump."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from wringout.physics.constants import GRAVITY

FloatArray = NDArray[np.float64]

FRESH_WATER = 1000.0  # kg/m³
RESERVE_BUOYANCY = 0.80  # more than carries the maximum weight in fresh water [CFR23, 23.2310(a)]
NODES = 400


@dataclass(frozen=True, slots=True)
class WaterResistance:
    """Resistance of water and air together over weight as two straight lines over speed.

    From nothing to `hump` at `hump_speed`, and on to `getaway` where the airplane leaves the water, speeds as
    shares of the getaway speed. That two straight lines do is Diehl's [NACA-TN-643, abstract]; the figures
    of resistance are from memory: load over resistance 5 at the hump, a tenth of the weight at getaway. A
    single float had its greatest resistance at 24 mph and left the water at 41 to 53 mph, a pair of floats a
    high one at 20 to 30 mph and left it at 46 to 56 mph [CrowleyRonan, abstracts].
    """

    hump: float = 0.20
    hump_speed: float = 0.50
    getaway: float = 0.10

    def at(self, share: ArrayLike) -> FloatArray:
        """Over weight, at a share of the getaway speed."""
        shares = np.asarray(share, dtype=np.float64)
        return np.interp(shares, (0.0, self.hump_speed, 1.0), (0.0, self.hump, self.getaway))


HUMP_SD = 0.03  # of the hump's resistance over weight, from float to float (common practice, no source)


@dataclass(frozen=True, slots=True)
class WaterRun:
    """Run on the water [m] and its time [s], inf where the hump is not overcome.

    `hump_margin` is the least thrust over resistance on the way.
    """

    distance: FloatArray
    time: FloatArray
    hump_margin: FloatArray


def reserve_buoyancy(volume: float, mass: float) -> float:
    """How much more than a mass [kg] floats of a volume [m³] carry in fresh water, over the mass.

    Archimedes.     ValueError where volume or mass is not positive.
    """
    if volume <= 0.0 or mass <= 0.0:
        raise ValueError("volume and mass must be positive")
    return FRESH_WATER * volume / mass - 1.0


def run_speeds(getaway_speed: ArrayLike) -> FloatArray:
    """Speeds [m/s] from rest to getaway at which `water_run` asks for thrust, shape (..., 401)."""
    return np.asarray(getaway_speed, dtype=np.float64)[..., None] * np.linspace(0.0, 1.0, NODES + 1)


def water_run(
    thrust: ArrayLike,
    mass: ArrayLike,
    getaway_speed: ArrayLike,
    resistance: WaterResistance | None = None,
    *,
    hump: ArrayLike | None = None,
) -> WaterRun:
    """Run and time from rest to leaving the water, in still air on calm water.

    Parameters
    ----------
    thrust : array_like, shape (..., 401)
        At `run_speeds` [N].
    mass, getaway_speed : array_like, shape (...)
        [kg], [m/s]
    resistance : WaterResistance, optional
    hump : array_like, shape (...), optional
        Resistance over weight at the hump, instead of that of `resistance`.

    Returns
    -------
    WaterRun
        Each of shape (...).

    Raises
    ------
    ValueError
        Mass or speed not positive.

    Notes
    -----
    x = ∫ V dV/a, t = ∫ dV/a with a = g (T/W − R/W) [mechanics; the shape of R: Diehl, NACA-TN-643]. Where the
    thrust does not exceed the resistance anywhere before getaway the airplane stays on the water.
    """
    lines = resistance or WaterResistance()
    kilograms, speed = np.asarray(mass, dtype=np.float64), np.asarray(getaway_speed, dtype=np.float64)
    if np.any(kilograms <= 0.0) or np.any(speed <= 0.0):
        raise ValueError("mass and getaway speed must be positive")
    share = np.linspace(0.0, 1.0, NODES + 1)
    drag = lines.at(share)
    if hump is not None:
        height = np.asarray(hump, dtype=np.float64)[..., None]
        rising = height * share / lines.hump_speed
        falling = height + (lines.getaway - height) * (share - lines.hump_speed) / (1.0 - lines.hump_speed)
        drag = np.where(share <= lines.hump_speed, rising, falling)
    pull = np.asarray(thrust, dtype=np.float64) / (kilograms[..., None] * GRAVITY)
    spare = pull - drag
    with np.errstate(divide="ignore"):
        margin = np.min(np.where(drag > 0.0, pull / np.where(drag > 0.0, drag, 1.0), np.inf), axis=-1)
    stuck = np.any(spare <= 0.0, axis=-1)
    slow = np.where(spare > 0.0, 1.0 / (GRAVITY * np.where(spare > 0.0, spare, 1.0)), 0.0)
    speeds = speed[..., None] * share
    distance = np.trapezoid(speeds * slow, speeds, axis=-1)
    time = np.trapezoid(slow, speeds, axis=-1)
    return WaterRun(np.where(stuck, np.inf, distance), np.where(stuck, np.inf, time), np.asarray(margin))
