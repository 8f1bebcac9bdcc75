"""The maker's claims as published, with the conditions they were published for."""

from dataclasses import dataclass
from typing import Literal, get_args

from wringout.quantity.dimensions import Dimension

ClaimQuantity = Literal[
    "stall speed",
    "cruise speed",
    "full-throttle speed",
    "fuel flow",
    "rate of climb",
    "service ceiling",
    "take-off ground roll",
    "take-off distance",
    "landing ground roll",
    "landing distance",
    "glide ratio",
    "range",
    "endurance",
    "empty mass",
    "useful load",
    "payload",
    "stopping distance",
    "battery endurance",
]

CLAIM_DIMENSIONS: dict[str, Dimension] = {
    "stall speed": Dimension.SPEED,
    "cruise speed": Dimension.SPEED,
    "full-throttle speed": Dimension.SPEED,
    "fuel flow": Dimension.VOLUME_FLOW,
    "rate of climb": Dimension.SPEED,
    "service ceiling": Dimension.LENGTH,
    "take-off ground roll": Dimension.LENGTH,
    "take-off distance": Dimension.LENGTH,
    "landing ground roll": Dimension.LENGTH,
    "landing distance": Dimension.LENGTH,
    "glide ratio": Dimension.RATIO,
    "range": Dimension.LENGTH,
    "endurance": Dimension.TIME,
    "empty mass": Dimension.MASS,
    "useful load": Dimension.MASS,
    "payload": Dimension.MASS,
    "stopping distance": Dimension.LENGTH,
    "battery endurance": Dimension.TIME,
}
assert set(CLAIM_DIMENSIONS) == set(get_args(ClaimQuantity))


@dataclass(frozen=True, slots=True)
class ClaimConditions:
    """What a claim assumes.

    None where the maker does not say; then the airplane's own limit or the standard is used and named.
    """

    configuration: str | None = None
    mass: float | None = None
    flap: str | None = None
    pressure_altitude: float | None = None
    temperature: float | None = None  # None: standard at the altitude
    head_wind: float = 0.0
    slope: float = 0.0
    surface: str | None = None
    power_fraction: float | None = None  # of rated
    speed: float | None = None  # touchdown speed of a stopping distance; cruise speed of a range
    fuel: float | None = None  # aboard and usable [m³]; None: full tanks
    fuel_flow: float | None = None
    reserve: float | None = None  # [s] at cruise
    occupants: int | None = None
    occupant_mass: float | None = None
    baggage: float | None = None  # claimed to go together with the above [kg]
    battery: str | None = None
    load: tuple[str, ...] = ()  # names of electrical loads kept on
    technique: str | None = None


@dataclass(frozen=True, slots=True)
class Claim:
    """One claim: `quantity` `relation` `value`."""

    id: str
    statement: str
    quantity: ClaimQuantity
    relation: Literal["at least", "at most", "about"]
    value: float
    tolerance: float | None  # of 'about', same unit; None: one unit of the last published digit
    conditions: ClaimConditions
    published: str
    value_text: str  # as typed, for showing
