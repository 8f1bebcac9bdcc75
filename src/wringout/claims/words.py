"""Figures in the words and units in which the readers of this dossier see them."""

from dataclasses import dataclass
from math import isfinite

from wringout.dossier.claim import CLAIM_DIMENSIONS, ClaimQuantity
from wringout.dossier.dossier import Units
from wringout.quantity.dimensions import Dimension
from wringout.quantity.estimate import Estimate
from wringout.quantity.showing import show
from wringout.quantity.units import to_si

_UNIT_FIELDS: dict[ClaimQuantity, str] = {
    "stall speed": "speed",
    "cruise speed": "speed",
    "full-throttle speed": "speed",
    "fuel flow": "fuel_flow",
    "rate of climb": "vertical_speed",
    "service ceiling": "height",
    "take-off ground roll": "distance",
    "take-off distance": "distance",
    "landing ground roll": "distance",
    "landing distance": "distance",
    "stopping distance": "distance",
    "range": "range",
    "empty mass": "mass",
    "useful load": "mass",
    "payload": "mass",
}
_PLAIN_UNITS: dict[ClaimQuantity, str] = {"glide ratio": "", "endurance": "h", "battery endurance": "min"}


@dataclass(frozen=True, slots=True)
class Words:
    """Shows SI figures in the units of a dossier."""

    units: Units

    def unit_of(self, quantity: ClaimQuantity) -> str:
        """The unit in which figures of this kind are shown."""
        field = _UNIT_FIELDS.get(quantity)
        return str(getattr(self.units, field)) if field else _PLAIN_UNITS[quantity]

    def figure(self, quantity: ClaimQuantity, value: float, sd: float | None = None) -> str:
        """A figure of the claim's kind."""
        return readable(value, self.unit_of(quantity), sd, CLAIM_DIMENSIONS[quantity])

    def estimate(self, quantity: ClaimQuantity, estimate: Estimate) -> str:
        """An estimate of the claim's kind."""
        return self.figure(quantity, estimate.value, estimate.sd)

    def speed(self, value: float) -> str:
        """A speed through the air or over the ground [m/s]."""
        return readable(value, self.units.speed)

    def distance(self, value: float) -> str:
        """A field length [m]."""
        return readable(value, self.units.distance)

    def range(self, value: float) -> str:
        """A distance flown [m]."""
        return readable(value, self.units.range)

    def mass(self, value: float) -> str:
        """A mass [kg]."""
        return readable(value, self.units.mass)

    def fuel(self, value: float) -> str:
        """A volume of fuel [m³]."""
        return readable(value, self.units.fuel)

    def fuel_flow(self, value: float) -> str:
        """A fuel flow [m³/s]."""
        return readable(value, self.units.fuel_flow)

    def height(self, value: float) -> str:
        """A pressure altitude [m]."""
        return readable(value, self.units.height)

    def temperature(self, value: float) -> str:
        """A temperature [K]."""
        return show(value, self.units.temperature, digits=0, dimension=Dimension.TEMPERATURE)

    def power(self, value: float) -> str:
        """A power [W]."""
        return readable(value, self.units.power)

    def round_wind(self) -> float:
        """Ten of the dossier's speed units [m/s]: the wind people name when none was stated."""
        return float(to_si(10.0, self.units.speed, Dimension.SPEED))


def readable(value: float, unit: str, sd: float | None = None, dimension: Dimension | None = None) -> str:
    """A figure without digits nobody reads: three significant ones where no uncertainty says more.

    Examples
    --------
    >>> readable(14.7523, "mph")
    '33 mph'
    >>> readable(0.9144, "ft")
    '3 ft'
    """
    if sd is not None or not isfinite(value):
        return show(value, unit, sd, dimension=dimension)
    from wringout.quantity.units import convert

    shown = convert(value, unit, dimension) if unit else value
    digits = 0 if abs(shown) >= 100.0 else 1 if abs(shown) >= 10.0 else 2
    text = show(value, unit, digits=digits, dimension=dimension)
    number, _, symbol = text.partition(" ")
    if "." in number:
        number = number.rstrip("0").rstrip(".")
    return f"{number} {symbol}".strip()


def per_cent(share: float) -> str:
    """A probability as people read it, never quite none or all.

    Examples
    --------
    >>> per_cent(0.684), per_cent(0.0005), per_cent(1.0)
    ('68 %', 'less than 1 %', 'more than 99 %')
    """
    if share < 0.01:
        return "less than 1 %"
    return "more than 99 %" if share > 0.99 else f"{100.0 * share:.0f} %"


def minutes(seconds: float) -> str:
    """A time as people say it.

    Examples
    --------
    >>> minutes(1800.0), minutes(18400.0)
    ('30 min', '5 h 07 min')
    """
    whole = round(seconds / 60.0)
    hours, rest = divmod(whole, 60)
    return f"{hours} h {rest:02d} min" if hours else f"{rest} min"
