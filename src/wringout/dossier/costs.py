"""What owning and flying the airplane costs, as the dossier assumes it: every amount with its source."""

from dataclasses import dataclass

from wringout.quantity.estimate import Estimate
from wringout.quantity.money import Money

DEFAULT_KEPT = 10 * 365.25 * 86400.0  # s, common practice, no source
DEFAULT_LEG = 100 * 1852.0  # m, round in the trade's own unit


@dataclass(frozen=True, slots=True)
class Fixed:
    """A cost of the year whether it is flown or not: `amount` a second of the calendar."""

    name: str
    amount: Money
    source: str = ""


@dataclass(frozen=True, slots=True)
class Running:
    """A cost of each hour flown beside fuel and reserves: `amount` a second flown."""

    name: str
    amount: Money
    source: str = ""


@dataclass(frozen=True, slots=True)
class Reserve:
    """What is laid by for something due after `every` [s flown], at the latest after `at_most` [s]."""

    name: str
    amount: Money
    every: Estimate
    at_most: Estimate | None = None
    source: str = ""


@dataclass(frozen=True, slots=True)
class Loan:
    """The share of the price that is borrowed at a rate a year, paid back evenly over `term` [s]."""

    share: Estimate
    rate: Estimate
    term: float
    source: str = ""


@dataclass(frozen=True, slots=True)
class Exchange:
    """How often in a year a kit is put on or taken off."""

    kit: str
    times_a_year: Estimate
    source: str = ""


@dataclass(frozen=True, slots=True)
class Costs:
    """All assumptions of one airplane's cost, in SI; money in the one currency of the dossier.

    `hours_per_year` is the time flown in a year [s]; after `kept` [s] the airplane still brings the share
    `value_left` of its price; `own_rate` is what one's own money would earn in a year; `labour` is for each
    second of one person; `leg` the distance over which the cost of carrying is told [m]. Rates and prices are
    today's money: inflation is left out of both. `sources` are those of the plain keys.
    """

    price: Money
    hours_per_year: Estimate
    fuel_price: Money
    kept: float = DEFAULT_KEPT
    value_left: Estimate | None = None
    own_rate: Estimate | None = None
    labour: Money | None = None
    leg: float = DEFAULT_LEG
    loan: Loan | None = None
    fixed: tuple[Fixed, ...] = ()
    running: tuple[Running, ...] = ()
    reserve: tuple[Reserve, ...] = ()
    exchange: tuple[Exchange, ...] = ()
    sources: tuple[tuple[str, str], ...] = ()

    @property
    def currency(self) -> str:
        """That of the price, and of every other amount."""
        return self.price.currency

    def source(self, key: str) -> str:
        """Where the assumption of a plain key is from; empty where that is not said."""
        return dict(self.sources).get(key, "")
