"""The undercarriage of one configuration over its envelope, against the design rules of the trade."""

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from wringout.airplane.airplane import Airplane
from wringout.airplane.lookups import configuration as configuration_named
from wringout.airplane.lookups import envelope as envelope_named
from wringout.undercarriage.handling import braking_limit, castor_to_pivot, turn_radius
from wringout.undercarriage.rules import Rule, undercarriage_rules
from wringout.undercarriage.static import overturn_angle, static_loads, tip_angle

FloatArray = NDArray[np.float64]


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
    """Static loads, tipping, overturning, braking, clearances and turning over the envelope.

    Parameters
    ----------
    airplane : Airplane
    configuration : str
    friction : float
        At the braked wheels; 0.4 is dry hard ground.

    Returns
    -------
    UndercarriageReport
        Standing level, no lift; the rules with the standard uncertainty that the lengths leave.

    Raises
    ------
    InputError
        The configuration or its envelope is not described.

    Notes
    -----
    Where the envelope reaches beyond the wheels the airplane does not stand on them all: its share there is
    negative, and what brakes do is NaN.
    """
    build = configuration_named(airplane, configuration)
    gear = build.undercarriage
    cg, mass = np.array(envelope_named(airplane, build.envelope).vertices).T
    loads = static_loads(gear, mass, cg)
    low, high = sorted((gear.main_arm, gear.third_arm))
    stands = (cg > low) & (cg < high)
    braking = np.full_like(cg, np.nan)
    if np.any(stands):
        braking[stands] = braking_limit(gear, cg[stands], friction)
    rules = undercarriage_rules(airplane, gear, cg)
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
        tip_angle(gear, cg),
        overturn_angle(gear, cg),
        friction,
        braking,
        turn_radius(gear),
        rules,
        f"{configuration}: {words}.",
    )
