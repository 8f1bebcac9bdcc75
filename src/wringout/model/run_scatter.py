"""How much single runs scatter about a pilot's typical one, and pilots about an average one."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from wringout.model import scatter
from wringout.model.field import (
    LANDING_SCATTER,
    TAKE_OFF_SCATTER,
    fly_landing,
    fly_take_off,
    of_the_day,
    of_the_pilot,
)
from wringout.model.fit import Fit
from wringout.model.ready import Ready

FloatArray = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class RunScatter:
    """Standard deviations of the logarithm of a length at the median airplane, shape (n,).

    `run` of single runs about one pilot's typical one, the day's share included; `pilot` of pilots' typical
    runs about an average pilot's.
    """

    run: FloatArray
    pilot: FloatArray


def run_scatter(ready: Ready, fit: Fit) -> RunScatter:
    """Scatter of single runs and of pilots, by first differences; infinite where it cannot be done."""
    quantity = ready.asked[0].question.quantity
    medians = {name: np.median(column, axis=0, keepdims=True) for name, column in ready.theta.items()}
    off = quantity.startswith("take-off")
    sizes = TAKE_OFF_SCATTER if off else LANDING_SCATTER
    habits = [kind for kind in sizes if kind in scatter.BETWEEN_PILOTS]
    kinds = [*sizes, *map(of_the_day, habits), *map(of_the_pilot, habits)]
    count = len(kinds)
    steps = np.concatenate([np.eye(count), -np.eye(count), np.zeros((1, count))])
    deviations = {kind: steps[:, [column]] for column, kind in enumerate(kinds)}
    if off:
        went = fly_take_off(ready.airplane, medians, ready.cases, deviations)
        roll, air = went.ground_roll, went.air_distance
        missed = (scatter.GROUND_ROLL, scatter.TAKE_OFF_AIR_DISTANCE)
    else:
        _, came = fly_landing(ready.airplane, medians, ready.cases, deviations)
        roll, air = came.ground_roll, came.air_distance
        missed = (scatter.LANDING_ROLL, scatter.LANDING_AIR_DISTANCE)
    flown = air if quantity.endswith("distance") else 0.0 * np.nan_to_num(air, posinf=0.0)
    lengths = roll + flown
    scale = fit.scatter_scales.get("take-off" if off else "landing", 1.0)
    with np.errstate(invalid="ignore"):  # what cannot be done has no ratio
        moved = 0.5 * np.log(lengths[:count] / lengths[count : 2 * count])
        own = np.hypot(missed[0] * roll[-1], missed[1] * flown[-1]) / lengths[-1]
    varying = own * np.sqrt(1.0 - scatter.PERSISTENT**2)
    first = count - len(habits)
    run = scale * np.sqrt(np.sum(moved[:first] ** 2, axis=0) + varying**2)
    pilot = np.sqrt(np.sum(moved[first:] ** 2, axis=0))
    can = np.isfinite(lengths).all(axis=0)
    return RunScatter(np.where(can, run, np.inf), np.where(can, pilot, np.inf))
