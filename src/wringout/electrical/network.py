"""Who feeds whom: sources behind buses, what turns a generator, what a failure takes with it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

from wringout.airplane.airplane import Electrical, ElectricalLoad
from wringout.airplane.lookups import unknown_name
from wringout.airplane.machine import Generator
from wringout.problems import InputError

ALTERNATOR = "alternator"


@dataclass(frozen=True, slots=True)
class Failure:
    """At a time [s] a generator, what turns it, a battery, a bus or a load fails."""

    time: float
    name: str


def generators(electrical: Electrical) -> tuple[Generator, ...]:
    """The alternator, then every other generator."""
    first = Generator(ALTERNATOR, electrical.alternator_current, electrical.alternator_driven_by)
    return (first, *electrical.generators)


def sources_of(electrical: Electrical, load: ElectricalLoad, dead: frozenset[str] = frozenset()) -> list[str]:
    """The sources that a load may take from in order, through its buses; a bus among the dead gives none.

    Raises
    ------
    InputError
        A source or bus that is not described.
    """
    sources = [generator.name for generator in generators(electrical)]
    sources += [battery.name for battery in electrical.batteries]
    buses = {bus.name: bus.fed_by for bus in electrical.buses}
    found: list[str] = []

    def follow(names: tuple[str, ...], seen: frozenset[str]) -> None:
        for name in names:
            if name in buses:
                if name not in dead and name not in seen:
                    follow(buses[name], seen | {name})
            elif name not in sources:
                problem = unknown_name("source", name, [*sources, *buses])
                raise InputError(problem.at(field=f"electrical.loads, {load.name}"))
            elif name not in found:
                found.append(name)

    follow(load.fed_by, frozenset())
    return found


def taken_with(electrical: Electrical, name: str) -> frozenset[str]:
    """What goes when this fails: itself, or every generator that it turns; InputError where it is nothing."""
    turned = {part.name for part in generators(electrical) if part.driven_by == name}
    if turned:
        return frozenset(turned)
    known = [
        part.name
        for group in (generators(electrical), electrical.batteries, electrical.buses, electrical.loads)
        for part in group
    ]
    if name not in known:
        drives = [part.driven_by for part in generators(electrical) if part.driven_by]
        raise InputError(unknown_name("part of the electrical system", name, [*known, *drives]))
    return frozenset({name})


def usual_failures(electrical: Electrical) -> Mapping[str, tuple[Failure, ...]]:
    """The failures that every airplane is asked about, by the words that say them.

    Alternator, what turns it, first battery, one ignition; alternator and first battery together where there
    is another battery.
    """
    asked: dict[str, tuple[Failure, ...]] = {"the alternator stops": (Failure(0.0, ALTERNATOR),)}
    if electrical.alternator_driven_by:
        asked[f"the {electrical.alternator_driven_by} breaks"] = (
            Failure(0.0, electrical.alternator_driven_by),
        )
    if electrical.batteries:
        first = electrical.batteries[0].name
        asked[f"the {first} fails"] = (Failure(0.0, first),)
    ignitions = [load.name for load in electrical.loads if load.ignition]
    if ignitions:
        asked[f"the {ignitions[0]} fails"] = (Failure(0.0, ignitions[0]),)
    if len(electrical.batteries) > 1:
        first = electrical.batteries[0].name
        asked[f"the alternator stops and the {first} fails"] = (
            Failure(0.0, ALTERNATOR),
            Failure(0.0, first),
        )
    return asked


def at_age(electrical: Electrical, aged_fraction: float | None) -> Electrical:
    """The same system with every battery at an age, as described where None; ValueError outside 0 to 1."""
    if aged_fraction is None:
        return electrical
    if not 0.0 < aged_fraction <= 1.0:
        raise ValueError(f"what age leaves of a battery lies between 0 and 1, found {aged_fraction:g}")
    batteries = tuple(replace(battery, aged_fraction=aged_fraction) for battery in electrical.batteries)
    return replace(electrical, batteries=batteries)
