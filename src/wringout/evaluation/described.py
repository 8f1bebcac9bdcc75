"""What an airplane's description comes to, in the sentences that stand above its form."""

from __future__ import annotations

import math

from wringout.airplane.airplane import Airplane, Weighing
from wringout.dossier.dossier import Units
from wringout.loading import empty_mass, payload_with_fuel, useful_load
from wringout.quantity.showing import arm_digits, show, show_estimate


def useful_sentence(airplane: Airplane, units: Units) -> str:
    """What the reference configuration has left for people, things and fuel; InputError as `empty_mass`."""
    name = airplane.configurations[0].name
    useful = show(useful_load(airplane, name).value, units.mass, digits=0)
    capacity = math.fsum(tank.usable for tank in airplane.tanks)
    left = payload_with_fuel(airplane, name, capacity).value
    beside = f"{show(abs(left), units.mass, digits=0)} {'is left' if left >= 0.0 else 'is lacking'}"
    return f"The {airplane.name} takes {useful} of people, things and fuel; with full tanks {beside}."


def empty_sentence(airplane: Airplane, units: Units) -> str:
    """Empty mass and arm of every configuration, and what they rest on; InputError as `empty_mass`."""
    said = []
    for item in airplane.configurations:
        empty = empty_mass(airplane, item.name)
        arm = show(empty.arm.value, units.arm, digits=arm_digits(units.arm))
        said.append(f"{item.name} {show_estimate(empty.mass, units.mass)} at {arm}")
    weighed = airplane.empty
    source = (
        f"weighed on {weighed.day.day} {weighed.day:%B %Y}"
        if isinstance(weighed, Weighing)
        else f"from {weighed.source}"
    )
    return f"Empty, {source}: {'; '.join(said)}."
