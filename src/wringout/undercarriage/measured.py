"""How well figures of the undercarriage are known: its lengths as measured, brought through them."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import replace

from wringout.airplane.airplane import Undercarriage

_ARMS = ("main_arm", "third_arm", "track", "thrust_line_height", "tail_low_arm", "tail_low_height")
_STEP = 1e-3  # of a standard uncertainty


def spread_of(figure: Callable[[Undercarriage], float], gear: Undercarriage) -> float | None:
    """Standard uncertainty of a figure from those of the lengths it is told from.

    Parameters
    ----------
    figure : callable
        Undercarriage → figure.
    gear : Undercarriage
        Its `measured_sd` is that of every arm, track and height, its `cg_height_sd` that of the CG's height.

    Returns
    -------
    float or None
        In the figure's unit; None where the description gives no uncertainty of its lengths.

    Notes
    -----
    Linear propagation [GUM, 5.1.2], lengths independent. Deflections, drops, pressures and angles are taken
    as described.
    """
    if gear.measured_sd is None:
        return None
    sizes = {name: gear.measured_sd for name in _ARMS if getattr(gear, name) is not None}
    sizes["cg_height"] = gear.cg_height_sd or gear.measured_sd
    here = figure(gear)
    slopes = []
    for name, size in sizes.items():
        moved = replace(gear, **{name: getattr(gear, name) + _STEP * size})
        slopes.append((figure(moved) - here) / _STEP)
    return math.sqrt(math.fsum(slope * slope for slope in slopes))
