"""What stands on which wheel, and how far the airplane is from tipping back or over."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from wringout.airplane.airplane import Undercarriage

FloatArray = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class WheelLoads:
    """Static loads as masses [kg]: both main wheels together; nose or tail wheel, and its share of all."""

    main: FloatArray
    third: FloatArray
    third_share: FloatArray


def static_loads(undercarriage: Undercarriage, mass: ArrayLike, cg: ArrayLike) -> WheelLoads:
    """Loads on the wheels of the airplane standing level.

    Parameters
    ----------
    undercarriage : Undercarriage
        Arms of main and third wheels [m].
    mass, cg : array_like, broadcastable
        [kg] and [m] aft of the datum. NaN gives NaN.

    Returns
    -------
    WheelLoads
        A negative third share means that the airplane does not stand on its third wheel.

    Raises
    ------
    ValueError
        Main and third wheels at the same arm.

    Notes
    -----
    N₃/W = (x − x_main)/(x₃ − x_main), moments about the main axle [plain mechanics].
    """
    base = _signed_wheelbase(undercarriage)
    masses, cgs = np.broadcast_arrays(np.asarray(mass, dtype=np.float64), np.asarray(cg, dtype=np.float64))
    share = (cgs - undercarriage.main_arm) / base
    return WheelLoads(masses * (1.0 - share), masses * share, share)


def wheelbase(undercarriage: Undercarriage) -> float:
    """Distance between main axle and third wheel [m]; ValueError where they are at the same arm."""
    return abs(_signed_wheelbase(undercarriage))


def third_wheel_ahead(undercarriage: Undercarriage) -> bool:
    """Whether the third wheel, or ski, stands ahead of the main ones."""
    return undercarriage.third_arm < undercarriage.main_arm


def tip_angle(undercarriage: Undercarriage, cg: ArrayLike) -> FloatArray:
    """Angle [rad] at the main wheels between the vertical and the CG, on the third wheel's side.

    With a nose wheel how far the tail may go down before the airplane sits on it; with a tail wheel how far
    the CG lies behind the main wheels, standing level. tan θ = |x − x_main|/h, negative where the CG is on
    the wrong side [Raymer, ch. 11].
    """
    side = np.sign(_signed_wheelbase(undercarriage))
    distance = side * (np.asarray(cg, dtype=np.float64) - undercarriage.main_arm)
    return np.asarray(np.arctan2(distance, undercarriage.cg_height))


def overturn_angle(undercarriage: Undercarriage, cg: ArrayLike) -> FloatArray:
    """Angle [rad] that the CG makes over the line between third wheel and one main wheel; less is steadier.

    tan ψ = h/d with d = l sin(atan((t/2)/L)), l from the third wheel to the CG, t the track, L the wheelbase
    [Raymer, ch. 11].
    """
    base = wheelbase(undercarriage)
    from_third = np.abs(np.asarray(cg, dtype=np.float64) - undercarriage.third_arm)
    distance = from_third * np.sin(np.arctan2(0.5 * undercarriage.track, base))
    return np.asarray(np.arctan2(undercarriage.cg_height, distance))


def dynamic_nose_load(
    mass: ArrayLike, deceleration: ArrayLike, cg_height: ArrayLike, base: ArrayLike
) -> FloatArray:
    """What a deceleration [m/s²] adds to the nose wheel [N]: m a h/L.

    Mass [kg], CG height and wheelbase [m]. Inertia acts at the CG, the braking force at the ground [Raymer,
    ch. 11, with a = 10 ft/s²]. ValueError where the wheelbase is not positive.
    """
    length = np.asarray(base, dtype=np.float64)
    if np.any(length <= 0.0):
        raise ValueError("the wheelbase must be positive")
    weight = np.asarray(mass, dtype=np.float64) * np.asarray(deceleration, dtype=np.float64)
    return np.asarray(weight * np.asarray(cg_height, dtype=np.float64) / length)


def _signed_wheelbase(undercarriage: Undercarriage) -> float:
    base = undercarriage.third_arm - undercarriage.main_arm
    if base == 0.0:
        raise ValueError("main and third wheels stand at the same arm")
    return base
