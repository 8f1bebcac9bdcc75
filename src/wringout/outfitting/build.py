"""A build of the airplane: a configuration with options, its empty mass and CG, useful load and price."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Protocol, TypeVar

from wringout.airplane import lookups
from wringout.airplane.airplane import Airplane, EmptyRecord, Envelope, ExchangeKit, Option
from wringout.loading import AdverseLoadings, EmptyMass, adverse_loadings, empty_mass, useful_load
from wringout.loading.equipment import exchange
from wringout.loading.loading_report import maximum_mass
from wringout.outfitting.compatibility import refusals
from wringout.problems import InputError, Problem
from wringout.quantity.dimensions import Dimension
from wringout.quantity.estimate import Estimate

CAUTION = (
    "This is arithmetic for a decision, not a weight-and-balance record. A licensed mechanic makes the "
    "change, weighs or computes the airplane and signs the record that governs."
)


@dataclass(frozen=True, slots=True)
class Build:
    """A configuration with options; `airplane` is the airplane so built, with `empty` as its record.

    `useful_load` [kg]; `full_fuel` [kg] is what it leaves for people and things with full tanks, by mass
    alone; `drag_area_change` [m²] is the belief in what the options add to the airplane as weighed, None
    where none of them says; `adverse` are its worst loadings.
    """

    configuration: str
    options: tuple[str, ...]
    airplane: Airplane
    empty: EmptyMass
    envelope: Envelope
    useful_load: Estimate
    full_fuel: float
    drag_area_change: Estimate | None
    adverse: AdverseLoadings

    @property
    def name(self) -> str:
        """'nose wheel with cargo floor and second battery'."""
        if not self.options:
            return self.configuration
        last = self.options[-1]
        words = last if len(self.options) == 1 else f"{', '.join(self.options[:-1])} and {last}"
        return f"{self.configuration} with {words}"


@dataclass(frozen=True, slots=True)
class Refused:
    """A build that cannot be, with every reason."""

    configuration: str
    options: tuple[str, ...]
    problems: tuple[Problem, ...]


def configuration_builds(airplane: Airplane) -> tuple[Build | Refused, ...]:
    """Every configuration with what was fitted on the scales, or why there is no such build."""
    return tuple(build_or_refused(airplane, item.name, None) for item in airplane.configurations)


def build_or_refused(
    airplane: Airplane, configuration: str, options: Sequence[str] | None
) -> Build | Refused:
    """A build, or why it cannot be; without `options` those that were fitted when it was weighed."""
    wanted = fitted_options(airplane) if options is None else tuple(options)
    try:
        return build(airplane, configuration, wanted)
    except InputError as error:
        return Refused(configuration, wanted, error.problems)


def fitted_options(airplane: Airplane) -> tuple[str, ...]:
    """The options that were aboard when the airplane was weighed."""
    return tuple(option.name for option in airplane.options if option.fitted)


def build(airplane: Airplane, configuration: str, options: Sequence[str]) -> Build:
    """The airplane as a configuration with options.

    Parameters
    ----------
    airplane : Airplane
        As described and weighed; options that were fitted then and are not wanted are taken off.
    configuration : str
        Name of the configuration.
    options : sequence of str
        Names of the options aboard, in any order.

    Returns
    -------
    Build
        Empty mass and arm with the uncertainty of the weighing carried through [AC43.13-1B, ch. 10]; items'
        own figures count as exact.

    Raises
    ------
    InputError
        With every reason why there is no such build: what it needs, what excludes what; as `empty_mass`;
        or it weighs more than is allowed before anything but the pilot is in it.
    """
    problems = refusals(airplane, configuration, options)
    if problems:
        raise InputError(*problems)
    wanted = [option for option in airplane.options if option.name in options]
    empty = empty_mass(airplane, configuration)
    for option in airplane.options:
        if option.fitted != (option.name in options):
            empty = exchange(empty, _as_kit(option), configuration)
    built = _outfitted(airplane, configuration, wanted, empty)
    envelope = lookups.configuration_envelope(built, configuration)
    load = useful_load(built, configuration)
    if load.value < airplane.seats_weight:
        raise InputError(
            Problem(
                f"the build weighs {empty.mass.value:.0f} kg empty, which leaves {load.value:.0f} kg to the "
                f"highest mass of {maximum_mass(envelope, 'ramp'):.0f} kg: not even a pilot of "
                f"{airplane.seats_weight:.0f} kg",
                "leave out options",
                field=configuration,
            )
        )
    fuel = math.fsum(tank.usable for tank in built.tanks) * built.fuel.density
    return Build(
        configuration,
        tuple(option.name for option in wanted),
        built,
        empty,
        envelope,
        load,
        load.value - fuel,
        _drag(airplane, options),
        adverse_loadings(built, configuration),
    )


def _as_kit(option: Option) -> ExchangeKit:
    """Putting an option on, or taking off one that was fitted."""
    if option.fitted:
        return ExchangeKit(f"{option.name} taken out", off=option.on, on=option.off)
    return ExchangeKit(option.name, option.off, option.on)


def _outfitted(
    airplane: Airplane, configuration: str, options: Sequence[Option], empty: EmptyMass
) -> Airplane:
    """The airplane as built: places, tanks and envelope of the options, the empty mass as its record."""
    stations, tanks = airplane.stations, airplane.tanks
    chosen = lookups.configuration(airplane, configuration)
    for option in options:
        stations, tanks = _with(stations, option.stations), _with(tanks, option.tanks)
        if option.envelope is not None:
            chosen = replace(chosen, envelope=option.envelope)
    record = EmptyRecord(
        configuration,
        replace(empty.mass, sd=empty.mass.sd or 0.0),
        replace(empty.arm, sd=empty.arm.sd or 0.0),
        f"computed for this build, {empty.mass.source}",
    )
    return replace(
        airplane,
        stations=stations,
        tanks=tanks,
        empty=record,
        configurations=tuple(
            chosen if item.name == configuration else item for item in airplane.configurations
        ),
        options=(),
        kits=tuple(replace(kit, needs=(), excludes=()) for kit in airplane.kits),
    )


class _Named(Protocol):
    @property
    def name(self) -> str: ...


Part = TypeVar("Part", bound=_Named)


def _with(parts: tuple[Part, ...], new: tuple[Part, ...]) -> tuple[Part, ...]:
    """Parts with those of the same name exchanged for the new ones, and the rest of the new ones behind."""
    instead = {part.name: part for part in new}
    kept = tuple(instead.pop(part.name, part) for part in parts)
    return kept + tuple(instead.values())


def _drag(airplane: Airplane, wanted: Sequence[str]) -> Estimate | None:
    """What the options are believed to add to the airplane as weighed and flown, their errors independent."""
    said = [
        (option.drag_area_change, -1.0 if option.fitted else 1.0, option.name)
        for option in airplane.options
        if option.drag_area_change is not None and option.fitted != (option.name in wanted)
    ]
    if not said:
        return None
    return Estimate(
        math.fsum(sign * change.value for change, sign, _ in said),
        math.sqrt(math.fsum((change.sd or 0.0) ** 2 for change, _, _ in said)),
        Dimension.AREA,
        f"belief of the dossier, {', '.join(name for _, _, name in said)}",
    )
