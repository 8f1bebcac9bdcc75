"""Published factors on take-off and landing distances: surface, slope, tail wind, and the margin on top."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Literal

import numpy as np

from wringout.model.surfaces import table_name
from wringout.physics.arrays import Array, Real
from wringout.problems import InputError, Problem

Movement = Literal["take-off", "landing"]


@dataclass(frozen=True, slots=True)
class PublishedFactors:
    """One publication's factors on a distance over 15 m from a dry, hard, level runway in still air.

    `surfaces` hold those of take-off and landing; `per_slope` is what 1 % up (take-off) or down (landing)
    adds, `per_tail_wind` what a tail wind of a tenth of the lift-off or touchdown speed adds; `margin` that
    of take-off and landing over all.
    """

    name: str
    source: str
    surfaces: Mapping[str, tuple[float, float]]
    per_slope: float
    per_tail_wind: float
    margin: tuple[float, float]


LEAFLET_7C = PublishedFactors(
    "leaflet",
    "SSL7",
    MappingProxyType(
        {
            "dry concrete": (1.0, 1.0),
            "dry grass": (1.20, 1.15),
            "hard turf": (1.20, 1.15),
            "wet grass": (1.30, 1.35),
            "soft turf": (1.25, 1.25),  # 'or more'
            "snow": (1.25, 1.25),  # 'or more'
        }
    ),
    per_slope=0.05,
    per_tail_wind=0.20,
    margin=(1.33, 1.43),
)
CLASS_B = PublishedFactors(
    "class B",
    "CAP698",
    MappingProxyType(
        {
            "dry concrete": (1.0, 1.0),
            "wet concrete": (1.0, 1.15),
            "dry grass": (1.20, 1.15),
            "hard turf": (1.20, 1.15),
            "wet grass": (1.30, 1.15 * 1.15),
        }
    ),
    per_slope=0.05,
    per_tail_wind=0.0,
    margin=(1.15, 1.43),
)
PUBLISHED: Mapping[str, PublishedFactors] = MappingProxyType(
    {item.name: item for item in (LEAFLET_7C, CLASS_B)}
)


def condition_factor(
    published: PublishedFactors,
    movement: Movement,
    surface: str,
    slope: float = 0.0,
    tail_wind: Real = 0.0,
) -> Array:
    """Product of the factors for surface, slope and tail wind, the margin left out.

    Parameters
    ----------
    published : PublishedFactors
    movement : 'take-off' or 'landing'
    surface : str
        By its name or a common one for it.
    slope : float
        Rise over run in the direction of the run.
    tail_wind : float or array
        Over the lift-off or touchdown speed; head wind (negative) earns nothing.

    Raises
    ------
    InputError
        The publication has no factor for this surface.

    Examples
    --------
    A take-off from wet grass, 2 % uphill, the tail wind a tenth of the lift-off speed:

    >>> print(f"{condition_factor(LEAFLET_7C, 'take-off', 'wet grass', 0.02, 0.1):.3f}")
    1.716
    """
    known = published.surfaces.get(table_name(surface))
    if known is None:
        raise InputError(
            Problem(
                f"the {published.name} factors have none for {surface}",
                f"use physics, or one of {', '.join(published.surfaces)}",
            )
        )
    off = movement == "take-off"
    against = max(slope if off else -slope, 0.0)
    steep = 1.0 + published.per_slope * 100.0 * against
    behind = 1.0 + published.per_tail_wind * np.maximum(tail_wind, 0.0) / 0.1
    return np.asarray(known[0 if off else 1] * steep * behind)
