"""How far the propeller stays from the ground: at rest, level, at 1.5 g, on a flat tyre, nose down."""

from __future__ import annotations

import math
from dataclasses import dataclass

from wringout.airplane.airplane import Undercarriage
from wringout.undercarriage.static import third_wheel_ahead

INCH = 0.0254
NOSE_WHEEL_CLEARANCE = 7.0 * INCH  # level, standing [CFR23, 23.925(a)]
TAIL_WHEEL_CLEARANCE = 9.0 * INCH  # level, standing [CFR23, 23.925(a)]
SPRING_LOAD_FACTOR = 1.5  # at which leaf springs must still hold it clear [CFR23, 23.925(a)]


@dataclass(frozen=True, slots=True)
class Clearance:
    """Propeller to ground [m] in one attitude, and the least that is asked there; 0: anything above it."""

    attitude: str
    found: float
    asked: float | None


def propeller_clearances(gear: Undercarriage, diameter: float, arm: float | None) -> tuple[Clearance, ...]:
    """Clearances in every attitude that the description can answer.

    Parameters
    ----------
    gear : Undercarriage
        Its thrust-line height, attitude at rest, deflections and drops, as far as they are described.
    diameter : float
        Of the propeller [m].
    arm : float or None
        Of its disk [m]; None: only the level attitude can be told.

    Returns
    -------
    tuple of Clearance
        Empty where the thrust line's height is not described.

    Notes
    -----
    [derived] Turned nose up by θ about the main wheels' contact, a disk ahead of them by l with its axis h
    above the ground has its lowest point at h cos θ + l sin θ − r cos θ. Where a wheel sinks, the line
    through the wheels turns: at the disk it comes down by d_m + (d_3 − d_m)(x_p − x_m)/(x_3 − x_m); of one
    main wheel's drop the centre line feels half. With a tail wheel the level attitude is held by the
    elevator, and the main wheels' drop is that of the disk.
    """
    height = gear.thrust_line_height
    if height is None:
        return ()
    radius = 0.5 * diameter
    ahead = third_wheel_ahead(gear)
    found = [
        Clearance("level, standing", height - radius, NOSE_WHEEL_CLEARANCE if ahead else TAIL_WHEEL_CLEARANCE)
    ]
    if arm is None:
        return tuple(found)
    forward, theta = gear.main_arm - arm, gear.ground_attitude
    if theta != 0.0:
        rest = (height - radius) * math.cos(theta) + forward * math.sin(theta)
        found.insert(0, Clearance("at rest", rest, None))
    lever = (arm - gear.main_arm) / (gear.third_arm - gear.main_arm) if ahead else 0.0

    def sunk(main: float, third: float) -> float:
        return height - radius - (main + (third - main) * lever)

    extra = SPRING_LOAD_FACTOR - 1.0
    if gear.main_static_deflection is not None:
        third = gear.third_static_deflection or 0.0
        found.append(
            Clearance("level at 1.5 g", sunk(extra * gear.main_static_deflection, extra * third), 0.0)
        )
    if gear.main_flat_drop is not None:
        found.append(
            Clearance("a main tyre flat, its strut bottomed", sunk(0.5 * gear.main_flat_drop, 0.0), 0.0)
        )
    if gear.third_flat_drop is not None and ahead:
        found.append(Clearance("nose tyre flat, strut bottomed", sunk(0.0, gear.third_flat_drop), 0.0))
    return tuple(found)


def nose_down_to_touch(gear: Undercarriage, diameter: float, arm: float) -> float | None:
    """How far below level [rad] the nose may go about the main wheels before the propeller touches.

    tan φ = (h − r)/l, with the disk l ahead of the main wheels [derived]. None where the thrust line's height
    is not described, or the disk does not lie ahead of the main wheels.
    """
    forward = gear.main_arm - arm
    if gear.thrust_line_height is None or forward <= 0.0:
        return None
    return math.atan2(gear.thrust_line_height - 0.5 * diameter, forward)


def tail_down_to_touch(gear: Undercarriage) -> float | None:
    """Nose-up angle [rad] about the main wheels at which the tail's low point touches; None where unknown.

    tan θ = z/(x − x_main) [derived].
    """
    if gear.tail_low_arm is None or gear.tail_low_height is None or gear.tail_low_arm <= gear.main_arm:
        return None
    return math.atan2(gear.tail_low_height, gear.tail_low_arm - gear.main_arm)
