"""How far the airplane gets on what is left, and how far from a landing a trip ever is."""

from __future__ import annotations

import math

from wringout.quantity.dimensions import Dimension
from wringout.quantity.estimate import Estimate


def worst_leg(distance: float, true_airspeed: float, head_wind: float = 0.0) -> tuple[float, float]:
    """Where on a trip between two landings both are equally far in time: (distance to go on, time).

    Parameters
    ----------
    distance : float
        Between the two [m].
    true_airspeed : float
        [m/s]
    head_wind : float
        On the way out [m/s], negative from behind.

    Returns
    -------
    tuple of float
        What is then left to the far end [m], and the time to either end [s].

    Raises
    ------
    ValueError
        A negative distance, or a wind as fast as the airplane.

    Notes
    -----
    [derived] On takes (D − x)/(V − w), back x/(V + w); they are equal at x = D (V + w)/(2 V), where either
    takes D/(2 V), whatever the wind.

    Examples
    --------
    >>> left, time = worst_leg(100_000.0, 50.0, 10.0)
    >>> print(f"{left / 1000:.0f} km on, {time / 60:.1f} min")
    40 km on, 16.7 min
    """
    if distance < 0.0 or true_airspeed <= abs(head_wind):
        raise ValueError("a trip has a length, and its airplane is faster than the wind")
    return distance * (true_airspeed - head_wind) / (2.0 * true_airspeed), distance / (2.0 * true_airspeed)


def reach_on_battery(
    endurance: Estimate,
    true_airspeed: Estimate,
    height: float = 0.0,
    glide_ratio: Estimate | None = None,
) -> Estimate:
    """Distance in still air [m] until the engine stops, and the glide from there.

    Parameters
    ----------
    endurance : Estimate
        Until the engine stops [s].
    true_airspeed : Estimate
        Of the flight to the landing [m/s].
    height : float
        Above the landing when the engine stops [m].
    glide_ratio : Estimate, optional
        None: no glide is counted.

    Returns
    -------
    Estimate
        [m]; a missing sd counts as none.

    Notes
    -----
    V t + h E [derived]; linear propagation [GUM, 5.1.2].

    Examples
    --------
    >>> half_hour = Estimate(1800.0, 180.0, Dimension.TIME, "played through")
    >>> speed = Estimate(50.0, 1.0, Dimension.SPEED, "fitted")
    >>> found = reach_on_battery(half_hour, speed)
    >>> print(f"{found.value / 1000:.0f} km, ± {found.sd / 1000:.1f} km")
    90 km, ± 9.2 km
    """
    glide = 0.0 if glide_ratio is None else height * glide_ratio.value
    sd = math.hypot(
        true_airspeed.value * (endurance.sd or 0.0),
        endurance.value * (true_airspeed.sd or 0.0),
        0.0 if glide_ratio is None else height * (glide_ratio.sd or 0.0),
    )
    return Estimate(
        true_airspeed.value * endurance.value + glide,
        sd,
        Dimension.LENGTH,
        f"{endurance.source}; at {true_airspeed.source}",
    )
