"""What a second flown costs by its parts, at one set of assumptions or at many draws of them together."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from wringout.airplane.airplane import ExchangeKit
from wringout.dossier.costs import Costs
from wringout.ownership.annuity import annual_capital_cost, capital_recovery_factor
from wringout.ownership.assumptions import FUEL_FLOW, fitting_time
from wringout.quantity.units import to_si

FloatArray = NDArray[np.float64]
Values = Mapping[str, FloatArray]  # of assumptions by key, one shape or broadcastable

YEAR = to_si(1.0, "year")


@dataclass(frozen=True, slots=True)
class Parts:
    """A second flown by its parts, in the currency a second; arrays of one shape.

    `fixed`, `capital` and `exchange` are yearly amounts spread over the year's flying; `running`, `reserves`
    and `fuel` come with each hour.
    """

    fixed: FloatArray
    capital: FloatArray
    exchange: FloatArray
    running: FloatArray
    reserves: FloatArray
    fuel: FloatArray

    @property
    def total(self) -> FloatArray:
        """All of it."""
        return np.asarray(self.standing + self.fuel)

    @property
    def standing(self) -> FloatArray:
        """All but the fuel."""
        return np.asarray(self.fixed + self.capital + self.exchange + self.running + self.reserves)

    @property
    def marginal(self) -> FloatArray:
        """What one more second takes: running cost, reserves and fuel."""
        return np.asarray(self.running + self.reserves + self.fuel)


def cost_parts(
    costs: Costs, kit: ExchangeKit | None, values: Values, *, flown: ArrayLike | None = None
) -> Parts:
    """The parts of a second's cost.

    Parameters
    ----------
    costs : Costs
        Which costs there are; their amounts are taken from `values`.
    kit : ExchangeKit or None
        Of the configuration: its price and first fitting are bought with the airplane.
    values : mapping
        Of every assumption by its key, SI.
    flown : array_like, optional
        Flown in a year [s]; left out, as assumed.

    Returns
    -------
    Parts

    Raises
    ------
    ValueError
        Nothing is flown; as `annual_capital_cost`.

    Notes
    -----
    Yearly amounts over the time flown; a reserve is its amount over what is flown until it is due, by hours
    or by the calendar, whichever comes first; labour of exchanges is times × time × people × wage
    [common practice, no source].
    """
    hours = np.asarray(values["hours_per_year"] if flown is None else flown, dtype=np.float64)
    if np.any(hours <= 0.0):
        raise ValueError("nothing is flown in a year")
    labour = values.get("labour", np.asarray(0.0))
    work = 0.0 if kit is None else fitting_time(kit)
    price = values["price"] + values.get("kit price", 0.0) + work * labour
    loan = costs.loan
    capital = annual_capital_cost(
        price,
        values.get("value_left", np.asarray(0.0)) * price,
        costs.kept / YEAR,
        values.get("own_rate", np.asarray(0.0)),
        share=values["loan.share"] if loan else 0.0,
        loan_rate=values["loan.rate"] if loan else 0.0,
        term=loan.term / YEAR if loan else 1.0,
    )
    times = np.asarray(0.0)
    for index, item in enumerate(costs.exchange):
        if kit is not None and item.kit == kit.name:
            times = times + values[f"exchange.{index}"]
    fixed = _sum(values, "fixed", len(costs.fixed)) * YEAR
    return _alike(
        fixed / hours,
        capital / hours,
        times * work * labour / hours,
        _sum(values, "running", len(costs.running)),
        _reserves(costs, values, hours),
        values[FUEL_FLOW] * values["fuel_price"],
    )


def yearly_payment(costs: Costs, kit: ExchangeKit | None, values: Values) -> FloatArray:
    """What the loan takes in a year, in the currency; zero without one."""
    if costs.loan is None:
        return np.asarray(0.0)
    labour = values.get("labour", np.asarray(0.0)) * (0.0 if kit is None else fitting_time(kit))
    borrowed = values["loan.share"] * (values["price"] + values.get("kit price", 0.0) + labour)
    return np.asarray(borrowed * capital_recovery_factor(values["loan.rate"], costs.loan.term / YEAR))


def _sum(values: Values, group: str, count: int) -> FloatArray:
    total = np.asarray(0.0)
    for index in range(count):
        total = total + values[f"{group}.{index}"]
    return total


def _reserves(costs: Costs, values: Values, hours: FloatArray) -> FloatArray:
    total = np.asarray(0.0)
    for index, item in enumerate(costs.reserve):
        due = values[f"reserve.{index}.every"]
        if item.at_most is not None:
            due = np.minimum(due, values[f"reserve.{index}.at_most"] / YEAR * hours)
        total = total + values[f"reserve.{index}.amount"] / due
    return total


def _alike(*parts: ArrayLike) -> Parts:
    return Parts(*(np.asarray(part, dtype=np.float64) for part in np.broadcast_arrays(*parts)))
