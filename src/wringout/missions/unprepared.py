"""Ground that nobody prepared: what wheels climb, and what to look at before landing there."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from math import isfinite

import numpy as np

from wringout.airplane.airplane import Undercarriage
from wringout.dossier.dossier import Units
from wringout.missions.runs import FieldRuns
from wringout.missions.suitability import StripAnswer
from wringout.physics.constants import OBSTACLE_HEIGHT
from wringout.physics.vehicle import Air, thrust
from wringout.quantity.showing import arm_digits, show
from wringout.undercarriage import climbed_steps

WIRES = 30.0  # m above the ground below which wires are looked for along the approach; common practice


@dataclass(frozen=True, slots=True)
class RoughGround:
    """One wheel against a step or rut of `step` [m]: the highest it climbs from rest at full power [m]."""

    wheel: str
    step: float
    climbs: float


@dataclass(frozen=True, slots=True)
class Look:
    """One thing to look at from the air or on foot before the first landing."""

    what: str
    how: str


def rough_ground(
    gear: Undercarriage, runs: FieldRuns, elevation: float, step: float
) -> tuple[RoughGround, ...]:
    """Each wheel of a known radius against a step, from rest at full power.

    Parameters
    ----------
    gear : Undercarriage
    runs : FieldRuns
        The first mass counts, with the CG of its landings; thrust is the draws' median.
    elevation : float
        [m], standard air.
    step : float
        [m]

    Notes
    -----
    As `undercarriage.climbed_steps`. A rolling airplane brings its own momentum, and a leg its limit load:
    this is about getting away from rest.
    """
    count = runs.draws * len(runs.masses)
    pulled = np.broadcast_to(thrust(runs.take_off.vehicle, Air.standard(elevation), 0.0), (count,))
    cg = runs.asking.asked("landing", runs.masses[0], runs.surfaces[0]).cg
    climbed = climbed_steps(gear, runs.masses[0], cg, float(np.median(pulled[: runs.draws])))
    return tuple(RoughGround(wheel, step, climbs) for wheel, climbs in climbed)


def inspection(
    answer: StripAnswer, gear: Undercarriage, rough: tuple[RoughGround, ...], units: Units
) -> tuple[Look, ...]:
    """What to look at before the first landing on this ground, with the figures that decide.

    Parameters
    ----------
    answer : StripAnswer
    gear : Undercarriage
    rough : tuple of RoughGround
        As `rough_ground` found.
    units : Units
    """

    def metres(value: float) -> str:
        return show(value, units.distance, digits=0) if isfinite(value) else "more than there is"

    landing, off = answer.landing[0], answer.take_off[0]
    strip = answer.strip
    looks = [
        Look(
            "Wires",
            f"look for poles, not wires, on both approaches and across the way out, up to "
            f"{metres(WIRES)} above the ground; any counts as an obstacle of its height",
        ),
        Look(
            "Length",
            f"pace it: landing needs {metres(landing)} and take-off {metres(off)}, margin included, in the "
            "middling hour",
        ),
        Look(
            "Surface",
            f"walk it all: is it {strip.surface} from end to end? Holes, stones and ruts across count "
            f"{_step_words(rough, units)}",
        ),
        Look(
            "Slope",
            f"sight it with a level: reckoned with {100.0 * strip.slope:.1f} % up along the heading; a side "
            "slope is not reckoned",
        ),
        Look(
            "Way out",
            "settle before landing that it goes out again: " + _way_out(answer, metres),
        ),
    ]
    if gear.main_tyre_pressure is not None:
        looks.insert(
            3,
            Look(
                "Bearing",
                f"a boot's heel must not sink: the main tyres press with "
                f"{show(gear.main_tyre_pressure, 'bar', digits=1)}",
            ),
        )
    return tuple(looks)


def _step_words(rough: tuple[RoughGround, ...], units: Units) -> str:
    if not rough:
        return "(the wheels' size is not in the dossier)"
    least = min(rough, key=lambda item: item.climbs)
    climbs = show(least.climbs, units.arm, digits=arm_digits(units.arm))
    return f"from {climbs} up: more it does not climb from rest with {least.wheel}"


def _way_out(answer: StripAnswer, metres: Callable[[float], str]) -> str:
    strip = answer.strip
    if strip.one_way:
        low_end = strip.obstacle_near if strip.slope >= 0.0 else strip.obstacle_far
        tall = f" over {metres(low_end)}" if low_end > 0.0 else ""
        return f"downhill only{tall}, and no going round after the approach"
    tallest = max(strip.obstacle_near, strip.obstacle_far, OBSTACLE_HEIGHT)
    return f"over {metres(tallest)} at the end, with the load to be carried out"
