"""A wheel on a trailing arm: how far it travels, and what load reaches the spring."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from wringout.airplane.machine import TrailingArm

FloatArray = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class WheelPath:
    """From standing to bottomed: the wheel goes `up` and `aft` [m]; the arm then slopes by `slope` [rad]."""

    up: float
    aft: float
    slope: float


def wheel_path(arm: TrailingArm) -> WheelPath:
    """The wheel's way as the spring is pressed from standing to bottomed.

    Returns
    -------
    WheelPath
        `aft` is negative once the arm has passed level.

    Notes
    -----
    [derived] The spring's travel s turns the arm by s/r, r the spring's lever, taken as constant. An arm of
    length R that slopes by θ below level carries its axle from R sin θ to R sin(θ − s/r) below the pivot and
    from R cos θ to R cos(θ − s/r) behind it.
    """
    after = arm.slope - arm.spring_travel / arm.spring_arm
    return WheelPath(
        arm.length * (math.sin(arm.slope) - math.sin(after)),
        arm.length * (math.cos(after) - math.cos(arm.slope)),
        after,
    )


def spring_load(arm: TrailingArm, vertical: ArrayLike, rearward: ArrayLike = 0.0) -> FloatArray:
    """Force in the spring for a vertical and a rearward force at the axle, in their unit.

    Parameters
    ----------
    arm : TrailingArm
        At its slope when standing.
    vertical, rearward : array_like, broadcastable
        On the wheel, upward and toward the tail, as a bump or a brake's drag gives it.

    Returns
    -------
    ndarray
        Positive presses the spring.

    Notes
    -----
    [derived] Moments about the pivot: F r = N R cos θ + D R sin θ. With the arm sloping down, a blow from
    ahead helps to swing the wheel up and back; a level arm feels none of it. A brake whose torque stays in
    the wheel's own carrier passes its drag through the axle all the same.

    Examples
    --------
    >>> leg = TrailingArm(0.5, math.radians(30.0), 0.125, 0.05)
    >>> print(f"{float(spring_load(leg, 1000.0)):.0f} N, {float(spring_load(leg, 1000.0, 400.0)):.0f} N")
    3464 N, 4264 N
    """
    n, d = np.asarray(vertical, dtype=np.float64), np.asarray(rearward, dtype=np.float64)
    turning = n * math.cos(arm.slope) + d * math.sin(arm.slope)
    return np.asarray(turning * arm.length / arm.spring_arm)


def motion_ratio(arm: TrailingArm) -> float:
    """Wheel travel for a unit of spring travel, standing: R cos θ/r, which is also spring over wheel load."""
    return arm.length * math.cos(arm.slope) / arm.spring_arm
