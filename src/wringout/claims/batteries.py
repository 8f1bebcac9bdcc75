"""Claims of how long a battery keeps something alive: Peukert's law with age and cold."""

from wringout.airplane.airplane import Electrical
from wringout.airplane.lookups import battery as battery_named
from wringout.airplane.lookups import unknown_name
from wringout.claims.case import Case, Opinion, claimed
from wringout.claims.relation import probability
from wringout.claims.verdict import Evidence
from wringout.claims.words import minutes
from wringout.electrical import (
    CURRENT_SPREAD,
    TEMPERATURE_SD,
    available_charge,
    battery_endurance_estimate,
    sources_of,
)
from wringout.problems import InputError
from wringout.quantity.dimensions import Dimension
from wringout.quantity.estimate import Estimate

RATED_TEMPERATURE = 298.15  # K
HOUR = 3600.0


def battery_opinion(case: Case) -> Opinion:
    """How long the claim's battery feeds the claim's loads, at its age and temperature.

    Raises
    ------
    InputError
        The claim names a battery or a load that the airplane has not.
    """
    electrical = case.airplane.electrical
    if electrical is None or not electrical.batteries:
        return Opinion(None, "the airplane's description has no electrical system to reckon with", ())
    stated = case.claim.conditions
    assumptions = []
    battery = electrical.batteries[0]
    if stated.battery is not None:
        battery = battery_named(case.airplane, stated.battery)
    elif len(electrical.batteries) > 1:
        assumptions.append(f"battery not stated: {battery.name}, the one described first")
    names, current = _current(electrical, battery.name, stated.load)
    if not stated.load:
        assumptions.append(f"loads not stated: the essential ones it feeds, {', '.join(names) or 'none'}")
    temperature = stated.temperature
    if temperature is None:
        temperature = RATED_TEMPERATURE
        assumptions.append("temperature of the battery not stated: 25 °C, at which it is rated")
    if current <= 0.0:
        return Opinion(
            None, f"nothing that {battery.name} feeds is claimed to stay on", (), tuple(assumptions)
        )
    figure = battery_endurance_estimate(
        battery,
        Estimate(current, CURRENT_SPREAD * current, Dimension.CURRENT, "the loads' stated currents"),
        Estimate(temperature, TEMPERATURE_SD, Dimension.TEMPERATURE, "as stated"),
    )
    likely = probability(case.claim, figure)
    left = available_charge(battery, temperature)
    arithmetic = (
        f"{battery.name}: {battery.charge / HOUR:g} Ah rated over {battery.rated_time / HOUR:g} h, "
        f"{left / HOUR:.2f} Ah left of it at this age and {case.words.temperature(temperature)}; "
        f"{' and '.join(names)} take {current:g} A; by Peukert's law with exponent "
        f"{battery.peukert_exponent:g}: "
        f"{case.words.estimate('battery endurance', figure)}"
    )
    evidence = Evidence("arithmetic", figure, likely, arithmetic)
    reason = f"it lasts {minutes(figure.value)}; {claimed(case.claim)} is claimed"
    return Opinion(likely, reason, (evidence,), tuple(assumptions))


def _current(electrical: Electrical, battery: str, wanted: tuple[str, ...]) -> tuple[list[str], float]:
    """Names and mean current [A] of the loads kept on."""
    known = {load.name: load for load in electrical.loads}
    for name in wanted:
        if name not in known:
            raise InputError(unknown_name("electrical load", name, list(known)))
    loads = [known[name] for name in wanted] or [
        load for load in electrical.loads if load.essential and battery in sources_of(electrical, load)
    ]
    return [load.name for load in loads], sum(load.current * load.duty for load in loads)
