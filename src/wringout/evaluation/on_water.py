"""Thrust at rest, and a pair of floats on the water: what they weigh and carry, and the run over the hump."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Any

import numpy as np

from wringout.airplane.airplane import Airplane
from wringout.airplane.lookups import kit as kit_named
from wringout.airplane.machine import FloatSet
from wringout.model.fit import Fit
from wringout.model.vehicles import engine, propeller, theta_of_draws, vehicle
from wringout.physics.constants import SEA_LEVEL_DENSITY
from wringout.physics.vehicle import Air, thrust, true_stall_speed
from wringout.quantity.dimensions import Dimension
from wringout.quantity.estimate import Estimate
from wringout.undercarriage import (
    HUMP_SD,
    Rule,
    WaterResistance,
    float_rule,
    reserve_buoyancy,
    run_speeds,
    water_run,
)

GETAWAY = 1.10  # of the stall speed, at which floats leave the water (common practice, no source)
# Share of the power that blades at rest pass on, before a fit (common practice, no source).
BLADES, BLADES_SD = 0.75, 0.08
DRAWS = 200  # of the fit, for the run on water
_SEA_LEVEL = Air.standard(0.0)


@dataclass(frozen=True, slots=True)
class OnWater:
    """A pair of floats: what the kit weighs [kg], its drag, buoyancy, and the run [m] and time [s].

    `run` and `time` are (5 %, median, 95 %) of the draws, inf where the hump is not overcome; `overcome` is
    the share of draws that leave the water. None where nothing was fitted.
    """

    name: str
    mass_change: float
    mass: float
    drag_share: Estimate | None  # of the reference's zero-lift drag area
    buoyancy: float
    rule: Rule
    getaway_speed: float | None
    hump_margin: float | None
    run: tuple[float, float, float] | None
    time: tuple[float, float, float] | None
    overcome: float | None


def speaking(airplane: Airplane, fit: Fit | None) -> Fit | None:
    """The fit, if it knows everything that this airplane's drag and thrust hang on; None where it does not.

    A fit of another description lacks parameters of this one, or has draws that no airplane can have.
    """
    if fit is None:
        return None
    theta = theta_of_draws(fit)
    names = [item.name for item in airplane.configurations]
    try:
        for flap in airplane.flaps:
            vehicle(airplane, theta, names, [flap.name] * len(names), 1000.0)
    except (KeyError, ValueError):
        return None
    return fit


def static_thrust(airplane: Airplane, fit: Fit | None) -> Estimate:
    """Thrust at rest and full power at sea level [N]: fitted, or of blades as they usually are.

    Before a fit: T = (2 ρ A (η P)²)^⅓ with η 0.75 ± 0.08 [disk theory; the blades' share: common practice, no
    source].
    """
    if fit is not None:
        theta = theta_of_draws(fit)
        power = engine(airplane, theta).full_power(_SEA_LEVEL.pressure, _SEA_LEVEL.temperature)
        drawn = np.ravel(propeller(airplane, theta).thrust(0.0, _SEA_LEVEL.density, power))
        return Estimate(
            float(np.median(drawn)), float(np.std(drawn)), Dimension.FORCE, "the fitted propeller, at rest"
        )
    area = 0.25 * math.pi * airplane.propeller.diameter**2
    value = (2.0 * SEA_LEVEL_DENSITY * area * (BLADES * airplane.engine.rated_power) ** 2) ** (1.0 / 3.0)
    return Estimate(
        value,
        value * 2.0 / 3.0 * BLADES_SD / BLADES,
        Dimension.FORCE,
        "rated power through blades that pass on 75 %, nothing fitted yet",
    )


def on_water(airplane: Airplane, fit: Fit | None, floats: FloatSet, mass: float) -> OnWater:
    """A pair of floats at a mass [kg]: weight, drag, buoyancy, and with a fit the run on water."""
    kit = kit_named(airplane, floats.kit)
    change = math.fsum(item.mass for item in kit.on) - math.fsum(item.mass for item in kit.off)
    rule = float_rule(floats.name, floats.volume, mass)
    buoyancy = reserve_buoyancy(floats.volume, mass)
    if fit is None:
        return OnWater(floats.name, change, mass, None, buoyancy, rule, None, None, None, None, None)
    theta = {name: column[:DRAWS] for name, column in theta_of_draws(fit).items()}
    reference = airplane.configurations[0].name
    flap = airplane.flaps[min(1, len(airplane.flaps) - 1)].name
    craft = vehicle(airplane, theta, [reference], [flap], mass)
    getaway = GETAWAY * np.ravel(true_stall_speed(craft, _SEA_LEVEL))
    speeds = run_speeds(getaway)
    pull = np.asarray(thrust(craft, _SEA_LEVEL, np.maximum(speeds, 0.1)))
    humps = WaterResistance().hump + HUMP_SD * np.random.default_rng(0).standard_normal(getaway.size)
    run = water_run(pull, np.full(getaway.size, mass), getaway, hump=humps)
    area = np.median(theta["zero-lift drag area"])
    drag = floats.drag_area_change
    share = (
        None
        if drag is None
        else Estimate(
            drag.value / float(area),
            None if drag.sd is None else drag.sd / float(area),
            Dimension.RATIO,
            "described, over the fitted zero-lift drag area",
        )
    )
    return OnWater(
        floats.name,
        change,
        mass,
        share,
        buoyancy,
        rule,
        float(np.median(getaway)),
        float(np.median(run.hump_margin)),
        _middle(run.distance),
        _middle(run.time),
        float(np.mean(np.isfinite(run.distance))),
    )


def _middle(values: Any) -> tuple[float, float, float]:
    ordered = np.sort(values)  # inf stands last, and no figure lies between it and the others
    places = [round(share * (ordered.size - 1)) for share in (0.05, 0.50, 0.95)]
    low, middle, high = (float(ordered[place]) for place in places)
    return low, middle, high
