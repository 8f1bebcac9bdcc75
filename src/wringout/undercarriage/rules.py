"""The design rules of the trade and the regulations' clearances, each held against the worst CG."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from wringout.airplane.airplane import Airplane, Undercarriage
from wringout.undercarriage.clearance import propeller_clearances, tail_down_to_touch
from wringout.undercarriage.measured import spread_of
from wringout.undercarriage.static import overturn_angle, static_loads, third_wheel_ahead, tip_angle
from wringout.undercarriage.water import RESERVE_BUOYANCY, reserve_buoyancy

FloatArray = NDArray[np.float64]

_SECOND_HAND = "Raymer, ch. 11, quoted second-hand"
_MEMORY = "Raymer, ch. 11, from memory"
_OTHERS = "textbook tradition, quoted second-hand"
CLEARANCE = "14 CFR 23.925(a)"
_LEAST_TIP_BACK = math.radians(15.0)


@dataclass(frozen=True, slots=True)
class Rule:
    """One design rule: what the worst CG gives, what is asked, whether it holds.

    Figures in `unit`; `sd`, the standard uncertainty of what is found, is None where the description gives
    none of its lengths. `margin` is what is to spare, negative where the rule does not hold.
    """

    name: str
    found: float
    asked: str
    unit: str
    holds: bool
    source: str
    sd: float | None = None
    margin: float = math.nan


def undercarriage_rules(airplane: Airplane, gear: Undercarriage, cg: FloatArray) -> tuple[Rule, ...]:
    """Every rule that the gear's description can answer, over CGs [m] of shape (n,)."""
    ahead = third_wheel_ahead(gear)
    found = [*(_nose(gear, cg) if ahead else _tail(gear, cg))]
    over = _least_or_most(gear, lambda item: np.degrees(overturn_angle(item, cg)), most=True)
    found.append(_at_most("greatest overturn angle", over, 63.0, "°", _SECOND_HAND))
    found.append(_at_most("greatest overturn angle, stricter tradition", over, 55.0, "°", _OTHERS))
    diameter, arm = airplane.propeller.diameter, airplane.propeller.arm
    for number, item in enumerate(propeller_clearances(gear, diameter, arm)):
        if item.asked is None:
            continue

        def clear(moved: Undercarriage, number: int = number) -> float:
            return 1000.0 * propeller_clearances(moved, diameter, arm)[number].found

        value = 1000.0 * item.found, spread_of(clear, gear)
        name = f"propeller clear of the ground, {item.attitude}"
        if item.asked > 0.0:
            found.append(_at_least(name, value, 1000.0 * item.asked, "mm", CLEARANCE))
        else:
            margin = value[0]
            found.append(
                Rule(name, margin, "more than nothing", "mm", margin > 0.0, CLEARANCE, value[1], margin)
            )
    return tuple(found)


def float_rule(name: str, volume: float, mass: float) -> Rule:
    """Buoyancy to spare over the maximum mass [kg] of floats of a volume [m³] together, in per cent."""
    spare, asked = 100.0 * reserve_buoyancy(volume, mass), 100.0 * RESERVE_BUOYANCY
    return Rule(
        f"buoyancy of {name} to spare",
        spare,
        f"{asked:.0f} % or more",
        "%",
        spare >= asked,
        "14 CFR 23.2310(a)",
        None,
        spare - asked,
    )


def _nose(gear: Undercarriage, cg: FloatArray) -> tuple[Rule, ...]:
    def share(item: Undercarriage) -> FloatArray:
        return 100.0 * static_loads(item, 1.0, cg).third_share

    def tip(item: Undercarriage) -> FloatArray:
        return np.degrees(tip_angle(item, cg))

    touches = tail_down_to_touch(gear)
    asked = math.degrees(max(_LEAST_TIP_BACK, touches or 0.0))
    why = "" if touches is None or touches <= _LEAST_TIP_BACK else ", where the tail touches"
    back = _at_least("least tip-back angle", _least_or_most(gear, tip, most=False), asked, "°", _SECOND_HAND)
    return (
        _at_least(
            "least nose-wheel load",
            _least_or_most(gear, share, most=False),
            5.0,
            "%",
            _SECOND_HAND,
            why=", to steer",
        ),
        _at_most("greatest nose-wheel load", _least_or_most(gear, share, most=True), 20.0, "%", _SECOND_HAND),
        Rule(back.name, back.found, back.asked + why, "°", back.holds, back.source, back.sd, back.margin),
    )


def _tail(gear: Undercarriage, cg: FloatArray) -> tuple[Rule, ...]:
    def tip(item: Undercarriage) -> FloatArray:
        return np.degrees(tip_angle(item, cg))

    low, high = (_least_or_most(gear, tip, most=most) for most in (False, True))
    found = [
        _at_least("least angle of the CG behind the main wheels", low, 16.0, "°", _MEMORY),
        _at_most("greatest angle of the CG behind the main wheels", high, 25.0, "°", _MEMORY),
    ]
    if gear.ground_attitude != 0.0:
        rest = math.degrees(gear.ground_attitude)
        margin = min(rest - 10.0, 15.0 - rest)
        found.append(
            Rule("attitude at rest", rest, "10 to 15°", "°", margin >= 0.0, _SECOND_HAND, None, margin)
        )
    return tuple(found)


Value = tuple[float, float | None]


def _least_or_most(
    gear: Undercarriage, figure: Callable[[Undercarriage], FloatArray], *, most: bool
) -> Value:
    """The worst of a figure over the CGs, with its standard uncertainty at that CG."""
    values = figure(gear)
    worst = int(np.argmax(values) if most else np.argmin(values))
    return float(values[worst]), spread_of(lambda item: float(figure(item)[worst]), gear)


def _at_least(name: str, value: Value, asked: float, unit: str, source: str, *, why: str = "") -> Rule:
    words = f"{_figure(asked)}{'' if unit == '°' else ' '}{unit} or more{why}"
    return Rule(name, value[0], words, unit, value[0] >= asked, source, value[1], value[0] - asked)


def _at_most(name: str, value: Value, asked: float, unit: str, source: str) -> Rule:
    words = f"{_figure(asked)}{'' if unit == '°' else ' '}{unit} or less"
    return Rule(name, value[0], words, unit, value[0] <= asked, source, value[1], asked - value[0])


def _figure(value: float) -> str:
    return f"{value:.0f}" if abs(value - round(value)) < 0.05 else f"{value:.1f}"
