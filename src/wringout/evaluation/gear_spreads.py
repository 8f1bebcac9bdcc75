"""What the measured lengths, and the thrust, leave uncertain of each figure of the undercarriage."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping

from wringout.airplane.airplane import Airplane, Undercarriage
from wringout.quantity.estimate import Estimate
from wringout.undercarriage import (
    braking_limit,
    castor_to_pivot,
    climbed_steps,
    nose_down_to_touch,
    overturn_angle,
    propeller_clearances,
    skid_or_tip,
    spread_of,
    swept_circle,
    tail_down_to_touch,
    thrust_to_nose_over,
    turn_radius,
    wheel_margin,
)

Figure = Callable[[Undercarriage], float | None]


def gear_spreads(
    airplane: Airplane, gear: Undercarriage, cg: float, mass: float, *, friction: float, thrust: Estimate
) -> Mapping[str, float]:
    """Standard uncertainties by the figure's name, in its SI unit; empty where the lengths have none.

    Parameters
    ----------
    airplane : Airplane
        Propeller and geometry; its span and length are taken as described.
    gear : Undercarriage
    cg, mass : float
        [m], [kg], taken as asked.
    friction : float
        Taken as asked.
    thrust : Estimate
        At rest [N]; its uncertainty goes into the steps.

    Returns
    -------
    mapping
        Names as in the table of what the wheels allow; of clearances and steps with attitude and wheel.
    """
    diameter, arm = airplane.propeller.diameter, airplane.propeller.arm
    figures: dict[str, Figure] = {
        "braking": lambda item: float(braking_limit(item, cg, friction)),
        "castor": castor_to_pivot,
        "turn": turn_radius,
        "circle": lambda item: swept_circle(item, airplane.geometry).diameter,
        "sideways": lambda item: skid_or_tip(float(overturn_angle(item, cg)), friction)[0],
        "wheel margin": lambda item: wheel_margin(item, cg),
        "tail down": tail_down_to_touch,
        "nose over": lambda item: thrust_to_nose_over(item, mass, cg),
        "nose down": lambda item: None if arm is None else nose_down_to_touch(item, diameter, arm),
    }
    for number, clearance in enumerate(propeller_clearances(gear, diameter, arm)):
        figures[f"clearance, {clearance.attitude}"] = _clearance(number, diameter, arm)
    found = {name: _spread(figure, gear) for name, figure in figures.items()}
    for number, (wheel, step) in enumerate(climbed_steps(gear, mass, cg, thrust.value)):
        # The thrust's part by its slope over a hundredth.
        more = climbed_steps(gear, mass, cg, 1.01 * thrust.value)[number][1]
        pulled = (more - step) / (0.01 * thrust.value) * (thrust.sd or 0.0)
        lengths = _spread(_step(number, mass, cg, thrust.value), gear)
        found[f"step, {wheel}"] = None if lengths is None else math.hypot(lengths, pulled)
    return {name: spread for name, spread in found.items() if spread is not None}


def _spread(figure: Figure, gear: Undercarriage) -> float | None:
    if figure(gear) is None:
        return None

    def known(item: Undercarriage) -> float:
        value = figure(item)
        return math.nan if value is None else value

    found = spread_of(known, gear)
    return found if found is not None and math.isfinite(found) else None


def _clearance(number: int, diameter: float, arm: float | None) -> Figure:
    return lambda item: propeller_clearances(item, diameter, arm)[number].found


def _step(number: int, mass: float, cg: float, thrust: float) -> Figure:
    return lambda item: climbed_steps(item, mass, cg, thrust)[number][1]
