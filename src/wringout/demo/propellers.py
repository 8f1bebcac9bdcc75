"""The true propellers: one that a governor keeps at its speed, one whose blades stand still in their hub."""

# ruff: noqa: ARG002 - the arguments are the protocol's; not every propeller needs them all

from dataclasses import dataclass
from math import exp, pi
from typing import Protocol

from wringout.demo.engine import IDLE_BLEND, IDLE_MANIFOLD


class TruePropeller(Protocol):
    """What a propeller makes of power, airspeed [m/s], density [kg/m³] and its turns [1/s]."""

    @property
    def diameter(self) -> float:
        """[m]."""
        ...

    @property
    def governed(self) -> bool:
        """Whether a governor keeps its turns."""
        ...

    def thrust(
        self, power: float, airspeed: float, density: float, engine_speed: float, manifold: float
    ) -> float:
        """Thrust [N]; negative where it drags."""
        ...

    def absorbed(self, airspeed: float, density: float, engine_speed: float) -> float:
        """Shaft power [W] that it takes at its turns; NaN where a governor sees to it."""
        ...

    def change_of_speed(self, power: float, airspeed: float, density: float, engine_speed: float) -> float:
        """How fast the turns change [1/s²] with a shaft power [W] driving them."""
        ...


@dataclass(frozen=True, slots=True)
class ConstantSpeed:
    """An actuator disk behind blades whose efficiency bends with advance ratio."""

    diameter: float
    least_efficiency: float = 0.58
    gained_efficiency: float = 0.335
    advance_scale: float = 0.45
    idle_thrust: float = 120.0  # [N] standing, and what it loses with airspeed [N s/m]
    idle_drag: float = 5.5
    governed: bool = True

    def blade_efficiency(self, advance_ratio: float) -> float:
        """Share of the shaft power that reaches the air as momentum, beside the ideal loss."""
        bent = self.least_efficiency + self.gained_efficiency * (
            1.0 - exp(-((advance_ratio / self.advance_scale) ** 1.3))
        )
        over = advance_ratio - 0.80
        return bent - (0.6 * over * over if over > 0.0 else 0.0)

    def thrust(
        self, power: float, airspeed: float, density: float, engine_speed: float, manifold: float
    ) -> float:
        """Thrust [N] by the momentum of its stream, and the small thrust or drag of it idling."""
        idle_share = 1.0 - min(max((manifold - IDLE_MANIFOLD) / IDLE_BLEND, 0.0), 1.0)
        idle = self.idle_thrust - self.idle_drag * airspeed if idle_share > 0.0 else 0.0
        if power <= 0.0:
            return idle * idle_share
        useful = self.blade_efficiency(airspeed / (engine_speed * self.diameter)) * power
        stream = 2.0 * density * (0.25 * pi * self.diameter**2)
        # useful = T (V + v), T = stream·(V + v)·v with v the induced speed at the disk: Newton in v.
        induced = float((useful / stream) ** (1.0 / 3.0))
        if airspeed > 1.0:
            induced = min(induced, useful / (stream * airspeed * airspeed))
        for _ in range(6):
            speed = airspeed + induced
            change = (stream * speed * speed * induced - useful) / (stream * speed * (speed + 2.0 * induced))
            induced -= change
            if abs(change) < 1e-4:
                break
        return useful / (airspeed + induced) + idle * idle_share

    def absorbed(self, airspeed: float, density: float, engine_speed: float) -> float:
        """NaN: whatever the engine gives."""
        return float("nan")

    def change_of_speed(
        self,
        power: float,
        airspeed: float,
        density: float,
        engine_speed: float,
    ) -> float:
        """None of its own: the governor's."""
        return 0.0


@dataclass(frozen=True, slots=True)
class FixedPitch:
    """Thrust and power coefficients as curves of the advance ratio over that of no thrust.

    C_T = C_T0 (1 − a x − (1 − a) x²) and C_P = C_P0 (1 + b x − (1 + b − c) x²), x = V/(n d J₀): the shape of
    two-bladed metal propellers of 15 to 20 degrees (wind-tunnel charts of the 1930s, from memory). Beyond
    x² = (1 + b)/(1 + b − c) and a little it drives the engine.
    """

    diameter: float
    thrust_coefficient: float
    power_coefficient: float
    advance_of_no_thrust: float
    thrust_droop: float = 0.10  # a
    power_rise: float = 0.10  # b
    power_of_no_thrust: float = 0.20  # c
    inertia: float = 0.9  # of propeller and crank [kg m²]
    idle_speed: float = 11.0  # [1/s], below which the engine's idle jet does not let it fall
    governed: bool = False

    def thrust(
        self,
        power: float,
        airspeed: float,
        density: float,
        engine_speed: float,
        manifold: float,
    ) -> float:
        """Thrust [N] by turns and airspeed alone."""
        ratio = self._ratio(airspeed, engine_speed)
        coefficient = self.thrust_coefficient * (
            1.0 - self.thrust_droop * ratio - (1.0 - self.thrust_droop) * ratio * ratio
        )
        return coefficient * density * engine_speed**2 * self.diameter**4

    def absorbed(self, airspeed: float, density: float, engine_speed: float) -> float:
        """Shaft power [W] at its turns; negative where the air drives it."""
        ratio = self._ratio(airspeed, engine_speed)
        curve = 1.0 + self.power_rise * ratio - (1.0 + self.power_rise - self.power_of_no_thrust) * ratio**2
        return self.power_coefficient * curve * density * engine_speed**3 * self.diameter**5

    def change_of_speed(self, power: float, airspeed: float, density: float, engine_speed: float) -> float:
        """By the torque that is over, [1/s²]; not below idling."""
        over = power - self.absorbed(airspeed, density, engine_speed)
        change = over / (4.0 * pi**2 * self.inertia * engine_speed)
        return max(change, 2.0 * (self.idle_speed - engine_speed))

    def _ratio(self, airspeed: float, engine_speed: float) -> float:
        return airspeed / (engine_speed * self.diameter * self.advance_of_no_thrust)
