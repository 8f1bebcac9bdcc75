"""The cost of one configuration: by the hour, by the year and by the trip, with what it hangs on most."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from wringout.airplane.airplane import ExchangeKit
from wringout.dossier.costs import Costs
from wringout.ownership.assumptions import (
    FUEL_FLOW,
    NINE_IN_TEN,
    Assumption,
    assumptions,
    drawn,
    stated,
)
from wringout.ownership.parts import Parts, cost_parts, yearly_payment
from wringout.quantity.estimate import Estimate
from wringout.quantity.units import to_si

FloatArray = NDArray[np.float64]

DRAWS = 2000
PART_NAMES = ("fixed", "capital", "exchange", "running", "reserves", "fuel")
_STEP = 0.01  # of a standard uncertainty, to either side of the stated value


@dataclass(frozen=True, slots=True)
class CostFigure:
    """A cost in the currency, for each SI unit of whatever it is for.

    `value` is that of the stated assumptions, `sd` its standard uncertainty to first order; `median`, `low`
    and `high` are those of the draws, of which the last two hold nine in ten.
    """

    value: float
    sd: float
    median: float
    low: float
    high: float


@dataclass(frozen=True, slots=True)
class Swing:
    """How far one assumption alone moves the hour: the cost [currency/s] with it at each end of its 90 %."""

    assumption: Assumption
    low: float
    high: float
    cost_at_low: float
    cost_at_high: float

    @property
    def width(self) -> float:
        """From one cost to the other."""
        return abs(self.cost_at_high - self.cost_at_low)


@dataclass(frozen=True, slots=True)
class Reckoned:
    """The cost of one configuration; `stated` and `draws` are its parts, `values` the drawn assumptions."""

    configuration: str
    costs: Costs
    kit: ExchangeKit | None
    assumptions: tuple[Assumption, ...]
    stated: Parts
    draws: Parts
    values: dict[str, FloatArray]
    hour: CostFigure  # a second flown
    one_more: CostFigure  # a second flown beyond those of the year
    year: CostFigure
    parts: tuple[tuple[str, CostFigure], ...]  # of a second flown
    payment: float  # of the loan, a year
    swings: tuple[Swing, ...]  # the widest first
    notes: tuple[str, ...]

    def trip(self, time: FloatArray | float, fuel: FloatArray | float) -> FloatArray:
        """Cost of a trip in each draw.

        Parameters
        ----------
        time : array_like
            From start-up to shutdown [s], one value or one a draw.
        fuel : array_like
            Burnt [m³], likewise.
        """
        return np.asarray(self.draws.standing * time + self.values["fuel_price"] * fuel)

    def stated_trip(self, time: float, fuel: float) -> float:
        """The same at the stated assumptions."""
        return float(self.stated.standing * time + self.costs.fuel_price.value * fuel)

    def at_hours(self, flown: FloatArray, values: dict[str, FloatArray] | None = None) -> Parts:
        """The parts where so much is flown in a year [s], shape (n,): of each draw, shape (n, draws)."""
        known = self.values if values is None else values
        return cost_parts(self.costs, self.kit, known, flown=np.asarray(flown)[:, np.newaxis])


def reckon(
    costs: Costs,
    configuration: str,
    kit: ExchangeKit | None,
    fuel_flow: Estimate,
    *,
    flow_samples: FloatArray | None = None,
    owner: str = "",
    world: str = "",
    fuel: str = "L",
    fuel_flow_unit: str = "L/h",
) -> Reckoned:
    """What one configuration costs.

    Parameters
    ----------
    costs : Costs
    configuration : str
        Its name.
    kit : ExchangeKit or None
        Its kit.
    fuel_flow : Estimate
        On average [m³/s].
    flow_samples : ndarray, shape (draws,), optional
        Of the fuel flow [m³/s], from the posterior; left out, drawn about the estimate.
    owner, world : str
        As `drawn`.
    fuel, fuel_flow_unit : str
        Units for showing the assumptions.

    Returns
    -------
    Reckoned

    Raises
    ------
    ValueError
        As `cost_parts`.

    Notes
    -----
    To first order by the law of propagation with independent assumptions [GUM, 5.1.2]; beside it by draws
    [JCGM 101], which follow what bends: hours in the denominator, the earlier of two dates, interest.
    """
    items = assumptions(costs, kit, fuel_flow, fuel=fuel, fuel_flow_unit=fuel_flow_unit)
    count = DRAWS if flow_samples is None else len(flow_samples)
    values = drawn(items, count, owner, world)
    if flow_samples is not None:
        values[FUEL_FLOW] = flow_samples
    plain = stated(items)
    now, draws = cost_parts(costs, kit, plain), cost_parts(costs, kit, values)
    slopes = {item.key: _slope(costs, kit, plain, item) for item in items if item.sd > 0.0}

    def figure(name: str, value: float, samples: FloatArray) -> CostFigure:
        spreads = [slopes[item.key][name] * item.sd for item in items if item.key in slopes]
        sd = float(np.sqrt(np.sum(np.square(spreads))))
        low, median, high = np.quantile(samples, [0.05, 0.5, 0.95])
        return CostFigure(value, sd, float(median), float(low), float(high))

    flown, drawn_hours = plain["hours_per_year"], values["hours_per_year"]
    return Reckoned(
        configuration=configuration,
        costs=costs,
        kit=kit,
        assumptions=items,
        stated=now,
        draws=draws,
        values=values,
        hour=figure("total", float(now.total), draws.total),
        one_more=figure("marginal", float(now.marginal), draws.marginal),
        year=figure("year", float(now.total * flown), draws.total * drawn_hours),
        parts=tuple(
            (name, figure(name, float(getattr(now, name)), getattr(draws, name))) for name in PART_NAMES
        ),
        payment=float(yearly_payment(costs, kit, plain)),
        swings=_swings(costs, kit, plain, items),
        notes=_notes(costs, kit, plain),
    )


def _named(costs: Costs, kit: ExchangeKit | None, values: dict[str, FloatArray]) -> dict[str, float]:
    parts = cost_parts(costs, kit, values)
    named = {name: float(getattr(parts, name)) for name in (*PART_NAMES, "total", "marginal")}
    return named | {"year": named["total"] * float(values["hours_per_year"])}


def _slope(
    costs: Costs, kit: ExchangeKit | None, plain: dict[str, FloatArray], item: Assumption
) -> dict[str, float]:
    """Change of each figure with one assumption, by central differences."""
    step = _STEP * item.sd
    ahead, behind = (
        _named(costs, kit, plain | {item.key: np.asarray(item.value + sign * step)}) for sign in (1.0, -1.0)
    )
    return {name: (ahead[name] - behind[name]) / (2.0 * step) for name in ahead}


def _swings(
    costs: Costs, kit: ExchangeKit | None, plain: dict[str, FloatArray], items: tuple[Assumption, ...]
) -> tuple[Swing, ...]:
    found = []
    for item in items:
        if item.sd == 0.0:
            continue
        low, high = (float(item.at(sign * NINE_IN_TEN)) for sign in (-1.0, 1.0))
        ends = [
            float(cost_parts(costs, kit, plain | {item.key: np.asarray(value)}).total)
            for value in (low, high)
        ]
        found.append(Swing(item, low, high, ends[0], ends[1]))
    return tuple(sorted(found, key=lambda swing: -swing.width))


def _notes(costs: Costs, kit: ExchangeKit | None, plain: dict[str, FloatArray]) -> tuple[str, ...]:
    notes = ["Today's money: inflation is in neither prices nor rates. Assumptions are taken as independent."]
    if kit is not None and not kit.price:
        notes.append(f"The price of the {kit.name} is not stated and counts as nothing.")
    if kit is not None and kit.hours and costs.labour is None:
        notes.append("No price of a mechanic's hour is stated: exchanges count as free.")
    year = to_si(1.0, "year")
    for index, item in enumerate(costs.reserve):
        if item.at_most is None:
            continue
        flown = float(plain[f"reserve.{index}.at_most"]) / year * float(plain["hours_per_year"])
        if flown < float(plain[f"reserve.{index}.every"]):
            hours = f"{flown / 3600.0:.0f} h"
            notes.append(f"{item.name[:1].upper()}{item.name[1:]}: due by the calendar, after {hours} flown.")
    if costs.value_left is None:
        notes.append("Nothing is said of what the sale brings: the whole price is written off.")
    return tuple(notes)
