"""How strictly a strip is judged: margins, shares of the wind, limits of wind; published or the user's."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from wringout.dossier.dossier import Strip
from wringout.missions.field import LANDING_FACTOR, TAKE_OFF_FACTOR
from wringout.missions.leaflet import PUBLISHED
from wringout.physics.constants import KNOT, OBSTACLE_HEIGHT
from wringout.problems import InputError, Problem

FloatArray = NDArray[np.float64]
Method = Literal["physics", "leaflet", "class B"]
Movement = Literal["take-off", "landing"]

SURE = 0.9  # probability from which an hour counts as usable
CROSS_WIND_SHARE = 0.2  # of V_S0: the cross wind that certification wants shown [CFR23 23.233]


@dataclass(frozen=True, slots=True)
class Practice:
    """What is asked of a strip.

    Attributes
    ----------
    method : physics reckons slope, surface and wind; a published set of factors puts them on the distance
        from a dry, hard, level runway in still air
    take_off_factor, landing_factor : margins on the distances [SSL7, from memory]
    head_wind_share, tail_wind_share : how much of the wind counts along the strip [AIC67]
    cross_wind : the most that is accepted [m/s]; None a fifth of V_S0
    tail_wind : the most that is accepted [m/s] (common practice, no source)
    sure : probability that landing and take-off are both long enough, from which an hour is usable
    """

    method: Method = "physics"
    take_off_factor: float = TAKE_OFF_FACTOR
    landing_factor: float = LANDING_FACTOR
    head_wind_share: float = 0.5
    tail_wind_share: float = 1.5
    cross_wind: float | None = None
    tail_wind: float = 10.0 * KNOT
    sure: float = SURE

    def __post_init__(self) -> None:
        """Refuse what would make a strip longer than it is."""
        problems = [
            Problem(f"a safety factor is one or more, found {value:g}", "write it like 1.33", field=name)
            for name, value in (
                ("take_off_factor", self.take_off_factor),
                ("landing_factor", self.landing_factor),
            )
            if not 1.0 <= value <= 10.0
        ]
        if not 0.0 <= self.head_wind_share <= 1.0 <= self.tail_wind_share:
            what = "at most all of the head wind and at least all of the tail wind count"
            problems.append(Problem(what, "write shares like 0.5 and 1.5"))
        problems += [
            Problem("a limit of wind is not negative", "write it like 12 kt", field=name)
            for name, limit in (("cross_wind", self.cross_wind), ("tail_wind", self.tail_wind))
            if limit is not None and not limit >= 0.0
        ]
        if self.method != "physics" and self.method not in PUBLISHED:
            known = ", ".join(("physics", *PUBLISHED))
            problems.append(Problem(f"there is no method '{self.method}'", f"use one of {known}"))
        if problems:
            raise InputError(*problems)

    def counted(self, head_wind: FloatArray) -> FloatArray:
        """Head wind as it counts along the strip [m/s]; nothing of it with published factors."""
        if self.method != "physics":
            return np.zeros_like(head_wind)
        return np.asarray(np.where(head_wind > 0.0, self.head_wind_share, self.tail_wind_share) * head_wind)


@dataclass(frozen=True, slots=True)
class Run:
    """One movement in one direction of a strip; slope [rise over run] and wind are along the run.

    `sign` is 1 along the strip's heading, −1 against it; `available` [m] is what counts of its length, and
    `obstacle` [m] the height to be cleared where the distance is measured over.
    """

    movement: Movement
    sign: float
    slope: float
    available: float
    obstacle: float


def runs_of(strip: Strip) -> tuple[Run, ...]:
    """What can be flown on a strip: landings and take-offs, in both directions or one each.

    An obstacle up to 15.24 m high is covered by the distance over 15.24 m; above a higher one the distance is
    reckoned over its height. A landing counts from the displaced threshold.
    """
    found = []
    uphill = 1.0 if strip.slope >= 0.0 else -1.0
    for sign in (1.0, -1.0):
        ahead, behind = strip.obstacle_far, strip.obstacle_near
        beyond = strip.displaced_near
        if sign < 0.0:
            ahead, behind, beyond = behind, ahead, strip.displaced_far
        if not (strip.one_way and sign == uphill):
            found.append(Run("take-off", sign, sign * strip.slope, strip.length, max(ahead, OBSTACLE_HEIGHT)))
        if not (strip.one_way and sign != uphill):
            found.append(
                Run("landing", sign, sign * strip.slope, strip.length - beyond, max(behind, OBSTACLE_HEIGHT))
            )
    return tuple(found)
