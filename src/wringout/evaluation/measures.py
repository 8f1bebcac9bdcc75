"""What is compared: the candidates, the measures, the terms that hold for all, and one candidate's draws."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from typing import Literal
from zlib import crc32

import numpy as np
from numpy.typing import NDArray

from wringout.dossier.costs import Costs
from wringout.dossier.dossier import Dossier, Units
from wringout.evaluation.costs import Order
from wringout.model.fit import Fit
from wringout.quantity.dimensions import Dimension

FloatArray = NDArray[np.float64]
Better = Literal["more", "less"]


@dataclass(frozen=True, slots=True)
class Candidate:
    """A configuration of an evaluated airplane."""

    dossier: Dossier
    fit: Fit
    configuration: str

    @property
    def owner(self) -> str:
        """The dossier's name: what bears it is one airplane and is drawn together."""
        return self.dossier.root.name

    def order(self, home: Dossier) -> Order | None:
        """In which order the fit's draws count beside those of `home`; None: as they stand.

        What the model may miss is drawn alike in every fit. Of two airplanes it is not missed together: the
        draws of another dossier are shuffled, all of its figures alike.
        """
        if self.dossier.root == home.root:
            return None
        rng = np.random.default_rng(crc32(f"order: {self.owner}".encode()))
        return rng.permutation(len(self.fit.draws))


@dataclass(frozen=True, slots=True)
class Measure:
    """What is compared, in whose condition; `unit` is for showing, `short` the word in a sentence."""

    key: str
    what: str
    condition: str
    unit: str
    dimension: Dimension | None  # None: money for each SI unit of `per`
    better: Better
    short: str
    per: str = ""  # of money: the unit that it is for


@dataclass(frozen=True, slots=True)
class Outing:
    """One mission as one candidate flies it; where it is refused, `sentence` says why, the rest is empty."""

    outcome: Literal["yes", "no", "uncertain", "refused"]
    sentence: str
    carried: float = 0.0
    asked: float = 0.0
    left: tuple[str, ...] = ()
    available: float | None = None


@dataclass(slots=True)
class Sampled:
    """Everything asked of one candidate: draws by the key of their measure, and each mission's outing."""

    measures: dict[str, Measure] = field(default_factory=dict)
    samples: dict[str, FloatArray] = field(default_factory=dict)
    outings: dict[str, Outing] = field(default_factory=dict)
    fuels: FloatArray = field(default_factory=lambda: np.zeros(1))  # from none to full tanks [m³]
    payloads: FloatArray = field(default_factory=lambda: np.zeros(1))  # the most with each [kg]
    notes: list[str] = field(default_factory=list)

    def put(self, measure: Measure, samples: FloatArray) -> None:
        """Adds a row."""
        self.measures[measure.key] = measure
        self.samples[measure.key] = np.asarray(samples, dtype=np.float64)


@dataclass(frozen=True, slots=True)
class Terms:
    """The conditions in which all are compared: the first dossier's units, missions, strips and prices."""

    home: Dossier
    costs: Costs | None

    @property
    def units(self) -> Units:
        """For showing."""
        return self.home.units


def on_terms(own: Costs | None, terms: Costs | None, *, same_fuel: bool) -> Costs | None:
    """An airplane's costs with another place's hours, wages, rates, fuel price; None if in two currencies.

    Reserves, fixed and running costs, price, loan and what the sale brings stay its own.
    """
    if own is None or terms is None or own.currency != terms.currency:
        return None
    return replace(
        own,
        hours_per_year=terms.hours_per_year,
        own_rate=terms.own_rate,
        labour=terms.labour,
        kept=terms.kept,
        leg=terms.leg,
        fuel_price=terms.fuel_price if same_fuel else own.fuel_price,
    )
