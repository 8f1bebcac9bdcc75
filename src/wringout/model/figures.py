"""Every reduced point as figures that the model predicts, with the unmeasured deviations that figures share.

A figure is one number of a point: the ground roll of a take-off, the rate of a climb. What makes two figures
of one point (or one card) err together is a deviation: the mass of that day, the wind in that roll, the
lift-off speed the pilot happened to choose. Deviations are standard normal variables with a stated size; to
first order they add a low-rank part to the noise covariance, so that nothing is counted twice.
"""

from collections.abc import Callable, Hashable, Mapping
from dataclasses import dataclass
from math import isfinite, log, sqrt
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from wringout.model.vehicles import Theta
from wringout.quantity.estimate import Estimate
from wringout.reduction.points import Origin

FloatArray = NDArray[np.float64]
UNSTATED = 0.03  # relative sd of a figure that came without one (common practice, no source)
SAYS_NOTHING = 1e4
FAR = 1e9  # stands for the infinite distance of a take-off that cannot be made
Family = Literal["performance", "take-off", "landing"]
Deviations = Mapping[str, FloatArray | float]  # kind → size applied, in units of its sd; broadcasts to (k, n)


@dataclass(frozen=True, slots=True)
class Figure:
    """One measured number of one point.

    `log`: compared by logarithms. `discrepancy`: what the model itself may miss in one manoeuvre, standard
    deviation relative where `log`, in the figure's unit otherwise. `shared`: the part of the measurement's
    standard uncertainty that it has in common with other figures, in its unit; a deviation of the group
    carries that part.
    """

    origin: Origin
    what: str
    measured: Estimate
    log: bool
    discrepancy: float
    family: Family
    shared: float = 0.0

    @property
    def usable(self) -> bool:
        """Whether the measurement is finite, and positive where it is compared by logarithm."""
        value = self.measured.value
        return isfinite(value) and (value > 0.0 or not self.log)

    @property
    def compared(self) -> float:
        """The measured value in the space in which it is compared; any where it is not usable."""
        if not self.usable:
            return 0.0
        return log(self.measured.value) if self.log else self.measured.value

    @property
    def noise(self) -> float:
        """Its own standard uncertainty there, without what it shares; too wide to speak where not usable."""
        if not self.usable:
            return SAYS_NOTHING
        size = abs(self.measured.value)
        sd = UNSTATED * size if self.measured.sd is None else self.measured.sd
        own = sqrt(max(sd**2 - self.shared**2, 0.0))
        return own / size if self.log else own


@dataclass(frozen=True, slots=True)
class Deviation:
    """One kind of deviation of a group's points: who shares it, and whether it is the pilot's scatter."""

    kind: str
    shared_by: tuple[Hashable, ...]  # one key a point; equal keys share one deviation
    scatter: bool = False


@dataclass(frozen=True, slots=True)
class Group:
    """n points of one kind, each with m figures; `predict` gives (k, n, m) for k parameter vectors."""

    figures: tuple[tuple[Figure, ...], ...]  # by point
    deviations: tuple[Deviation, ...]
    predict: Callable[[Theta, Deviations], FloatArray]

    @property
    def flat(self) -> tuple[Figure, ...]:
        """All figures, point by point."""
        return tuple(figure for point in self.figures for figure in point)


def predicted(groups: tuple[Group, ...], theta: Theta) -> FloatArray:
    """All figures of all groups without deviations, in compared space, shape (k, N)."""
    return np.concatenate([_compared(group, group.predict(theta, {})) for group in groups], axis=1)


@dataclass(frozen=True, slots=True)
class Response:
    """How N figures answer L deviations at one parameter vector, in compared space.

    `loadings` (N, L): one standard deviation of each. `scatter` (L,): which are the pilot's. `bend` (N,):
    how much the mean of the figures lies off their value without deviations, to second order.
    """

    loadings: FloatArray
    scatter: NDArray[np.bool_]
    bend: FloatArray


def response(groups: tuple[Group, ...], theta: Theta) -> Response:
    """Loadings and bend by central differences of one sd; `theta` holds values of shape (1, 1)."""
    total = sum(len(group.flat) for group in groups)
    columns: dict[Hashable, FloatArray] = {}
    scatter: dict[Hashable, bool] = {}
    bends = []
    first = 0
    for group in groups:
        moved, bend = _moved(group, theta)
        bends.append(bend)
        width = len(group.figures[0])
        for deviation, effect in zip(group.deviations, moved, strict=True):
            for point, owner in enumerate(deviation.shared_by):
                key = (deviation.kind, owner)
                column = columns.setdefault(key, np.zeros(total))
                own = slice(point * width, (point + 1) * width)
                column[first + own.start : first + own.stop] += effect[own]
                scatter[key] = deviation.scatter
        first += len(group.flat)
    return Response(
        np.stack(list(columns.values()), axis=1),
        np.array([scatter[key] for key in columns]),
        np.concatenate(bends),
    )


def _moved(group: Group, theta: Theta) -> tuple[FloatArray, FloatArray]:
    """First differences (kinds, n·m) and summed second ones (n·m,) of the figures in the deviations."""
    kinds = [deviation.kind for deviation in group.deviations]
    count = len(kinds)
    steps = np.concatenate([np.eye(count), -np.eye(count), np.zeros((1, count))])
    applied = {kind: steps[:, [column]] for column, kind in enumerate(kinds)}
    figures = _compared(group, group.predict(theta, applied))
    up, down, still = figures[:count], figures[count : 2 * count], figures[-1]
    return 0.5 * (up - down), 0.5 * np.sum(up + down - 2.0 * still, axis=0)


def _compared(group: Group, natural: FloatArray) -> FloatArray:
    """Figures (k, n, m) in compared space as (k, n·m); what is impossible lies far away but is finite."""
    flat = natural.reshape(natural.shape[0], -1)
    log = np.array([figure.log for figure in group.flat], dtype=np.bool_)
    finite = np.clip(np.nan_to_num(flat, nan=FAR, posinf=FAR, neginf=-FAR), -FAR, FAR)
    return np.where(log, np.log(np.maximum(finite, 1.0 / FAR)), finite)
