"""What the wheels let the pilot do on the ground: brake, pivot, and roll over a step."""

import math

import numpy as np
from numpy.typing import ArrayLike, NDArray

from wringout.airplane.airplane import Undercarriage
from wringout.physics.constants import GRAVITY
from wringout.physics.ground import nose_wheel_braking, tail_wheel_braking
from wringout.undercarriage.static import static_loads, third_wheel_ahead, wheelbase

FloatArray = NDArray[np.float64]


def braking_limit(undercarriage: Undercarriage, cg: ArrayLike, friction: ArrayLike) -> FloatArray:
    """Greatest deceleration over g that friction and geometry allow with the brakes on the main wheels.

    Parameters
    ----------
    undercarriage : Undercarriage
    cg : array_like, broadcastable
        [m] aft of the datum, between main and third wheels.
    friction : array_like, broadcastable
        Coefficient at the braked wheels.

    Returns
    -------
    ndarray
        No lift, level ground; zero without brakes.

    Raises
    ------
    ValueError
        The CG is not between the wheels, or friction is negative.

    Notes
    -----
    Nose wheel: μ a/(L + μ h). Tail wheel: up to lifting the tail, x/h [derived; see
    `wringout.physics.ground`].
    """
    place, mu = np.broadcast_arrays(np.asarray(cg, dtype=np.float64), np.asarray(friction, dtype=np.float64))
    ahead = third_wheel_ahead(undercarriage)
    third, main = undercarriage.third_arm, undercarriage.main_arm
    if np.any((place <= min(third, main)) | (place >= max(third, main))):
        raise ValueError(
            f"the CG must lie between the wheels, {min(third, main):g} m and {max(third, main):g} m"
        )
    if not undercarriage.braking:
        return np.where(np.isnan(place + mu), np.nan, 0.0)
    base, height = wheelbase(undercarriage), undercarriage.cg_height
    if ahead:
        return np.asarray(nose_wheel_braking(mu, base, height, place - third))
    return np.asarray(tail_wheel_braking(mu, base, height, place - main))


def castor_to_pivot(undercarriage: Undercarriage) -> float:
    """Castor angle [rad] with which the airplane turns about one locked main wheel: atan(2L/t) [derived].

    The third wheel, L from the axle, then moves square to its line to that wheel, t/2 off the centre line.
    """
    return math.atan2(2.0 * wheelbase(undercarriage), undercarriage.track)


def turn_radius(undercarriage: Undercarriage, castor: float | None = None) -> float:
    """Tightest turn [m]: radius of the middle of the main axle, with a castor angle [rad] up to the travel.

    L/tan(castor), no tighter than about one main wheel, t/2 [derived]. A castor free to swing all round
    (None, and none described) pivots about a wheel. ValueError where the angle is not positive.
    """
    angle = undercarriage.castor_travel if castor is None else castor
    half_track = 0.5 * undercarriage.track
    if angle is None or angle >= castor_to_pivot(undercarriage):
        return half_track
    if angle <= 0.0:
        raise ValueError("a castor angle must be positive")
    return wheelbase(undercarriage) / math.tan(angle)


def step_pull(radius: ArrayLike, step: ArrayLike) -> FloatArray:
    """Horizontal pull at the axle over the load on a wheel that rolls it up a step.

    Parameters
    ----------
    radius : array_like, broadcastable
        Of the wheel, taken as rigid [m].
    step : array_like, broadcastable
        Height [m]. NaN gives NaN.

    Returns
    -------
    ndarray
        √(r² − (r − s)²)/(r − s) [derived: moments about the edge of the step].

    Raises
    ------
    ValueError
        A radius that is not positive, a step that is negative or as high as the axle: no pull climbs it.
    """
    r, s = np.asarray(radius, dtype=np.float64), np.asarray(step, dtype=np.float64)
    if np.any(r <= 0.0):
        raise ValueError("the radius must be positive")
    if np.any(s < 0.0) or np.any(s >= r):
        raise ValueError("a wheel climbs a step from nothing up to below its axle")
    return np.asarray(np.sqrt(r**2 - (r - s) ** 2) / (r - s))


def climbable_step(radius: ArrayLike, pull: ArrayLike) -> FloatArray:
    """Step [m] that a horizontal pull, over the load on the wheel, can climb: r (1 − 1/√(1 + k²)) [derived].

    The inverse of `step_pull`; radius [m]. ValueError where the radius is not positive or the pull negative.
    """
    r, k = np.asarray(radius, dtype=np.float64), np.asarray(pull, dtype=np.float64)
    if np.any(r <= 0.0) or np.any(k < 0.0):
        raise ValueError("the radius must be positive and the pull not negative")
    return np.asarray(r * (1.0 - 1.0 / np.sqrt(1.0 + k**2)))


def climbed_steps(
    undercarriage: Undercarriage, mass: float, cg: float, thrust: float
) -> tuple[tuple[str, float], ...]:
    """Step [m] that each wheel climbs from rest at a thrust [N], by name; only wheels of described radius.

    Parameters
    ----------
    undercarriage : Undercarriage
    mass, cg : float
        [kg] and [m] aft of the datum.
    thrust : float
        [N], all of it pulling at the axle that meets the step.

    Returns
    -------
    tuple of (str, float)
        Third wheel, both main wheels together, and one main wheel alone.

    Raises
    ------
    ValueError
        A negative thrust, or main and third wheels at the same arm.

    Notes
    -----
    [derived: `climbable_step`] with the static load of each wheel. Both main wheels climb no more than the
    thrust that lifts the tail of a tail-wheel airplane allows, see `thrust_to_nose_over`.
    """
    loads = static_loads(undercarriage, mass, cg)
    main, third = float(loads.main) * GRAVITY, float(loads.third) * GRAVITY
    name = "nose wheel" if third_wheel_ahead(undercarriage) else "tail wheel"
    found: list[tuple[str, float]] = []
    if undercarriage.kind == "skis":
        return ()
    if undercarriage.third_wheel_radius is not None and third > 0.0:
        found.append((name, float(climbable_step(undercarriage.third_wheel_radius, thrust / third))))
    if undercarriage.main_wheel_radius is not None and main > 0.0:
        limit = thrust_to_nose_over(undercarriage, mass, cg)
        pull = thrust if limit is None else min(thrust, limit)
        radius = undercarriage.main_wheel_radius
        found.append(("both main wheels", float(climbable_step(radius, pull / main))))
        found.append(("one main wheel", float(climbable_step(radius, pull / (0.5 * main)))))
    return tuple(found)


def thrust_to_nose_over(undercarriage: Undercarriage, mass: float, cg: float) -> float | None:
    """Thrust [N] that lifts the tail with the main wheels held: W x/h_T, x the CG behind them [derived].

    Moments about the main wheels' contact, the thrust line at its height level. None with a nose wheel, or
    where that height is not described; ValueError where the CG is ahead of the main wheels.
    """
    if third_wheel_ahead(undercarriage) or undercarriage.thrust_line_height is None:
        return None
    behind = cg - undercarriage.main_arm
    if behind < 0.0:
        raise ValueError("the CG of a tail-wheel airplane lies behind its main wheels")
    return mass * GRAVITY * behind / undercarriage.thrust_line_height
