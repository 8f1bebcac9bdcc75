"""SI values → positions on paper: an axis in the reader's unit, with the other system's unit beside it."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from itertools import pairwise
from math import ceil, floor, log10
from typing import Any

import numpy as np
from numpy.typing import ArrayLike, NDArray

from wringout.quantity.units import convert, to_si

FloatArray = NDArray[np.float64]

# The unit of the other system that stands on the second scale of an axis.
COMPANIONS = {
    "kt": "km/h",
    "km/h": "kt",
    "mph": "km/h",
    "m/s": "ft/min",
    "ft/min": "m/s",
    "m": "ft",
    "ft": "m",
    "km": "nm",
    "nm": "km",
    "sm": "km",
    "kg": "lb",
    "lb": "kg",
    "mm": "in",
    "in": "mm",
    "L": "US gal",
    "US gal": "L",
    "kW": "hp",
    "hp": "kW",
    "°C": "°F",
    "°F": "°C",
}


@dataclass(frozen=True, slots=True)
class Scale:
    """An axis in `unit` from `low` to `high` (in that unit), `extent` long on paper; `ticks` in that unit."""

    title: str
    unit: str
    low: float
    high: float
    ticks: tuple[float, ...]
    extent: float
    companion: str | None = None

    def shown(self, values: ArrayLike) -> FloatArray:
        """SI `values` in this axis's unit."""
        array = np.asarray(values, dtype=np.float64)
        return convert(array, self.unit) if self.unit else array

    def along(self, shown: ArrayLike) -> FloatArray:
        """Length on paper from the low end to `shown` (in this axis's unit)."""
        array = np.asarray(shown, dtype=np.float64)
        return (array - self.low) * (self.extent / (self.high - self.low))

    def at(self, along: ArrayLike) -> FloatArray:
        """Value in this axis's unit at a length on paper from the low end."""
        array = np.asarray(along, dtype=np.float64)
        return self.low + array * ((self.high - self.low) / self.extent)

    def second(self) -> Scale | None:
        """The same length of paper in the companion unit, with round ticks of its own."""
        if self.companion is None:
            return None
        ends = [_between(end, self.unit, self.companion) for end in (self.low, self.high)]
        return Scale(
            "", self.companion, ends[0], ends[1], round_ticks(ends[0], ends[1], len(self.ticks)), self.extent
        )


def scale(
    title: str,
    unit: str,
    values: Iterable[ArrayLike],
    extent: float,
    *,
    from_zero: bool = False,
    room: float = 0.06,
    tight: bool = False,
    ticks: int = 5,
    companion: bool = True,
) -> Scale:
    """An axis that holds every finite one of the SI `values`, its ends at round numbers of `unit`.

    Parameters
    ----------
    title : str
        What stands on the axis, without unit.
    unit : str
        Display unit; the empty string for a plain ratio.
    values : iterable of array_like
        All that is to be seen. [SI]
    extent : float
        Length on paper.
    from_zero : bool
        Whether the axis starts at zero.
    room : float
        Free room at both ends as a fraction of the span.
    tight : bool
        Whether the axis ends where the values do instead of at round numbers.
    ticks : int
        About how many ticks.
    companion : bool
        Whether the other system's unit is shown too, where there is one.

    Raises
    ------
    ValueError
        None of `values` is finite.
    """
    everything = np.concatenate(
        [np.ravel(np.asarray(part, dtype=np.float64)) for part in values] or [np.empty(0)]
    )
    finite = everything[np.isfinite(everything)]
    if finite.size == 0:
        raise ValueError(f"nothing to show on the axis '{title}'")
    shown = convert(finite, unit) if unit else finite
    low, high = float(shown.min()), float(shown.max())
    if high - low <= 1e-9 * max(
        abs(low), abs(high), 1e-9
    ):  # one value: room about it, or nothing could be ruled
        spare = max(room, 0.05) * (abs(high) if abs(high) > 1e-9 else 1.0)
    else:
        spare = room * (high - low)
    low, high = (min(low, 0.0) if from_zero else low - spare), high + spare
    if not tight:
        step = round_step(low, high, ticks)
        low, high = floor(low / step + 1e-9) * step, ceil(high / step - 1e-9) * step
    return Scale(
        title,
        unit,
        low,
        high,
        round_ticks(low, high, ticks),
        extent,
        COMPANIONS.get(unit) if companion else None,
    )


def round_step(low: float, high: float, count: int) -> float:
    """The step of 1, 2 or 5 times a power of ten that divides `low`…`high` into about `count` parts."""
    rough = (high - low) / max(count, 1)
    power = 10.0 ** floor(log10(rough))
    return next((factor * power for factor in (1, 2, 5) if rough <= factor * power * 1.2), 10 * power)


def round_ticks(low: float, high: float, count: int) -> tuple[float, ...]:
    """Multiples of a round step from `low` to `high`, ends included."""
    step = round_step(low, high, count)
    first, last = ceil(low / step - 1e-9), floor(high / step + 1e-9)
    digits = max(0, 1 - floor(log10(step)))
    return tuple(round(index * step, digits) for index in range(first, last + 1))


def _between(value: float, unit: str, other: str) -> float:
    return convert(to_si(value, unit), other)


def tick_text(ticks: tuple[float, ...]) -> dict[str, Any]:
    """Axis properties that write these ticks: thousands grouped by a narrow space, a true minus sign."""
    step = min((b - a for a, b in pairwise(ticks)), default=1.0)
    digits = max(0, -floor(log10(step) + 1e-9))
    return {
        "values": list(ticks),
        "labelExpr": f"replace(format(datum.value, ',.{digits}f'), regexp(',', 'g'), '\u202f')",
    }
