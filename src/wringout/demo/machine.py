"""An invented airplane as it truly is: forces and power, which the evaluation must find out.

Every form here is chosen to differ from the fitted model's: the drag rises beyond the parabola near the
greatest lift, ground effect follows an exponential, the engine is an indicated power less its friction, the
lift at the stall depends on entry rate, CG and slipstream, and the airspeed system reads wrong. The numbers
are data, one `machine.toml` an airplane.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from functools import lru_cache
from math import exp, pi
from typing import Any

from wringout.demo.engine import PistonEngine
from wringout.demo.propellers import ConstantSpeed, FixedPitch, TruePropeller


@dataclass(frozen=True, slots=True)
class Gear:
    """A landing gear as it truly is: its drag, its braking and its attitude on the ground."""

    name: str
    drag: float  # C_D0 with this gear, flap up
    roll_lift: float  # lift coefficient while rolling at take-off, flap up
    stop_lift: float  # the same after touchdown with the stick back
    tail_wheel: bool
    main_arm: float
    third_arm: float
    cg_height: float


@lru_cache(maxsize=1024)  # flaps stand still nearly always
def between(places: tuple[float, ...], table: tuple[float, ...], place: float) -> float:
    """Linear between the settings, level beyond them."""
    for number in range(1, len(places)):
        if place < places[number]:
            share = max(place - places[number - 1], 0.0) / (places[number] - places[number - 1])
            return table[number - 1] + (table[number] - table[number - 1]) * share
    return table[-1]


@dataclass(frozen=True, slots=True)
class Machine:
    """One airplane; masses in kg, lengths in m, the CG's middle in m aft of the datum."""

    span: float
    wing_area: float
    wing_height: float
    nose: float  # how far the spinner and the tail are before the main wheels, as a camera sees them
    tail: float
    maximum_mass: float
    fuel_density: float
    gears: tuple[Gear, ...]
    flap_names: tuple[str, ...]
    flap_degrees: tuple[float, ...]
    maximum_lift: tuple[float, ...]  # by flap setting: at 1 kt/s, idle, CG in the middle
    flap_drag: tuple[float, ...]
    flap_lift: tuple[float, ...]  # at zero incidence of the body
    lift_slope: float  # per radian
    oswald: float
    buffet_onset: float  # of the greatest lift coefficient: beyond it the drag leaves the parabola
    buffet_drag: float
    middle_cg: float
    cg_effect: float  # fraction of the greatest lift per metre of CG travel
    entry_rate_effect: float  # fraction of the greatest lift per kt/s beyond 1 kt/s
    pressure_error: tuple[float, float, float]  # static-port error over q: constant, per C_L, per degree
    engine: PistonEngine
    propeller: TruePropeller

    def gear(self, name: str) -> Gear:
        """The gear of a configuration."""
        return next(gear for gear in self.gears if gear.name == name)

    def flap_angle(self, name: str | None) -> float:
        """Angle [degrees] of a flap setting by its name; of the first where there is none."""
        return self.flap_degrees[0 if name is None else self.flap_names.index(name)]

    def flap_name(self, degrees: float) -> str:
        """The setting of an angle [degrees]."""
        return self.flap_names[self.flap_degrees.index(degrees)]

    def greatest_lift(self, flap: float, cg: float, entry_rate: float, thrust_coefficient: float) -> float:
        """Greatest lift coefficient; `entry_rate` in kt/s of deceleration, `thrust_coefficient` T/(q S)."""
        rate = min(max(entry_rate, 0.0), 4.0)
        return (
            between(self.flap_degrees, self.maximum_lift, flap)
            * (1.0 + self.entry_rate_effect * (rate - 1.0))
            * (1.0 + self.cg_effect * (cg - self.middle_cg))
            * (1.0 + 0.10 * min(max(thrust_coefficient, 0.0), 0.6))
        )

    def drag_coefficient(
        self, gear: Gear, flap: float, lift_coefficient: float, greatest_lift: float, wing_height: float
    ) -> float:
        """Drag coefficient; `wing_height` above the ground [m]. Ground effect: Wieselsberger, from memory."""
        near_ground = exp(-2.48 * (2.0 * wing_height / self.span) ** 0.768)
        excess = lift_coefficient / greatest_lift - self.buffet_onset
        rise = self.buffet_drag * excess * excess if excess > 0.0 else 0.0
        # Flaps change the span loading, so that the least drag moves to a higher lift.
        least = 0.04 + 0.004 * flap
        induced = self.induced * (1.0 - near_ground) * (lift_coefficient - least) ** 2
        flap_drag = between(self.flap_degrees, self.flap_drag, flap)
        return gear.drag + flap_drag + induced + 0.0016 * (lift_coefficient - least) ** 4 + rise

    @property
    def induced(self) -> float:
        """Induced drag factor out of ground effect."""
        return 1.0 / (pi * self.span**2 / self.wing_area * self.oswald)

    def level_lift(self, flap: float) -> float:
        """Lift coefficient at zero incidence of the body."""
        return between(self.flap_degrees, self.flap_lift, flap)

    def incidence(self, lift_coefficient: float, flap: float) -> float:
        """Incidence of the body and the thrust line [rad]."""
        return (lift_coefficient - self.level_lift(flap)) / self.lift_slope

    def static_error(self, lift_coefficient: float, flap: float) -> float:
        """What the airspeed system adds to the true dynamic pressure, over it.

        Negative: the airspeed reads low and the calibrated airspeed is the greater.
        """
        constant, per_lift, per_degree = self.pressure_error
        return constant + per_lift * lift_coefficient + per_degree * flap


def machine_of(described: Mapping[str, Any]) -> Machine:
    """The airplane of a `machine.toml`."""
    propeller = dict(described["propeller"])
    kinds: dict[str, Callable[..., TruePropeller]] = {
        "constant speed": ConstantSpeed,
        "fixed pitch": FixedPitch,
    }
    apart = ("gear", "engine", "propeller")
    plain: dict[str, Any] = {
        name: tuple(value) if isinstance(value, list) else value
        for name, value in described.items()
        if name not in apart
    }
    return Machine(
        **plain,
        gears=tuple(Gear(**gear) for gear in described["gear"]),
        engine=PistonEngine(**described["engine"]),
        propeller=kinds[propeller.pop("kind")](**propeller),
    )
