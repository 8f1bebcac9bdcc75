"""From lift-off to the obstacle: an arc and a straight climb, energy conserved along both."""

from dataclasses import dataclass

import numpy as np

from wringout.physics.aerodynamics import ground_effect_factor
from wringout.physics.arrays import Array, Real, positive
from wringout.physics.constants import GRAVITY, OBSTACLE_HEIGHT
from wringout.physics.numerics import Curve, falling_root, integrals_up_to, unit_nodes
from wringout.physics.vehicle import Air, Vehicle, drag, full_power, weight
from wringout.physics.wind import LogarithmicGain

ARC_STEPS = 4  # distance and time to about 1e-3 of a differential-equation solver's (tests)
STRAIGHT_NODES = 3
# Row by row the shares of the nodes in the integral up to each: that of the parabola through all three.
UP_TO_NODES = integrals_up_to(STRAIGHT_NODES)
ROOT_STEPS = 5
END_STEPS = 8


def air_phase(
    vehicle: Vehicle,
    air: Air,
    *,
    lift_off_speed: Real,
    obstacle_speed: Real | None = None,
    head_wind: Real = 0.0,
    wind_gain: Real = 0.0,
    slope: Real = 0.0,
    load_factor: Real = 1.15,
    obstacle_height: Real = OBSTACLE_HEIGHT,
) -> tuple[Array, Array, Array, Array]:
    """Distance along the strip [m], time [s], obstacle speed [m/s] and final climb angle [rad] from lift-off.

    Arguments and errors as `take_off`.

    Notes
    -----
    [derived] An arc at constant lift coefficient, then a straight climb at the angle at which the airplane
    passes the obstacle at the speed asked. In axes along and normal to the strip, with kinetic height
    k = V²/2g and the angle γ between path and strip, per length of path:
    dk/ds = (T − D)/W − sin(γ + θ); dγ/ds = (n V²/V₁² − cos(γ + θ))/2k on the arc and 0 after it;
    dy/ds = sin γ. No angle is taken as small; drag is in the ground effect of the height reached. In steady
    wind along the strip the air is as good a frame as the ground, which moves by V_w t below it. The arc is
    integrated by Runge–Kutta steps; where it is left follows from the energy of the straight climb, by
    quadrature with k linear along it. Where the head wind grows with height, w(y) by the logarithmic law,
    the airplane's inertia makes airspeed of it: dk/ds gains (V/g) w'(y) sin γ, and the ground moves by w too.
    Without an arc and at one speed sin γ = (T − D)/W. Where the arc itself reaches the obstacle above the
    speed asked, it is passed there, at the speed that energy gives.
    """
    start = positive(lift_off_speed, "lift-off speed [m/s]")
    asked = positive(start if obstacle_speed is None else obstacle_speed, "obstacle speed [m/s]")
    height = positive(obstacle_height, "obstacle height [m]")
    load = np.asarray(load_factor, dtype=np.float64)
    if np.any(load <= 1):
        raise ValueError("the load factor on the arc must be above 1 for the path to curve up")
    tilt = np.arctan(slope)
    path = _Path(
        vehicle,
        air,
        power=full_power(vehicle, air),
        tilt=tilt,
        load=load,
        first=np.square(start) / (2 * GRAVITY),
        last=np.square(asked) / (2 * GRAVITY),
        rise=height * np.cos(tilt),
        wind=LogarithmicGain(wind_gain, vehicle.wing_height, height),
    )
    zero = path.nothing() * np.asarray(head_wind) * np.asarray(wind_gain)
    arc = Curve.integrate(path.along_arc, path.lift_off(zero), path.arc_length() + zero, ARC_STEPS)
    end = falling_root(lambda where: path.rise - arc.at(where, 2), zero, zero + 1.0, END_STEPS)
    left_at = falling_root(lambda where: path.too_fast(arc.at(where, slice(3))), zero, end, ROOT_STEPS)
    distance, time, passed, angle = path.straight(arc.at(left_at))
    climbs = ~(angle <= 0)  # NaN goes on as NaN
    return (
        np.where(climbs, distance - head_wind * time, np.inf),
        np.where(climbs, time, np.inf),
        np.where(climbs, passed, np.nan),
        np.where(climbs, angle + tilt, np.nan),
    )


@dataclass(frozen=True, slots=True)
class _Path:
    """The forces on the way; a state is angle to the strip, kinetic height, height, distance and time."""

    vehicle: Vehicle
    air: Air
    power: Array
    tilt: Array
    load: Array  # at lift-off
    first: Array  # kinetic height at lift-off
    last: Array  # and as asked at the obstacle
    rise: Array
    wind: LogarithmicGain

    def gradient(self, kinetic: Array, height: Array, load: Array) -> Array:
        """(T − D)/W."""
        vehicle, air, speed = self.vehicle, self.air, _speed(kinetic)
        effect = ground_effect_factor((vehicle.wing_height + height) / vehicle.span)
        pull = vehicle.propeller.thrust(speed, air.density, self.power)
        return np.asarray((pull - drag(vehicle, air, speed, load, effect)) / weight(vehicle))

    def at_lift_off(self) -> Array:
        """Gain of kinetic height per length where the arc begins."""
        return self.gradient(self.first, np.zeros(()), self.load) - np.sin(self.tilt)

    def nothing(self) -> Array:
        """Zeros of the broadcast shape."""
        return np.zeros(np.shape(self.at_lift_off() + self.last + self.rise))

    def lift_off(self, zero: Array) -> Array:
        """The state in which the arc begins."""
        return np.stack([zero, self.first + zero, zero, zero, zero])

    def along_arc(self, state: Array) -> Array:
        """Change of the state per length at the lift coefficient of lift-off."""
        angle, height = state[0], np.maximum(state[2], 0.0)
        kinetic = np.maximum(state[1], self.first / 4)
        load = self.load * np.maximum(kinetic / self.first, 1.0)
        sine, cosine = np.sin(angle + self.tilt), np.cos(angle + self.tilt)
        speed = _speed(kinetic)
        return np.stack(
            [
                (load - cosine) / (2 * kinetic),
                self.gradient(kinetic, height, load) - sine + self.freshening(speed, height, angle),
                np.sin(angle),
                np.cos(angle) - self.wind.at(height) / speed,
                1 / speed,
            ]
        )

    def freshening(self, speed: Array, height: Array, angle: Array) -> Array:
        """Gain of kinetic height per length from a head wind that grows with height."""
        return np.asarray(speed / GRAVITY * self.wind.per_height(height) * np.sin(angle))

    def straight_gradient(self, state: Array) -> Array:
        """Mean gain of kinetic height per length of the straight climb from a state."""
        _, shares = unit_nodes(STRAIGHT_NODES, state[0].ndim)
        return np.asarray(np.sum(shares * self.straight_gradients(state), axis=0))

    def straight_gradients(self, state: Array) -> Array:
        """Gain of kinetic height per length at the nodes of the straight climb from a state."""
        fractions, _ = unit_nodes(STRAIGHT_NODES, state[0].ndim)
        kinetic, height = np.maximum(state[1], self.first / 4), np.minimum(state[2], self.rise)
        between, reached = (
            kinetic + fractions * (self.last - kinetic),
            height + fractions * (self.rise - height),
        )
        steepness = self.gradient(between, reached, np.cos(state[0] + self.tilt))
        steepness = steepness + self.freshening(_speed(between), reached, state[0])
        return np.asarray(steepness - np.sin(state[0] + self.tilt))

    def too_fast(self, state: Array) -> Array:
        """Kinetic height over that asked at the obstacle where the arc is left in a state, times sin γ."""
        above = (state[1] - self.last) * np.sin(state[0])
        return np.asarray(above + (self.rise - state[2]) * self.straight_gradient(state))

    def straight(self, state: Array) -> tuple[Array, Array, Array, Array]:
        """Distance, time, speed and angle at the obstacle when the arc is left in a state."""
        fractions, shares = unit_nodes(STRAIGHT_NODES, state[0].ndim)
        angle = np.where(state[0] <= 0, 0.1, state[0])  # no climb: any angle will do, the caller drops it
        length = np.maximum(self.rise - state[2], 0.0) / np.sin(angle)
        kinetic = np.maximum(state[1] + length * self.straight_gradient(state), self.first / 16)
        # Near the ground more is gained than higher up.
        gained = np.tensordot(UP_TO_NODES, self.straight_gradients(state), axes=1)
        between = np.maximum(state[1] + length * gained, self.first / 16)
        time = state[4] + length * np.sum(shares / _speed(between), axis=0)
        reached = state[2] + fractions * np.maximum(self.rise - state[2], 0.0)
        moved = length * np.sum(shares * self.wind.at(reached) / _speed(between), axis=0)
        return state[3] + length * np.cos(angle) - moved, time, _speed(kinetic), state[0]

    def arc_length(self) -> Array:
        """A length in which the arc reaches the rise: at constant speed, or a quarter over that of gaining.

        While the angle is small the height is (pull s²/2 + growth s³/6k)/2k; Newton's method from above on
        this convex cubic.
        """
        pull, growth = self.load - np.cos(self.tilt), self.load * np.maximum(self.at_lift_off(), 1e-6)
        radius = 2 * self.first / pull
        constant = radius * np.arccos(np.maximum(1 - self.rise / radius, 0.0))
        target = 2 * self.first * self.rise
        length = np.minimum(np.sqrt(2 * target / pull), np.cbrt(6 * self.first * target / growth))
        for _ in range(3):
            excess = length**2 * (pull / 2 + growth * length / (6 * self.first)) - target
            length = length - excess / (length * (pull + growth * length / (2 * self.first)))
        return np.minimum(constant, 1.25 * length)


def _speed(kinetic_height: Array) -> Array:
    return np.sqrt(2 * GRAVITY * kinetic_height)
