"""Claims of range and endurance: the maker's own figures against each other, and the fitted airplane's."""

from dataclasses import dataclass, replace
from math import sqrt

import numpy as np

from wringout.claims.case import TAUGHT, Case, Opinion, claimed
from wringout.claims.relation import last_digit, probability, probability_of_samples
from wringout.claims.verdict import Evidence
from wringout.claims.words import minutes, per_cent
from wringout.dossier.claim import CLAIM_DIMENSIONS, Claim, ClaimQuantity
from wringout.missions.trip import DAY_RESERVE, Allowances, endurance_with, range_with
from wringout.model.parameters import TYPICAL_CONSUMPTION
from wringout.quantity.estimate import Estimate

TAXI_TIME = 600.0  # s (common practice, no source)
TAXI_POWER = 0.10  # of rated (common practice, no source)
LIKE_POWER = 0.02  # of rated: another claim is for the same power


@dataclass(frozen=True, slots=True)
class _Trip:
    """Fuel [m³] and reserve [s] of the claim, with the sentences for what was not stated."""

    fuel: float
    reserve: float
    sentences: tuple[str, ...]


def trip_opinion(case: Case) -> Opinion:
    """Range or endurance: what the flights say at the claim's power, beside the maker's own arithmetic.

    Where the flights taught nothing of speed or fuel flow, only a contradiction among the maker's own
    figures decides: that they agree with one another does not make them true.
    """
    trip = _trip(case)
    own = _own_figures(case, trip)
    modelled = _modelled(case, trip)
    evidence = (*own, *modelled)
    quantity, words = case.claim.quantity, case.words
    if modelled and _tested(case):
        figure, likely = modelled[0].figure, modelled[0].probability
        assert figure is not None
        assert likely is not None
        shown = words.estimate(quantity, figure)
        reason = f"the fitted airplane reaches {shown}; {claimed(case.claim)} is claimed"
        return Opinion(likely, reason, evidence, trip.sentences)
    contradicted = [item for item in own if item.probability is not None and item.probability <= 0.10]
    if contradicted and contradicted[0].figure is not None:
        figure = contradicted[0].figure
        shown = words.figure(quantity, figure.value)
        reason = f"the maker's own figures give {shown}; {claimed(case.claim)} is claimed"
        return Opinion(contradicted[0].probability, reason, evidence, trip.sentences)
    reason = "the flights taught next to nothing of speed or fuel flow at this power"
    if own:
        reason += ", and the maker's own figures agree with one another"
    return Opinion(None, reason, evidence, trip.sentences)


def _trip(case: Case) -> _Trip:
    stated, words = case.claim.conditions, case.words
    full = sum(tank.usable for tank in case.airplane.tanks)
    sentences = []
    if stated.fuel is None:
        sentences.append(f"fuel not stated: full tanks, {words.fuel(full)} usable")
    if stated.reserve is None:
        sentences.append(f"reserve not stated: {minutes(DAY_RESERVE)} at cruise, by day [CFR91.151]")
    return _Trip(
        full if stated.fuel is None else stated.fuel,
        DAY_RESERVE if stated.reserve is None else stated.reserve,
        tuple(sentences),
    )


def _own_figures(case: Case, trip: _Trip) -> tuple[Evidence, ...]:
    """Tank over burn, less the reserve, times speed: from the claim itself or the register's others."""
    flow = _own(case, "fuel flow", case.claim.conditions.fuel_flow)
    speed = _own(case, "cruise speed", case.claim.conditions.speed)
    far = case.claim.quantity == "range"
    if flow is None or (far and speed is None):
        return ()
    words, wind = case.words, case.claim.conditions.head_wind
    time = float(endurance_with(trip.fuel, flow.value, trip.reserve))
    told = (
        f"by the maker's own figures, {words.fuel(trip.fuel)} at {words.fuel_flow(flow.value)} "
        f"less {minutes(trip.reserve)}: {minutes(time)}"
    )
    whole = time + trip.reserve
    if not far:
        spread = whole * (flow.sd or 0.0) / flow.value
        figure = Estimate(time, spread, CLAIM_DIMENSIONS["endurance"], _sources(flow))
        return (Evidence("arithmetic", figure, probability(case.claim, figure), told),)
    assert speed is not None
    reach = float(range_with(trip.fuel, flow.value, speed.value, trip.reserve, head_wind=wind))
    relative = sqrt(
        (whole / max(time, 1.0) * (flow.sd or 0.0) / flow.value) ** 2 + ((speed.sd or 0.0) / speed.value) ** 2
    )
    figure = Estimate(reach, reach * relative, CLAIM_DIMENSIONS["range"], _sources(flow, speed))
    told += f" at {words.speed(speed.value)}: {words.range(reach)}"
    return (Evidence("arithmetic", figure, probability(case.claim, figure), told),)


def _own(case: Case, quantity: ClaimQuantity, stated: float | None) -> Estimate | None:
    """The maker's own figure: in the claim, or in another for the same configuration and power."""
    dimension = CLAIM_DIMENSIONS[quantity]
    if stated is not None:
        return Estimate(stated, None, dimension, f"claim '{case.claim.id}'")
    for other in case.dossier.claims:
        if other.quantity == quantity and _same_state(case, other):
            return Estimate(other.value, last_digit(other) / sqrt(12.0), dimension, f"claim '{other.id}'")
    return None


def _same_state(case: Case, other: Claim) -> bool:
    build = other.conditions.configuration
    power = other.conditions.power_fraction
    same_build = build is None or build == case.assumed.configuration.name
    return same_build and (power is None or abs(power - case.assumed.power_fraction) <= LIKE_POWER)


def _sources(*figures: Estimate) -> str:
    return " and ".join(dict.fromkeys(figure.source for figure in figures))


def _tested(case: Case) -> bool:
    """Whether any flight in this configuration taught both speed and fuel flow at this power."""
    if not case.configuration_flown:
        return False
    return all(case.taught(case.question(quantity)) >= TAUGHT for quantity in ("cruise speed", "fuel flow"))


def _modelled(case: Case, trip: _Trip) -> tuple[Evidence, ...]:
    if case.airplane.engine.kind == "electric":
        return ()
    words = case.words
    speed, flow = case.ask(case.question("cruise speed")), case.ask(case.question("fuel flow"))
    if not (np.all(speed.samples > case.claim.conditions.head_wind) and np.all(flow.samples > 0.0)):
        return ()
    allowances = _allowances(case)
    wind = case.claim.conditions.head_wind
    if case.claim.quantity == "range":
        samples = range_with(
            trip.fuel, flow.samples, speed.samples, trip.reserve, head_wind=wind, allowances=allowances
        )
    else:
        samples = endurance_with(trip.fuel, flow.samples, trip.reserve, allowances=allowances)
    quantity = case.claim.quantity
    figure = Estimate(
        float(np.median(samples)), float(np.std(samples)), CLAIM_DIMENSIONS[quantity], "fitted model"
    )
    taken = allowances.taxi_fuel + allowances.climb_fuel
    likely = probability_of_samples(case.claim, samples)
    arithmetic = (
        f"by the fitted model at {100.0 * case.assumed.power_fraction:.0f} % power and "
        f"{words.height(case.assumed.pressure_altitude)}: "
        f"{words.fuel(trip.fuel)} less {words.fuel(taken)} for taxi and climb, at "
        f"{words.estimate('fuel flow', flow.estimate)}, less {minutes(trip.reserve)}"
    )
    if quantity == "range":
        arithmetic += f", at {words.estimate('cruise speed', speed.estimate)}"
    arithmetic += (
        f": {words.estimate(quantity, figure)}; {claimed(case.claim)} holds in {per_cent(likely)} of the "
        "draws"
    )
    return (Evidence("model", figure, likely, arithmetic),)


def _allowances(case: Case) -> Allowances:
    """Ten minutes of taxi, and a climb at full power and best rate to the claim's altitude from sea level."""
    engine = case.airplane.engine
    consumption = engine.specific_consumption_full or engine.specific_consumption or TYPICAL_CONSUMPTION
    full_flow = engine.rated_power * consumption / case.airplane.fuel.density
    altitude = case.assumed.pressure_altitude
    if altitude <= 0.0:
        return Allowances(taxi_fuel=TAXI_TIME * TAXI_POWER * full_flow)
    half_way = replace(
        case.question("rate of climb"),
        flap=None,
        pressure_altitude=0.5 * altitude,
        temperature=None,
        speed=None,
    )
    rate = case.ask(half_way).estimate.value
    speed = case.ask(replace(half_way, quantity="best climb speed")).estimate.value
    time = altitude / max(rate, 0.5)
    return Allowances(
        taxi_fuel=TAXI_TIME * TAXI_POWER * full_flow,
        climb_fuel=time * full_flow,
        climb_time=time,
        climb_distance=time * speed,
    )
