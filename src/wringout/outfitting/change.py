"""One build exchanged for another: what comes off and goes on, the work, the price, and what it does."""

from __future__ import annotations

import math
from dataclasses import dataclass

from wringout.airplane import lookups
from wringout.airplane.airplane import Airplane, ExchangeKit, Item, Option
from wringout.loading.equipment import reverse
from wringout.outfitting.build import Build
from wringout.quantity.estimate import Estimate
from wringout.quantity.price import Price, total_price

_LIGHT = 5000 * 0.45359237  # kg; the three classes of [AC43.13-1B, par. 10-2 c]
_MIDDLE = 50000 * 0.45359237
_POUND = 0.45359237


@dataclass(frozen=True, slots=True)
class Step:
    """One kit or option put on or taken off, with its work [person·s] and price; None what nobody says."""

    name: str
    goes: str  # "on" or "off"
    off: tuple[Item, ...]
    on: tuple[Item, ...]
    hours: float | None  # [s], of the clock
    people: int | None
    price: str | None

    @property
    def mass(self) -> float:
        """What the step adds [kg]; negative where it takes away."""
        return math.fsum(item.mass for item in self.on) - math.fsum(item.mass for item in self.off)

    @property
    def moment(self) -> float:
        """What the step adds about the datum [kg·m]."""
        put = math.fsum(item.mass * item.arm for item in self.on)
        return put - math.fsum(item.mass * item.arm for item in self.off)


@dataclass(frozen=True, slots=True)
class Change:
    """Before → after. `labour` [person·s] counts the steps that say it, `labour_unknown` those that do not.

    `prices` are sums by currency of what is bought new; `negligible` whether the change of empty mass and CG
    is within what AC 43.13-1B need not record.
    """

    before: Build
    after: Build
    steps: tuple[Step, ...]
    labour: float
    labour_unknown: int
    prices: tuple[Price, ...]
    prices_unknown: int
    negligible: bool

    @property
    def mass(self) -> float:
        """Change of the empty mass [kg]."""
        return self.after.empty.mass.value - self.before.empty.mass.value

    @property
    def arm(self) -> float:
        """Change of the empty arm [m], aft positive."""
        return self.after.empty.arm.value - self.before.empty.arm.value

    @property
    def useful_load(self) -> float:
        """Change of the useful load [kg]."""
        return self.after.useful_load.value - self.before.useful_load.value

    @property
    def drag_area_change(self) -> Estimate | None:
        """Belief in the change of the options' drag [m²]; None where none of them says."""
        first, last = self.before.drag_area_change, self.after.drag_area_change
        if first is None or last is None or first == last:
            return None if first == last else last or _negative(first)
        sd = math.hypot(first.sd or 0.0, last.sd or 0.0)
        return Estimate(last.value - first.value, sd, last.dimension, f"{last.source}; {first.source}")


def change(airplane: Airplane, before: Build, after: Build) -> Change:
    """What it takes to make one build of an airplane into another.

    Parameters
    ----------
    airplane : Airplane
        As described, with its kits and options.
    before, after : Build
        Two builds of it.

    Returns
    -------
    Change
        Kits first, then options, what comes off before what goes on. A kit that is undone takes its work
        again and costs nothing; what is taken off is not sold.
    """
    steps = (*_kit_steps(airplane, before, after), *_option_steps(airplane, before, after))
    known = [step for step in steps if step.hours is not None]
    bought = [step.price for step in steps if step.goes == "on"]
    prices, missing = total_price(bought)
    return Change(
        before,
        after,
        steps,
        math.fsum((step.hours or 0.0) * (step.people or 1) for step in known),
        len(steps) - len(known),
        prices,
        missing,
        negligible(before, after),
    )


def negligible(before: Build, after: Build) -> bool:
    """Whether a change need not be recorded: [AC43.13-1B, par. 10-2 c].

    1 lb or less for an empty weight below 5 000 lb, 2 lb up to 50 000 lb, 5 lb above, and a CG moved by less
    than 0.05 % of the mean chord; where the chord is not known, only an unmoved CG.
    """
    empty = before.empty.mass.value
    allowed = (1.0 if empty < _LIGHT else 2.0 if empty <= _MIDDLE else 5.0) * _POUND
    moved = abs(after.empty.arm.value - before.empty.arm.value)
    chord = before.airplane.geometry.mean_chord
    near = moved < 1e-9 if chord is None else moved < 0.0005 * chord
    return abs(after.empty.mass.value - empty) <= allowed + 1e-9 and near


def _kit_steps(airplane: Airplane, before: Build, after: Build) -> tuple[Step, ...]:
    first, last = (lookups.configuration(airplane, item.configuration).kit for item in (before, after))
    if first == last:
        return ()
    steps = []
    if first is not None:
        kit = lookups.kit(airplane, first)
        undone = reverse(kit)
        steps.append(Step(kit.name, "off", undone.off, undone.on, kit.hours, kit.people, None))
    if last is not None:
        steps.append(_step(lookups.kit(airplane, last)))
    return tuple(steps)


def _option_steps(airplane: Airplane, before: Build, after: Build) -> tuple[Step, ...]:
    gone = [
        item for item in airplane.options if item.name in before.options and item.name not in after.options
    ]
    come = [
        item for item in airplane.options if item.name in after.options and item.name not in before.options
    ]
    off = tuple(Step(item.name, "off", item.on, item.off, item.hours, item.people, None) for item in gone)
    return off + tuple(_step(item) for item in come)


def _step(part: ExchangeKit | Option) -> Step:
    return Step(part.name, "on", part.off, part.on, part.hours, part.people, part.price)


def _negative(estimate: Estimate | None) -> Estimate | None:
    if estimate is None:
        return None
    return Estimate(-estimate.value, estimate.sd, estimate.dimension, estimate.source)
