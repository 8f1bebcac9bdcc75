"""What the test of a loading found: states, path, limits, and the limit that binds, in words."""

from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from wringout.airplane.airplane import Envelope
from wringout.loading.empty import EmptyMass, MassRow
from wringout.loading.envelope import ARM_ROUNDING, MASS_ROUNDING
from wringout.loading.limits import LimitCheck
from wringout.quantity.dimensions import Dimension
from wringout.quantity.estimate import Estimate
from wringout.quantity.showing import arm_digits, show

FloatArray = NDArray[np.float64]
StateName = Literal["ramp", "take-off", "landing", "zero fuel"]

CAUTION = (
    "The approved flight manual and the weight-and-balance record govern. "
    "This is for evaluation and reporting, not for dispatch."
)


@dataclass(frozen=True, slots=True)
class LoadingState:
    """The loaded airplane at one moment, and its distances to the envelope; margins are positive inside.

    `fuel` usable aboard [m³]; `forward_limit` and `aft_limit` [m] at this mass; `forward` and `aft` [m] to
    them; `maximum_mass` [kg] allowed at this moment and `mass_margin` [kg] to it; `mass_to_edge` [kg] up to
    the envelope's edge at this CG, NaN where no mass is allowed there; `chord_fraction` of the mean chord,
    None where the chord is not described. `nearest` is the edge with the smallest share of its own range
    left.
    """

    name: StateName
    fuel: float
    mass: Estimate
    cg: Estimate
    forward_limit: float
    aft_limit: float
    forward: float
    aft: float
    maximum_mass: float
    mass_margin: float
    mass_to_edge: float
    chord_fraction: float | None
    nearest: str
    inside: bool


@dataclass(frozen=True, slots=True)
class BurnPath:
    """Mass and CG from take-off to the last usable drop; arrays of one shape.

    `fuel_burnt` and `fuel` aboard [m³], `mass` [kg], `cg` [m], margins [m] to the CG limits at that mass.
    """

    fuel_burnt: FloatArray
    fuel: FloatArray
    mass: FloatArray
    cg: FloatArray
    mass_sd: FloatArray
    cg_sd: FloatArray
    forward: FloatArray
    aft: FloatArray
    inside: NDArray[np.bool_]


@dataclass(frozen=True, slots=True)
class Binding:
    """The limit that is nearest or most exceeded; `margin` in the SI unit of `dimension`, negative beyond it.

    `share` is the margin over the limit's own range, by which limits of different kinds are ranked: the
    envelope's width in CG, its height in mass, or the limit of a place itself.
    """

    limit: str
    where: str
    margin: float
    dimension: Dimension
    share: float


@dataclass(frozen=True, slots=True)
class LoadingReport:
    """Everything that a loading table shows. `rows` add up to the ramp state.

    `probability_within` is that of the most doubtful limit of mass or CG: that the true figure, with the
    stated uncertainties of scales, people and fuel, is inside it. `within` says whether the figures as
    given are.
    """

    configuration: str
    envelope: Envelope
    empty: EmptyMass
    rows: tuple[MassRow, ...]
    states: tuple[LoadingState, ...]
    path: BurnPath
    limits: tuple[LimitCheck, ...]
    binding: Binding
    within: bool
    probability_within: float
    notes: tuple[str, ...]
    caution: str = CAUTION

    def sentence(self, mass_unit: str = "kg", arm_unit: str = "mm") -> str:
        """The finding in one sentence, with the limit that binds."""
        words = binding_words(self.binding, mass_unit, arm_unit)
        doubt = ""
        if 0.10 < self.probability_within < 0.90:
            doubt = f"; with the masses this uncertain, inside with probability {self.probability_within:.2f}"
        return f"Within every limit; {words}{doubt}." if self.within else f"Outside limits: {words}{doubt}."

    def state(self, name: StateName) -> LoadingState:
        """The state of that name; KeyError where it was not examined."""
        for state in self.states:
            if state.name == name:
                return state
        raise KeyError(name)


def binding_words(binding: Binding, mass_unit: str = "kg", arm_unit: str = "mm") -> str:
    """The limit and what is left to it, or how far beyond it, in words without a stop."""
    units = {Dimension.LENGTH: arm_unit, Dimension.MASS: mass_unit, Dimension.MASS_PER_AREA: "kg/m²"}
    digits = arm_digits(arm_unit) if binding.dimension is Dimension.LENGTH else 1
    amount = show(abs(binding.margin), units[binding.dimension], digits=digits)
    rounding = ARM_ROUNDING if binding.dimension is Dimension.LENGTH else MASS_ROUNDING
    if binding.margin < -rounding:
        return f"{amount} beyond the {binding.limit} {binding.where}"
    return f"nearest is the {binding.limit} {binding.where}, {amount} away"


def maximum_mass(envelope: Envelope, state: StateName) -> float:
    """Highest mass [kg] allowed in a state: its own limit, or the take-off limit where none is stated.

    Only a stated ramp limit may lie above the envelope's polygon.
    """
    own = {
        "ramp": envelope.maximum_ramp_mass,
        "take-off": None,
        "landing": envelope.maximum_landing_mass,
        "zero fuel": envelope.maximum_zero_fuel_mass,
    }[state]
    limit = envelope.maximum_takeoff_mass if own is None else own
    if state == "ramp" and own is not None:
        return limit
    return min(limit, max(mass for _, mass in envelope.vertices))
