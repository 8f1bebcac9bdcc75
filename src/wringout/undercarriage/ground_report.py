"""The undercarriage of one configuration over its envelope, against the design rules of the trade."""

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from wringout.airplane.airplane import Airplane
from wringout.airplane.lookups import configuration as configuration_named
from wringout.airplane.lookups import envelope as envelope_named
from wringout.undercarriage.handling import braking_limit, castor_to_pivot, turn_radius
from wringout.undercarriage.static import overturn_angle, static_loads, third_wheel_ahead, tip_angle

FloatArray = NDArray[np.float64]

_SOURCE = "Raymer, ch. 11, quoted second-hand"


@dataclass(frozen=True, slots=True)
class Rule:
    """One design rule: what the worst CG gives, what is asked, whether it holds; figures in `unit`."""

    name: str
    found: float
    asked: str
    unit: str
    holds: bool
    source: str


@dataclass(frozen=True, slots=True)
class UndercarriageReport:
    """Wheel loads [kg], angles [rad] and braking (over g, at `friction`) at each corner of the envelope."""

    configuration: str
    kind: str
    cg: FloatArray
    mass: FloatArray
    main: FloatArray
    third: FloatArray
    third_share: FloatArray
    tip_angle: FloatArray
    overturn_angle: FloatArray
    friction: float
    braking: FloatArray
    turn_radius: float
    rules: tuple[Rule, ...]
    sentence: str


def undercarriage_report(
    airplane: Airplane, configuration: str, friction: float = 0.4
) -> UndercarriageReport:
    """Static loads, tipping, overturning, braking and turning over the envelope of a configuration.

    Parameters
    ----------
    airplane : Airplane
    configuration : str
    friction : float
        At the braked wheels; 0.4 is dry hard ground.

    Returns
    -------
    UndercarriageReport
        Geometry as described, exact; standing level, no lift.

    Raises
    ------
    InputError
        The configuration or its envelope is not described.
    ValueError
        A CG of the envelope is not between the wheels.
    """
    build = configuration_named(airplane, configuration)
    gear = build.undercarriage
    cg, mass = np.array(envelope_named(airplane, build.envelope).vertices).T
    loads = static_loads(gear, mass, cg)
    tip, over = tip_angle(gear, cg), overturn_angle(gear, cg)
    ahead = third_wheel_ahead(gear)
    rules = (*_third_wheel_rules(loads.third_share, tip, ahead=ahead), *_overturn_rules(over))
    failed = [rule for rule in rules if not rule.holds]
    words = (
        "; ".join(f"{rule.name} {rule.found:.1f} {rule.unit}, asked {rule.asked}" for rule in failed)
        or "every rule holds over the whole envelope"
    )
    if gear.castor_travel is not None and turn_radius(gear) > 0.5 * gear.track:
        words += (
            f"; it does not pivot about a wheel: castor travel {math.degrees(gear.castor_travel):.0f}°, "
            f"needed {math.degrees(castor_to_pivot(gear)):.0f}°"
        )
    return UndercarriageReport(
        configuration,
        gear.kind,
        cg,
        mass,
        loads.main,
        loads.third,
        loads.third_share,
        tip,
        over,
        friction,
        braking_limit(gear, cg, friction),
        turn_radius(gear),
        rules,
        f"{configuration}: {words}.",
    )


def _third_wheel_rules(share: FloatArray, tip: FloatArray, *, ahead: bool) -> tuple[Rule, ...]:
    least, most = 100.0 * float(share.min()), 100.0 * float(share.max())
    low, high = math.degrees(float(tip.min())), math.degrees(float(tip.max()))
    if ahead:
        return (
            Rule("least nose-wheel load", least, "5 % or more, to steer", "%", least >= 5.0, _SOURCE),
            Rule("greatest nose-wheel load", most, "20 % or less", "%", most <= 20.0, _SOURCE),
            Rule("least tip-back angle", low, "15° or more", "°", low >= 15.0, _SOURCE),
        )
    source = "Raymer, ch. 11, from memory"
    return (
        Rule("least angle of the CG behind the main wheels", low, "16° or more", "°", low >= 16.0, source),
        Rule(
            "greatest angle of the CG behind the main wheels", high, "25° or less", "°", high <= 25.0, source
        ),
    )


def _overturn_rules(over: FloatArray) -> tuple[Rule, ...]:
    worst = math.degrees(float(over.max()))
    return (
        Rule("greatest overturn angle", worst, "63° or less", "°", worst <= 63.0, _SOURCE),
        Rule(
            "greatest overturn angle, stricter tradition",
            worst,
            "55° or less",
            "°",
            worst <= 55.0,
            "textbook tradition, quoted second-hand",
        ),
    )
