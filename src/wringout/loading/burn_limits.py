"""Between which moments a payload must lie so that no moment of the flight is outside the envelope."""

import math
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from wringout.airplane.airplane import Airplane, Envelope
from wringout.airplane.lookups import configuration_envelope
from wringout.loading.empty import EmptyMass
from wringout.loading.envelope import ARM_ROUNDING, MASS_ROUNDING
from wringout.loading.envelope_pieces import Edge, Pieces, monotone_pieces
from wringout.loading.equipment import empty_mass
from wringout.loading.fuel import burn_breaks, contents_during_burn, fuel_arm
from wringout.loading.loading_report import StateName, maximum_mass

FloatArray = NDArray[np.float64]
Side = Literal["forward", "aft"]

_NODES = 101
_INSIDE = 0.5 * ARM_ROUNDING  # half of what the test of a loading forgives, so that it agrees


@dataclass(frozen=True, slots=True)
class MassLimit:
    """The most payload [kg] that one limit of mass leaves, in one state of the flight."""

    name: str
    payload: float


@dataclass(frozen=True, slots=True)
class Allowed:
    """Payload moments [kg·m] allowed at one payload, and the fuel aboard [kg] at which each end is set."""

    low: float
    high: float
    low_fuel: float
    high_fuel: float


@dataclass(frozen=True, slots=True)
class BurnLimits:
    """One configuration with its fuel: what payload mass [kg] and moment [kg·m] every state allows.

    `pieces` are the parts of the envelope that a burn can run through without leaving it: one, unless the
    envelope has horns. `fuel_mass` [kg] and `fuel_moment` [kg·m] are those of the states examined, ramp
    first.
    """

    airplane: Airplane
    empty: EmptyMass
    envelope: Envelope
    pieces: tuple[Pieces, ...]
    at_start: Mapping[str, float]
    take_off: float
    fuel_mass: FloatArray
    fuel_moment: FloatArray
    most: tuple[MassLimit, ...]
    least: float

    @staticmethod
    def of(
        airplane: Airplane,
        configuration: str,
        fuel: Mapping[str, float],
        taxi_fuel: float = 0.0,
        landing_fuel: float | None = None,
    ) -> "BurnLimits":
        """The limits of a configuration with fuel [m³] by tank at start-up; InputError as `empty_mass`."""
        empty = empty_mass(airplane, configuration)
        envelope = configuration_envelope(airplane, configuration)
        density = airplane.fuel.density
        aboard = math.fsum(fuel.values())
        burnt = np.unique(
            np.concatenate(
                (np.linspace(taxi_fuel, aboard, _NODES), burn_breaks(airplane.tanks, fuel), np.zeros(1))
            )
        )
        burnt = np.unique(np.clip(burnt[(burnt == 0.0) | (burnt >= taxi_fuel)], 0.0, aboard))
        moments: list[tuple[StateName, float]] = [("ramp", aboard), ("take-off", aboard - taxi_fuel)]
        if landing_fuel is not None:
            moments.append(("landing", landing_fuel))
        moments.append(("zero fuel", 0.0))
        most = tuple(
            MassLimit(
                _limit_name(envelope, name),
                maximum_mass(envelope, name) - empty.mass.value - left * density,
            )
            for name, left in moments
        )
        lowest = min(mass for _, mass in envelope.vertices)
        mass, moment = _fuel(airplane, fuel, burnt)
        return BurnLimits(
            airplane,
            empty,
            envelope,
            monotone_pieces(envelope),
            fuel,
            (aboard - taxi_fuel) * density,
            mass,
            moment,
            most,
            lowest - empty.mass.value,
        )

    @property
    def most_payload(self) -> float:
        """The payload [kg] that no limit of mass forbids."""
        return min(limit.payload for limit in self.most)

    def allowed(self, payload: float, pieces: Pieces) -> Allowed:
        """Between which moments a payload [kg] lies inside a part of the envelope in every state.

        The corners of the envelope that the burn passes are met exactly. An end is infinite where no moment
        will do: the mass lies outside the part.
        """
        fuel, fuel_moment = self._states(payload, pieces)
        others = self.empty.moment + fuel_moment
        mass = payload + self.empty.mass.value + fuel
        low = (pieces.forward.moment(mass) - others) - _INSIDE * mass
        high = (pieces.aft.moment(mass) - others) + _INSIDE * mass
        at_low, at_high = int(np.argmax(low)), int(np.argmin(high))
        return Allowed(float(low[at_low]), float(high[at_high]), float(fuel[at_low]), float(fuel[at_high]))

    def within_mass(self, payload: float) -> bool:
        """Whether a payload [kg] is inside every limit of mass."""
        return self.least - MASS_ROUNDING <= payload <= self.most_payload + MASS_ROUNDING

    def cuts(
        self, payload: float, side: Side, pieces: Pieces, span: tuple[float, float]
    ) -> tuple["Cut | None", "Cut | None"]:
        """Straight limits of the moment that are exact at a payload and hold below, and above, it.

        Where one line holds over the whole `span` of payloads [kg] both are that line. None where the span
        has nothing on that side.
        """
        allowed = self.allowed(payload, pieces)
        fuel = allowed.low_fuel if side == "forward" else allowed.high_fuel
        edge: Edge = pieces.forward if side == "forward" else pieces.aft
        offset = self.empty.mass.value + fuel
        value = allowed.low if side == "forward" else allowed.high
        below, above = edge.slopes(payload + offset, (span[0] + offset, span[1] + offset))

        def cut(slope: float) -> Cut:
            return Cut(side, slope, value - slope * payload)

        sign = -1.0 if side == "forward" else 1.0
        if below is None or above is None or sign * above <= sign * below + 1e-12:
            slopes = [slope for slope in (below, above) if slope is not None]
            middle = sum(slopes) / len(slopes) if slopes else 0.0
            one = cut(middle)
            return one, one
        return cut(below), cut(above)

    def _states(self, payload: float, pieces: Pieces) -> tuple[FloatArray, FloatArray]:
        corners = pieces.corners - payload - self.empty.mass.value
        corners = corners[(corners > 0.0) & (corners < self.take_off)]
        if not len(corners):
            return self.fuel_mass, self.fuel_moment
        aboard = math.fsum(self.at_start.values())
        mass, moment = _fuel(
            self.airplane, self.at_start, aboard - np.array(corners) / self.airplane.fuel.density
        )
        return np.concatenate((self.fuel_mass, mass)), np.concatenate((self.fuel_moment, moment))


@dataclass(frozen=True, slots=True)
class Cut:
    """Payload moment at least (forward) or at most (aft) `slope` [m] × payload + `offset` [kg·m]."""

    side: Side
    slope: float
    offset: float


def _limit_name(envelope: Envelope, state: StateName) -> str:
    """The limit that holds in a state: its own, or that of take-off where it has none."""
    own = {
        "ramp": envelope.maximum_ramp_mass,
        "landing": envelope.maximum_landing_mass,
        "zero fuel": envelope.maximum_zero_fuel_mass,
    }.get(state)
    return f"{state.replace(' ', '-')} mass" if own is not None else "take-off mass"


def _fuel(
    airplane: Airplane, at_start: Mapping[str, float], burnt: FloatArray
) -> tuple[FloatArray, FloatArray]:
    """Mass [kg] and moment [kg·m] of the fuel that is left after `burnt` [m³]."""
    contents = contents_during_burn(airplane.tanks, at_start, burnt)
    mass, moment = np.zeros_like(burnt), np.zeros_like(burnt)
    for tank in airplane.tanks:
        held = airplane.fuel.density * contents[tank.name]
        mass, moment = mass + held, moment + held * fuel_arm(tank, contents[tank.name])
    return mass, moment
