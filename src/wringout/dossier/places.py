"""How far and in which direction one strip lies from another."""

from __future__ import annotations

import math

from wringout.dossier.dossier import Strip


def placed(strip: Strip) -> bool:
    """Whether a strip says where it lies."""
    return strip.latitude is not None and strip.longitude is not None


def distance_and_track(one: Strip, other: Strip) -> tuple[float, float]:
    """Distance [m] on the geodesic from one strip to another, and the true track at its middle [rad].

    WGS 84 [Karney2013, by geographiclib]. ValueError where one of them does not say where it lies.
    """
    from geographiclib.geodesic import Geodesic

    places = (one.latitude, one.longitude, other.latitude, other.longitude)
    if any(value is None for value in places):
        raise ValueError(f"where {one.name} or {other.name} lies is not known")
    line = Geodesic.WGS84.InverseLine(*(math.degrees(value or 0.0) for value in places))
    middle = line.Position(0.5 * line.s13)
    return float(line.s13), math.radians(middle["azi2"]) % (2.0 * math.pi)
