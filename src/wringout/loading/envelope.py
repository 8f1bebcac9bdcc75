"""How far a mass and CG lie from the edges of the envelope, whatever its shape."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from wringout.airplane.airplane import Envelope

FloatArray = NDArray[np.float64]

# Rounding of sums of masses and moments: a milligram and a nanometre, no kindness to a bad loading.
MASS_ROUNDING = 1e-6
ARM_ROUNDING = 1e-9


@dataclass(frozen=True, slots=True)
class Margins:
    """Signed distances to the envelope, positive inside; every array has the shape of mass and CG together.

    `forward` and `aft` [m] run along CG at that mass, to `forward_limit` and `aft_limit` [m]; where the mass
    lies above or below the whole polygon, to its limits at the nearest mass that it has. `above` and `below`
    [kg] run along mass at that CG to the polygon's edge, NaN where the CG allows no mass at all. `maximum`
    [kg] is what is left to the highest mass allowed, `minimum` [kg] to the lowest.
    """

    forward_limit: FloatArray
    aft_limit: FloatArray
    forward: FloatArray
    aft: FloatArray
    above: FloatArray
    below: FloatArray
    maximum: FloatArray
    minimum: FloatArray

    @property
    def inside(self) -> NDArray[np.bool_]:
        """Whether mass and CG are allowed; the edge itself is."""
        cg = (self.forward >= -ARM_ROUNDING) & (self.aft >= -ARM_ROUNDING)
        mass = (self.maximum >= -MASS_ROUNDING) & (self.minimum >= -MASS_ROUNDING)
        return cg & mass


def margins(envelope: Envelope, mass: ArrayLike, cg: ArrayLike, maximum_mass: float | None = None) -> Margins:
    """Distances of a mass and CG to the edges of an envelope.

    Parameters
    ----------
    envelope : Envelope
        Polygon of (CG [m], mass [kg]), convex or not, in either direction, closed by itself.
    mass, cg : array_like, broadcastable
        [kg] and [m]. NaN gives NaN.
    maximum_mass : float, optional
        Highest mass allowed in this state [kg]; it may lie above the polygon, as at the ramp, and the CG
        limits are then those of the polygon's top. Left out, the lower of the polygon's top and the
        take-off limit.

    Returns
    -------
    Margins

    Raises
    ------
    ValueError
        The polygon has fewer than three corners or no area.

    Notes
    -----
    The polygon is cut along the line of constant mass (or CG); of the pieces inside it the one that holds the
    point, or else the nearest, bounds it. An edge that lies on the line is met from either side.
    """
    corners = np.asarray(envelope.vertices, dtype=np.float64)
    if corners.ndim != 2 or len(corners) < 3 or np.any(np.ptp(corners, axis=0) <= 0.0):
        raise ValueError(f"envelope '{envelope.name}' needs three corners or more that span CG and mass")
    masses, cgs = np.broadcast_arrays(np.asarray(mass, dtype=np.float64), np.asarray(cg, dtype=np.float64))
    bottom, top = corners[:, 1].min(), corners[:, 1].max()
    front, back = corners[:, 0].min(), corners[:, 0].max()
    highest = min(top, envelope.maximum_takeoff_mass) if maximum_mass is None else maximum_mass
    forward_limit, aft_limit = _section(corners, np.clip(masses, bottom, top), cgs)
    rounded = np.where(
        (cgs > front - ARM_ROUNDING) & (cgs < back + ARM_ROUNDING), np.clip(cgs, front, back), cgs
    )
    lowest_here, highest_here = _section(corners[:, ::-1], rounded, masses)
    unknown = np.isnan(masses + cgs)
    return Margins(
        np.where(unknown, np.nan, forward_limit),
        np.where(unknown, np.nan, aft_limit),
        cgs - forward_limit,
        aft_limit - cgs,
        highest_here - masses,
        masses - lowest_here,
        highest - masses,
        masses - bottom,
    )


def _section(corners: FloatArray, level: FloatArray, at: FloatArray) -> tuple[FloatArray, FloatArray]:
    """Ends of the polygon's piece at `level` of the second coordinate that holds, or is nearest to, `at`."""
    u1, v1 = corners[:, 0], corners[:, 1]
    u2, v2 = np.roll(u1, -1), np.roll(v1, -1)
    low, high = np.minimum(v1, v2), np.maximum(v1, v2)
    rise = np.where(v2 == v1, 1.0, v2 - v1)
    line = level[..., np.newaxis]
    crossing = u1 + (line - v1) / rise * (u2 - u1)
    from_below = np.sort(np.where((low < line) & (line <= high), crossing, np.nan), axis=-1)
    from_above = np.sort(np.where((low <= line) & (line < high), crossing, np.nan), axis=-1)
    even = len(corners) // 2 * 2
    starts = np.concatenate((from_below[..., 0:even:2], from_above[..., 0:even:2]), axis=-1)
    ends = np.concatenate((from_below[..., 1:even:2], from_above[..., 1:even:2]), axis=-1)
    point = at[..., np.newaxis]
    outside = np.maximum(np.maximum(starts - point, point - ends), 0.0)
    # Of two pieces as near, the wider; NaN pieces last.
    order = np.lexsort((starts - ends, np.nan_to_num(outside, nan=np.inf)), axis=-1)
    best = order[..., :1]
    return np.take_along_axis(starts, best, -1)[..., 0], np.take_along_axis(ends, best, -1)[..., 0]
