"""The most fuel with which given loads all go: the inverse of what goes with given fuel."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from typing import TypeVar

from wringout.airplane.airplane import Airplane
from wringout.dossier.dossier import Load
from wringout.loading.burn_limits import BurnLimits
from wringout.loading.fuel import fuel_in_tanks
from wringout.loading.stowage_program import solve
from wringout.loading.stowage_rows import StowageProblem, Wish

T = TypeVar("T")

_STEPS = 12  # levels of fuel tried before the last is narrowed
_HALVINGS = 9


def most_fuel(
    airplane: Airplane, configuration: str, loads: Sequence[Load], taxi_fuel: float = 0.0
) -> float | None:
    """The most usable fuel at start-up [m³] with which all of the loads go; None where they go with none.

    `taxi_fuel` [m³] is burnt before take-off. As in `most_that`, so that an island of fuels narrower than a
    twelfth of the tanks may be missed where the CG rather than the mass binds. InputError as `stow`.
    """
    goal = tuple(Wish(load, load.count, load.count) for load in loads)

    def goes(volume: float) -> bool | None:
        limits = BurnLimits.of(airplane, configuration, fuel_in_tanks(airplane.tanks, volume), taxi_fuel)
        problem = StowageProblem(limits, goal)
        return True if solve(problem, [0.0] * len(problem.columns)) else None

    found = most_that(goes, taxi_fuel, math.fsum(tank.usable for tank in airplane.tanks))
    return None if found is None else found[0]


def most_that(answer: Callable[[float], T | None], low: float, high: float) -> tuple[float, T] | None:
    """The greatest of the values from low to high that has an answer, with it; None where none was found.

    The top, then a dozen levels down are tried, and the first that has an answer is narrowed by halving.
    """
    top = answer(high)
    if top is not None:
        return high, top
    bad, good = high, None
    for step in range(1, _STEPS + 1):
        value = high + (low - high) * step / _STEPS
        found = answer(value)
        if found is not None:
            good = (value, found)
            break
        bad = value
    if good is None:
        return None
    for _ in range(_HALVINGS):
        middle = 0.5 * (good[0] + bad)
        found = answer(middle)
        if found is None:
            bad = middle
        else:
            good = (middle, found)
    return good
