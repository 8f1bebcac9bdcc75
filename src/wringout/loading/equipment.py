"""Exchange of gear and equipment: what comes off, what goes on, and the empty mass that follows."""

import math

from wringout.airplane import lookups
from wringout.airplane.airplane import Airplane, EmptyRecord, ExchangeKit
from wringout.loading.empty import EmptyMass, MassRow, item_problems, recorded, total, weigh
from wringout.problems import InputError
from wringout.quantity.estimate import Estimate


def exchange(empty: EmptyMass, kit: ExchangeKit, configuration: str | None = None) -> EmptyMass:
    """Empty mass after a kit is exchanged: its items off taken off, its items on put on.

    Parameters
    ----------
    empty : EmptyMass
        Before the exchange.
    kit : ExchangeKit
        Items with mass [kg] and arm [m]; their own figures are taken as exact.
    configuration : str, optional
        Name of the configuration that results; the old one's name with the kit's where left out.

    Returns
    -------
    EmptyMass
        Mass, arm and their covariance carried through the exchange; the kit's lines stand below the old ones.

    Raises
    ------
    InputError
        An item's mass is negative or not finite, or nothing is left of the airplane.

    Notes
    -----
    W' = W + Σ ±wᵢ, x' = (W x + Σ ±wᵢ xᵢ)/W' [AC43.13-1B, ch. 10]. The errors follow
    from ∂x'/∂W = (x − x')/W' and ∂x'/∂x = W/W' [GUM, 5.1.2].
    """
    problems = [problem for item in kit.off + kit.on for problem in item_problems(item, f"kit '{kit.name}'")]
    if problems:
        raise InputError(*problems)
    off = tuple(MassRow(f"{item.name}, off", -item.mass, item.arm) for item in kit.off)
    on = tuple(MassRow(f"{item.name}, on", item.mass, item.arm) for item in kit.on)
    rows = empty.rows + off + on
    mass, arm = total(rows, f"the exchange '{kit.name}'")
    by_mass = (empty.arm.value - arm) / mass
    by_arm = empty.mass.value / mass
    source = f"{empty.mass.source}; {kit.name} exchanged"
    name = configuration or f"{empty.configuration} with {kit.name}"
    if empty.mass.sd is None or empty.arm.sd is None:
        return EmptyMass(
            name,
            Estimate(mass, empty.mass.sd, empty.mass.dimension, source),
            Estimate(arm, None, empty.arm.dimension, source),
            0.0,
            rows,
        )
    mass_sd, old_arm_sd = empty.mass.sd, empty.arm.sd
    old_covariance = empty.correlation * mass_sd * old_arm_sd
    arm_variance = (
        (by_mass * mass_sd) ** 2 + (by_arm * old_arm_sd) ** 2 + 2.0 * by_mass * by_arm * old_covariance
    )
    arm_sd = math.sqrt(max(arm_variance, 0.0))
    covariance = by_mass * mass_sd**2 + by_arm * old_covariance
    correlation = covariance / (mass_sd * arm_sd) if mass_sd * arm_sd > 0.0 else 0.0
    return EmptyMass(
        name,
        Estimate(mass, mass_sd, empty.mass.dimension, source),
        Estimate(arm, arm_sd, empty.arm.dimension, source),
        min(max(correlation, -1.0), 1.0),
        rows,
    )


def reverse(kit: ExchangeKit) -> ExchangeKit:
    """The kit that undoes a kit: what went on comes off and the reverse; work and price are not known."""
    return ExchangeKit(f"{kit.name} undone", off=kit.on, on=kit.off)


def empty_mass(airplane: Airplane, configuration: str) -> EmptyMass:
    """Empty mass and arm of a configuration, through the kits that lie between it and the weighed one.

    Parameters
    ----------
    airplane : Airplane
        With a weighing or a record of one configuration, and the kits.
    configuration : str
        Name of one of the airplane's configurations. A configuration without a kit stands for the airplane
        without any; where the weighed one has a kit, that kit is undone first.

    Returns
    -------
    EmptyMass
        Its rows show every scale reading and every item off and on.

    Raises
    ------
    InputError
        The configuration, the weighed configuration or a kit is not described, or the weighing cannot be
        used.
    """
    wanted = lookups.configuration(airplane, configuration)
    weighed = lookups.configuration(airplane, airplane.empty.configuration)
    base = recorded(airplane.empty) if isinstance(airplane.empty, EmptyRecord) else weigh(airplane.empty)
    if wanted.kit == weighed.kit:
        return EmptyMass(wanted.name, base.mass, base.arm, base.correlation, base.rows)
    if weighed.kit is not None:
        base = exchange(base, reverse(lookups.kit(airplane, weighed.kit)), wanted.name)
    if wanted.kit is not None:
        base = exchange(base, lookups.kit(airplane, wanted.kit), wanted.name)
    return base
