"""The envelope as moments against mass: edges that are straight in CG are curved here, and cut by lines."""

from dataclasses import dataclass
from itertools import pairwise
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from wringout.airplane.airplane import Envelope
from wringout.loading.envelope import MASS_ROUNDING

FloatArray = NDArray[np.float64]

_ROUNDING = 2.0 * MASS_ROUNDING  # masses are sums, and those of a limit are tested elsewhere


@dataclass(frozen=True, slots=True)
class Edge:
    """One side of a part of the envelope: CG = a + k·mass between masses, rising; arrays of one shape.

    Above the highest mass the CG stays that of the top, for a ramp limit above the polygon.
    """

    side: Literal["forward", "aft"]
    low: FloatArray
    high: FloatArray
    a: FloatArray
    k: FloatArray

    def moment(self, mass: FloatArray) -> FloatArray:
        """Limit of the moment [kg·m] at a mass [kg]: the wider where two edges meet, ±∞ below the lowest."""
        line = np.asarray(mass, dtype=np.float64)[..., np.newaxis]
        there = (line >= self.low - _ROUNDING) & (line <= self.high + _ROUNDING)
        moments = line * (self.a + self.k * line)
        if self.side == "aft":
            found = np.max(np.where(there, moments, -np.inf), axis=-1)
        else:
            found = np.min(np.where(there, moments, np.inf), axis=-1)
        return np.asarray(found)

    def slopes(self, mass: float, span: tuple[float, float]) -> tuple[float | None, float | None]:
        """Slopes [m] of the lines through the limit at `mass` that hold below it, and above it, in a span.

        Of the aft side the greatest slope that stays above the limit at every lower mass, and the least that
        stays above it at every higher one; of the forward side the reverse. None where the span does not
        reach to that side.
        """
        here = float(self.moment(np.array([mass]))[0])
        sign = 1.0 if self.side == "aft" else -1.0
        below: list[float] = []
        above: list[float] = []
        for low, high, a, k in zip(self.low, self.high, self.a, self.k, strict=True):
            start, end = max(low, span[0]), min(high, span[1])
            if start < mass:
                below += _secants(mass, here, (start, min(end, mass)), a, k)
            if end > mass:
                above += _secants(mass, here, (max(start, mass), end), a, k)
        under = sign * min(sign * slope for slope in below) if below else None
        over = sign * max(sign * slope for slope in above) if above else None
        return under, over


@dataclass(frozen=True, slots=True)
class Pieces:
    """A part of the envelope with one forward and one aft limit at every mass; `corners` are masses [kg]."""

    forward: Edge
    aft: Edge
    corners: FloatArray


def monotone_pieces(envelope: Envelope) -> tuple[Pieces, ...]:
    """The parts of an envelope through which a burn, mass falling, can run without leaving it.

    One where every mass has one range of CG; one for each way down from a horn's tip otherwise. ValueError
    where the polygon has no area.

    Notes
    -----
    The polygon is cut along the mass of every corner; between two cuts it is trapezoids, and a way down is a
    chain of trapezoids that touch.
    """
    corners = np.asarray(envelope.vertices, dtype=np.float64)
    levels = np.unique(corners[:, 1])
    slabs = [_trapezoids(corners, low, high) for low, high in pairwise(levels)]
    chains: list[list[_Trapezoid]] = []
    ends: list[list[_Trapezoid]] = []
    for slab in slabs:
        grown = [[*chain, item] for chain in ends for item in slab if chain[-1].touches(item)]
        held = {id(chain[-2]) for chain in grown}
        chains += [chain for chain in ends if id(chain[-1]) not in held]
        begun = {id(chain[-1]) for chain in grown}
        ends = grown + [[item] for item in slab if id(item) not in begun]
    chains += ends
    if not chains:
        raise ValueError(f"envelope '{envelope.name}' has no area")
    return tuple(_pieces(chain) for chain in chains)


@dataclass(frozen=True, slots=True)
class _Trapezoid:
    low: float
    high: float
    forward: tuple[float, float]  # CG at low and at high mass
    aft: tuple[float, float]

    def touches(self, upper: "_Trapezoid") -> bool:
        """Whether the trapezoid above begins where this one ends."""
        return max(self.forward[1], upper.forward[0]) <= min(self.aft[1], upper.aft[0]) + 1e-12


def _trapezoids(corners: FloatArray, low: float, high: float) -> list[_Trapezoid]:
    crossing = []
    for (cg1, mass1), (cg2, mass2) in zip(corners, np.roll(corners, -1, axis=0), strict=True):
        if min(mass1, mass2) <= low and max(mass1, mass2) >= high and mass1 != mass2:
            at = [cg1 + (mass - mass1) / (mass2 - mass1) * (cg2 - cg1) for mass in (low, high)]
            crossing.append((float(at[0]), float(at[1])))
    crossing.sort(key=lambda ends: ends[0] + ends[1])
    return [
        _Trapezoid(float(low), float(high), forward, aft)
        for forward, aft in zip(crossing[::2], crossing[1::2], strict=True)
        if forward != aft
    ]


def _pieces(chain: list[_Trapezoid]) -> Pieces:
    low, high = (np.array([getattr(item, end) for item in chain]) for end in ("low", "high"))
    top = chain[-1]

    def edge(side: Literal["forward", "aft"]) -> Edge:
        ends = np.array([getattr(item, side) for item in chain])
        k = (ends[:, 1] - ends[:, 0]) / (high - low)
        return Edge(
            side,
            np.append(low, top.high),
            np.append(high, np.inf),
            np.append(ends[:, 0] - k * low, getattr(top, side)[1]),
            np.append(k, 0.0),
        )

    return Pieces(edge("forward"), edge("aft"), np.unique(np.concatenate((low, high))))


def _secants(mass: float, here: float, span: tuple[float, float], a: float, k: float) -> list[float]:
    """Slopes from (mass, here) to the curve a·m + k·m²: at the ends of a span and where they turn."""
    start, end = span
    if end < start:
        return []
    at = [point for point in (start, end) if np.isfinite(point)]
    step = k * mass**2 + a * mass - here
    if abs(step) < 1e-6 * max(abs(here), 1.0):  # the curve runs through the point: secants are a + k (m + m*)
        return [float(a + k * (point + mass)) for point in at]
    if k != 0.0 and step / k > 0.0:
        turn = (step / k) ** 0.5
        at += [mass + side * turn for side in (-1.0, 1.0) if start < mass + side * turn < end]
    slopes = [float((a * m + k * m**2 - here) / (m - mass)) for m in at if abs(m - mass) > 1e-9]
    return [*slopes, float(a)] if not np.isfinite(end) else slopes  # towards ever higher masses, k = 0
