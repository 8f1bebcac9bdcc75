"""Tyres and skis on ground that gives: contact pressure, sinkage, and what it costs to roll."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Literal

from wringout.physics.constants import GRAVITY

_WONG = "Wong, Theory of Ground Vehicles, table 2.3, quoted second-hand"


@dataclass(frozen=True, slots=True)
class Soil:
    """Ground whose pressure at a sinkage z under a plate of width b is (k_c/b + k_φ) zⁿ [Bekker].

    `cohesive` k_c in N/m^(n+1), `frictional` k_φ in N/m^(n+2).
    """

    name: str
    cohesive: float
    frictional: float
    exponent: float
    source: str

    def stiffness(self, width: float) -> float:
        """k_c/b + k_φ for a width [m]."""
        return self.cohesive / width + self.frictional


SOILS: Mapping[str, Soil] = MappingProxyType(
    {
        soil.name: soil
        for soil in (
            Soil("dry sand", 0.99e3, 1528.43e3, 1.1, _WONG),
            Soil("sandy loam, moist", 5.27e3, 1515.04e3, 0.7, _WONG),
            Soil("sandy loam, firm", 52.53e3, 1127.97e3, 0.9, _WONG),
            Soil("clayey soil, wet", 13.19e3, 692.15e3, 0.5, _WONG),
            Soil("snow", 4.37e3, 196.72e3, 1.6, _WONG),
        )
    }
)

# Gauge pressures that a surface bears [Pa] [Raymer, table 11.3, quoted second-hand].
_PSI = 6894.757293168361
BEARABLE: Mapping[str, tuple[float, float]] = MappingProxyType(
    {
        "good tarmac": (70.0 * _PSI, 90.0 * _PSI),
        "poor tarmac": (50.0 * _PSI, 70.0 * _PSI),
        "dry grass, hard soil": (45.0 * _PSI, 60.0 * _PSI),
        "hard sand": (40.0 * _PSI, 60.0 * _PSI),
        "wet grass, soft soil": (30.0 * _PSI, 45.0 * _PSI),
        "soft sand": (25.0 * _PSI, 35.0 * _PSI),
    }
)


@dataclass(frozen=True, slots=True)
class Rolling:
    """A wheel rolling in soft ground: `sinkage` [m], `resistance` over its load, how the tyre stands."""

    sinkage: float
    resistance: float
    tyre: Literal["flattened", "round"]


def contact_area(load: float, pressure: float) -> float:
    """Area [m²] on which a tyre of a gauge pressure [Pa] carries a load [N]: N/p, its carcass limp.

    ValueError where load or pressure is not positive.
    """
    if load <= 0.0 or pressure <= 0.0:
        raise ValueError("a tyre's load and pressure must be positive")
    return load / pressure


def tyre_area(width: float, diameter: float, rolling_radius: float) -> float:
    """Contact area [m²] from a tyre's size: 2.3 √(w d)(d/2 − r) [Raymer, ch. 11, quoted second-hand].

    Width, unloaded diameter and radius under load [m]. ValueError where the tyre is not pressed.
    """
    if not 0.0 < rolling_radius < 0.5 * diameter:
        raise ValueError("the radius under load lies between nothing and half the diameter")
    return 2.3 * math.sqrt(width * diameter) * (0.5 * diameter - rolling_radius)


def bearing_ratio(pressure: float) -> float:
    """California bearing ratio [%] that the top of the ground needs under a contact pressure [Pa].

    CBR = π p/8.1 with p in psi, where the thickness that flexible pavement must add is nothing [Corps of
    Engineers' method, from memory]. An order of magnitude for light wheels.
    """
    if pressure <= 0.0:
        raise ValueError("the pressure must be positive")
    return math.pi * pressure / _PSI / 8.1


def rolling_in(soil: Soil, load: float, width: float, diameter: float, pressure: float) -> Rolling:
    """How deep a wheel sinks and what rolling it costs.

    Parameters
    ----------
    soil : Soil
    load : float
        On the wheel [N].
    width, diameter : float
        Of its tyre [m].
    pressure : float
        Gauge, in the tyre [Pa].

    Returns
    -------
    Rolling

    Raises
    ------
    ValueError
        A figure that is not positive.

    Notes
    -----
    [Bekker's pressure and compaction resistance, from memory] With k = k_c/b + k_φ the rim of a round wheel,
    sunk by z, carries b k ∫ (z − x²/D)ⁿ dx = b k √D Iₙ z^(n + ½) with Iₙ = √π Γ(n + 1)/(2 Γ(n + 3/2))
    [derived; (3 − n)/3 is the usual short form]. Where the ground would then press harder than the tyre's own
    pressure the tyre flattens, and sinks to (p/k)^(1/n) only. The rut takes the work b k z^(n + 1)/(n + 1) a
    metre. The rut is as wide as the tyre; drag of the soil pushed ahead is not in it.

    Examples
    --------
    >>> big = rolling_in(SOILS["dry sand"], 4900.0, 0.28, 0.74, 90e3)
    >>> small = rolling_in(SOILS["dry sand"], 4900.0, 0.20, 0.44, 210e3)
    >>> print(f"{big.resistance:.2f} {big.tyre}, {small.resistance:.2f} {small.tyre}")
    0.19 flattened, 0.40 round
    """
    if min(load, width, diameter, pressure) <= 0.0:
        raise ValueError("load, width, diameter and pressure of a wheel must be positive")
    n, k = soil.exponent, soil.stiffness(width)
    arc = 0.5 * math.sqrt(math.pi) * math.gamma(n + 1.0) / math.gamma(n + 1.5)
    round_sinkage = (load / (arc * width * k * math.sqrt(diameter))) ** (2.0 / (2.0 * n + 1.0))
    flat = pressure < k * round_sinkage**n
    sinkage = (pressure / k) ** (1.0 / n) if flat else round_sinkage
    resistance = width * k * sinkage ** (n + 1.0) / (n + 1.0)
    return Rolling(sinkage, resistance / load, "flattened" if flat else "round")


def ski_sinkage(soil: Soil, mass: float, area: float, width: float) -> float:
    """How deep skis of a bearing area [m²] sink under a mass [kg]: (p/k)^(1/n), p = m g/A [Bekker].

    Width of one ski [m]. ValueError where a figure is not positive.
    """
    if min(mass, area, width) <= 0.0:
        raise ValueError("mass, area and width of skis must be positive")
    return float((mass * GRAVITY / area / soil.stiffness(width)) ** (1.0 / soil.exponent))
