"""The room that a turn on the ground takes: circle of the farthest point, hangar door, pivot."""

from __future__ import annotations

import math
from dataclasses import dataclass

from wringout.airplane.airplane import Geometry, Undercarriage
from wringout.undercarriage.handling import turn_radius

DOOR_MARGIN = 0.5  # m kept free at each wing tip by those who push (common practice, no source)


@dataclass(frozen=True, slots=True)
class SweptCircle:
    """The tightest turn: `radius` [m] of the main axle's middle, `reach` [m] of the farthest point.

    `farthest` is that point's name; `points` are all of them by name, each with its own radius about the
    turn's centre [m].
    """

    radius: float
    reach: float
    farthest: str
    points: tuple[tuple[str, float], ...]

    @property
    def diameter(self) -> float:
        """Of the circle that must be free [m]."""
        return 2.0 * self.reach


def extremes(geometry: Geometry) -> tuple[tuple[str, float, float], ...]:
    """The airplane's outermost points on one side: name, arm [m], distance from the centre line [m].

    Wing tips at both ends of the mean chord, as far as the chord is described; nose, tail end and tailplane
    tip where they are.
    """
    half = 0.5 * geometry.span
    found: list[tuple[str, float, float]] = []
    if geometry.mean_chord is not None and geometry.mean_chord_leading_edge is not None:
        front = geometry.mean_chord_leading_edge
        found += [("wing tip", front, half), ("wing tip", front + geometry.mean_chord, half)]
    if geometry.nose_arm is not None:
        found.append(("nose", geometry.nose_arm, 0.0))
        if geometry.length is not None:
            tail = geometry.nose_arm + geometry.length
            found.append(("tail", tail, 0.5 * (geometry.tail_span or 0.0)))
    return tuple(found)


def swept_circle(gear: Undercarriage, geometry: Geometry, castor: float | None = None) -> SweptCircle:
    """The circle that the tightest turn sweeps, wing tips, nose and tail included.

    Parameters
    ----------
    gear : Undercarriage
    geometry : Geometry
    castor : float, optional
        Castor angle [rad], otherwise as in `turn_radius`.

    Returns
    -------
    SweptCircle

    Notes
    -----
    [derived] The turn's centre lies on the main axle's line, R from its middle; a point at arm x, y off the
    centre line on the outer side, runs on √((R + y)² + (x − x_main)²). Without a described chord the wing
    tip is taken on that line.
    """
    radius = turn_radius(gear, castor)
    points: dict[str, float] = {"wing tip": radius + 0.5 * geometry.span}
    for name, arm, out in extremes(geometry):
        points[name] = max(points.get(name, 0.0), math.hypot(radius + out, arm - gear.main_arm))
    farthest = max(points, key=lambda name: points[name])
    return SweptCircle(radius, points[farthest], farthest, tuple(points.items()))


def door_width(geometry: Geometry, margin: float = DOOR_MARGIN) -> float:
    """Width of a hangar door [m] that the wing passes straight with a margin [m] at each tip [derived]."""
    if margin < 0.0:
        raise ValueError("a margin is not negative")
    return geometry.span + 2.0 * margin
