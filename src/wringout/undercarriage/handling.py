"""What the wheels let the pilot do on the ground: brake, pivot, and roll over a step."""

import math

import numpy as np
from numpy.typing import ArrayLike, NDArray

from wringout.airplane.airplane import Undercarriage
from wringout.physics.ground import nose_wheel_braking, tail_wheel_braking
from wringout.undercarriage.static import third_wheel_ahead, wheelbase

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
