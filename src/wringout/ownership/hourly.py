"""What an hour costs: the fixed part spread over the year's hours, the reserve, the fuel."""

import math
from dataclasses import dataclass

from wringout.airplane.airplane import OwnershipCosts
from wringout.quantity.estimate import Estimate


@dataclass(frozen=True, slots=True)
class CostRow:
    """One part of an hour's cost in the airplane's currency, and its standard uncertainty."""

    name: str
    amount: float
    sd: float


@dataclass(frozen=True, slots=True)
class HourlyCost:
    """The cost of one hour at so many hours a year; rows add up to `total`.

    `marginal` is what one more hour costs: reserve and fuel. `per_year` is everything in the year.
    """

    currency: str
    hours_per_year: float
    rows: tuple[CostRow, ...]
    total: float
    sd: float
    marginal: float
    per_year: float

    def per_mass_distance(self, payload: float, speed: float) -> float:
        """Cost of carrying one kilogram one metre with a payload [kg] at a ground speed [m/s].

        ValueError where either is not positive.
        """
        if payload <= 0.0 or speed <= 0.0:
            raise ValueError("payload and speed must be positive")
        return self.total / (payload * speed * 3600.0)


def hourly_cost(
    costs: OwnershipCosts, hours_per_year: float, fuel_flow: Estimate, capital_rate: float = 0.0
) -> HourlyCost:
    """Cost of an hour, a year's fixed cost spread over its hours.

    Parameters
    ----------
    costs : OwnershipCosts
    hours_per_year : float
        Flown.
    fuel_flow : Estimate
        On average [m³/s]; its uncertainty is the only one that the sum carries.
    capital_rate : float
        Share of the price that a year of owning costs, as interest or fall in value.

    Returns
    -------
    HourlyCost

    Raises
    ------
    ValueError
        Hours not positive, or a negative rate or flow.

    Notes
    -----
    (fixed + rate × price)/hours + reserve + flow × fuel price [common practice, no source].
    """
    if not hours_per_year > 0.0:
        raise ValueError(f"hours a year must be positive, found {hours_per_year:g}")
    if capital_rate < 0.0 or fuel_flow.value < 0.0:
        raise ValueError("capital rate and fuel flow must not be negative")
    fuel = fuel_flow.value * 3600.0 * costs.fuel_price
    fuel_sd = (fuel_flow.sd or 0.0) * 3600.0 * costs.fuel_price
    rows = (
        CostRow("fixed", costs.fixed_per_year / hours_per_year, 0.0),
        CostRow("capital", capital_rate * costs.price / hours_per_year, 0.0),
        CostRow("reserve", costs.reserve_per_hour, 0.0),
        CostRow("fuel", fuel, fuel_sd),
    )
    total = math.fsum(row.amount for row in rows)
    marginal = costs.reserve_per_hour + fuel
    return HourlyCost(costs.currency, hours_per_year, rows, total, fuel_sd, marginal, total * hours_per_year)


def break_even_hours(
    fixed_per_year: float, per_hour: float, other_fixed_per_year: float, other_per_hour: float
) -> float | None:
    """Hours a year above which more fixed and less hourly cost is the cheaper; None where it never is.

    (F₁ − F₂)/(h₂ − h₁), all in one currency [plain arithmetic].
    """
    hourly = other_per_hour - per_hour
    if hourly == 0.0:
        return None
    hours = (fixed_per_year - other_fixed_per_year) / hourly
    return hours if hours > 0.0 else None
