"""Claims of mass: as weighed, what is left for people, things and fuel, and what goes together."""

from typing import Literal

from wringout.airplane.airplane import Weighing
from wringout.claims.case import Case, Opinion, claimed
from wringout.claims.relation import interval, last_digit, probability
from wringout.claims.verdict import Evidence
from wringout.loading import capacity, empty_mass, payload_with_fuel, useful_load
from wringout.loading.reach import Pilot
from wringout.problems import InputError
from wringout.quantity.dimensions import Dimension
from wringout.quantity.estimate import Estimate


def empty_mass_opinion(case: Case) -> Opinion:
    """The empty mass of the configuration against the claim."""
    empty = empty_mass(case.airplane, case.assumed.configuration.name)
    likely = probability(case.claim, empty.mass)
    shown = case.words.estimate("empty mass", empty.mass)
    evidence = Evidence(_kind(case), empty.mass, likely, f"{empty.mass.source}: {shown}")
    return Opinion(likely, f"{_how(case)} {shown}; {claimed(case.claim)} is claimed", (evidence,))


def useful_load_opinion(case: Case) -> Opinion:
    """Highest mass less empty mass against the claim, and what the maker's own empty mass would give."""
    name, words = case.assumed.configuration.name, case.words
    load = useful_load(case.airplane, name)
    empty = empty_mass(case.airplane, name)
    likely = probability(case.claim, load)
    evidence = Evidence(
        _kind(case),
        load,
        likely,
        f"{words.mass(load.value + empty.mass.value)} less {words.estimate('empty mass', empty.mass)} empty: "
        f"{words.estimate('useful load', load)}",
    )
    reason = (
        f"{_how(case)} {words.estimate('empty mass', empty.mass)} and leaves "
        f"{words.estimate('useful load', load)}; "
        f"{claimed(case.claim)} is claimed"
    )
    return Opinion(likely, reason, (evidence, *_own_empty_mass(case)))


def payload_opinion(case: Case) -> Opinion:
    """What fuel and empty mass leave for people and things, against what the claim puts aboard together."""
    stated, words = case.claim.conditions, case.words
    name = case.assumed.configuration.name
    full = sum(tank.usable for tank in case.airplane.tanks)
    fuel = full if stated.fuel is None else stated.fuel
    assumptions = (
        [] if stated.fuel is not None else [f"fuel not stated: full tanks, {words.fuel(full)} usable"]
    )
    if fuel > full * (1.0 + 1e-6):
        reason = f"the claim is for {words.fuel(fuel)} of fuel and the tanks hold {words.fuel(full)}"
        return Opinion(0.0, reason, (Evidence("arithmetic", None, 0.0, reason),), tuple(assumptions))
    people, sentence = _people(case)
    assumptions.extend(sentence)
    beside = people if _beside_people(case, people) else 0.0
    if beside:
        assumptions.append("the payload claimed is taken as what goes beside the occupants")
    left = payload_with_fuel(case.airplane, name, min(fuel, full))
    figure = Estimate(left.value - beside, left.sd, Dimension.MASS, left.source)
    likely = probability(case.claim, figure)
    evidence = (
        Evidence(_kind(case), figure, likely, _sum(case, fuel, beside, figure)),
        *_together(case, fuel, people),
        *_stations(case, fuel, beside),
    )
    caps = [item.probability for item in evidence if item.probability is not None]
    over = case.claim.value - figure.value
    reason = f"{words.estimate('payload', figure)} is left; {claimed(case.claim)} is claimed"
    if over > 0.0:
        reason += f", {words.mass(over)} more"
    return Opinion(min(caps), reason, evidence, tuple(assumptions))


def _how(case: Case) -> str:
    return "it weighs" if isinstance(case.airplane.empty, Weighing) else "its record says it weighs"


def _kind(case: Case) -> Literal["measured", "arithmetic"]:
    return "measured" if isinstance(case.airplane.empty, Weighing) else "arithmetic"


def _people(case: Case) -> tuple[float, list[str]]:
    """Mass of the occupants claimed, and the sentence for a mass that was not stated."""
    stated = case.claim.conditions
    if stated.occupants is None:
        return 0.0, []
    if stated.occupant_mass is not None:
        return stated.occupants * stated.occupant_mass, []
    each = case.airplane.seats_weight
    return stated.occupants * each, [
        f"mass of an occupant not stated: {case.words.mass(each)}, the airplane's own"
    ]


def _beside_people(case: Case, people: float) -> bool:
    """Whether the figure claimed leaves the occupants out: it is less than they and the baggage weigh."""
    baggage = case.claim.conditions.baggage or 0.0
    return people > 0.0 and case.claim.value + last_digit(case.claim) < people + baggage


def _sum(case: Case, fuel: float, beside: float, figure: Estimate) -> str:
    words = case.words
    empty = empty_mass(case.airplane, case.assumed.configuration.name).mass
    highest = useful_load(case.airplane, case.assumed.configuration.name).value + empty.value
    people = f", less {words.mass(beside)} of people" if beside else ""
    return (
        f"{words.mass(highest)} less {words.estimate('empty mass', empty)} empty, less "
        f"{words.mass(fuel * case.airplane.fuel.density)} of fuel ({words.fuel(fuel)}){people}: "
        f"{words.estimate('payload', figure)} left"
    )


def _together(case: Case, fuel: float, people: float) -> tuple[Evidence, ...]:
    """All that the claim names, put aboard at once, against the highest mass."""
    stated, words = case.claim.conditions, case.words
    if stated.occupants is None or stated.baggage is None:
        return ()
    load = useful_load(case.airplane, case.assumed.configuration.name)
    wanted = people + stated.baggage + fuel * case.airplane.fuel.density
    over = Estimate(wanted - load.value, load.sd, Dimension.MASS, load.source)
    word = "too much" if over.value > 0.0 else "to spare"
    spread = over.sd or 0.0
    likely = 1.0 if over.value < -3.0 * spread else 0.0 if over.value > 3.0 * spread else None
    return (
        Evidence(
            "arithmetic",
            over,
            likely,
            f"{stated.occupants} people {words.mass(people)} + {words.mass(stated.baggage)} of baggage + "
            f"{words.mass(fuel * case.airplane.fuel.density)} of fuel = {words.mass(wanted)} against "
            f"{words.estimate('useful load', load)} of useful load: {words.mass(abs(over.value))} {word}",
        ),
    )


def _stations(case: Case, fuel: float, beside: float) -> tuple[Evidence, ...]:
    """What the stations and the CG allow besides mass, the pilot in the first seat."""
    words, name = case.words, case.assumed.configuration.name
    pilot = _pilot(case)
    try:
        most = capacity(case.airplane, name, [fuel], pilot)
    except InputError:
        return ()
    room = float(most.payload[0]) - beside
    refuted = not interval(case.claim)[0] <= room and case.claim.relation != "at most"
    return (
        Evidence(
            "arithmetic",
            Estimate(room, None, Dimension.MASS, "mass, stations and CG together, no uncertainty counted"),
            None,
            "laid as well as stations and CG allow, people counted: "
            f"{words.mass(float(most.payload[0]))}; what binds is "
            f"the {most.binding[0]}{'; the claim asks for more' if refuted else ''}",
        ),
    )


def _pilot(case: Case) -> Pilot | None:
    mass = case.claim.conditions.occupant_mass
    if mass is None:
        return None
    seat = next((station for station in case.airplane.stations if station.seats > 0), None)
    return Pilot(seat.name, mass) if seat is not None else None


def _own_empty_mass(case: Case) -> tuple[Evidence, ...]:
    """What the maker's own claim of the empty mass leaves, where there is one for the same configuration."""
    highest = useful_load(case.airplane, case.assumed.configuration.name).value
    highest += empty_mass(case.airplane, case.assumed.configuration.name).mass.value
    for other in case.dossier.claims:
        if other.quantity == "empty mass" and other.conditions.configuration in (
            None,
            case.assumed.configuration.name,
        ):
            left = highest - other.value
            figure = Estimate(left, 0.3 * last_digit(other), Dimension.MASS, f"claim '{other.id}'")
            return (
                Evidence(
                    "arithmetic",
                    figure,
                    probability(case.claim, figure),
                    f"by the maker's own empty mass, {other.value_text}: {case.words.mass(left)}",
                ),
            )
    return ()
