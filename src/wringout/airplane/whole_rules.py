"""What cannot be true of an airplane as a whole: parts that lack, names twice, names of nothing."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING

from wringout.airplane.bounds import must, positive
from wringout.airplane.lookups import unknown_name
from wringout.airplane.option_rules import option_problems
from wringout.airplane.prior_names import prior_problems
from wringout.problems import Problem

if TYPE_CHECKING:
    from wringout.airplane.airplane import Airplane

_ALTERNATOR = "alternator"
_NAMED = (
    ("station", "stations"),
    ("combined limit", "combined_limits"),
    ("tank", "tanks"),
    ("envelope", "envelopes"),
    ("kit", "kits"),
    ("option", "options"),
    ("configuration", "configurations"),
    ("flap setting", "flaps"),
)


def twice_named(airplane: Airplane) -> Iterator[Problem]:
    """Two parts of one kind under one name."""
    for kind, attribute in _NAMED:
        seen: set[str] = set()
        for i, part in enumerate(getattr(airplane, attribute)):
            if part.name in seen:
                what = f"there are two {kind}s '{part.name}'"
                yield Problem(what, "give each its own name", field=f"{attribute}[{i}].name")
            seen.add(part.name)


def whole(airplane: Airplane) -> Iterator[Problem]:
    """Parts that no airplane does without, and names that nothing answers to."""
    for attribute, kind in (
        ("stations", "station"),
        ("envelopes", "envelope"),
        ("configurations", "configuration"),
        ("flaps", "flap setting"),
    ):
        yield from must(
            bool(getattr(airplane, attribute)),
            attribute,
            f"an airplane needs a {kind}",
            f"describe at least one {kind}",
        )
    yield from must(
        bool(airplane.tanks) or airplane.engine.kind == "electric",
        "tanks",
        "an airplane with this engine needs a tank",
        "describe at least one tank",
    )
    if airplane.flaps:
        up = airplane.flaps[0]
        yield from must(
            all(flap.deflection >= up.deflection for flap in airplane.flaps),
            "flaps[0].deflection",
            f"the first flap setting, '{up.name}', is not the one that is up",
            "list the settings from up to fully down",
        )
    yield from positive(airplane, "seats_weight", "never_exceed_speed")
    yield from _references(airplane)
    if airplane.configurations and airplane.flaps:
        yield from prior_problems(airplane)


def _references(airplane: Airplane) -> Iterator[Problem]:
    stations = [part.name for part in airplane.stations]
    envelopes = [part.name for part in airplane.envelopes]
    kits = [part.name for part in airplane.kits]
    configurations = [part.name for part in airplane.configurations]
    for i, limit in enumerate(airplane.combined_limits):
        for j, name in enumerate(limit.stations):
            yield from _known("station", name, stations, f"combined_limits[{i}].stations[{j}]")
    for i, configuration in enumerate(airplane.configurations):
        yield from _known("envelope", configuration.envelope, envelopes, f"configurations[{i}].envelope")
        if configuration.kit is not None:
            yield from _known("kit", configuration.kit, kits, f"configurations[{i}].kit")
    for i, floats in enumerate(airplane.floats):
        yield from _known("kit", floats.kit, kits, f"floats[{i}].kit")
    yield from _known("configuration", airplane.empty.configuration, configurations, "empty.configuration")
    yield from option_problems(airplane)
    if airplane.electrical is not None:
        sources = [
            _ALTERNATOR,
            *(generator.name for generator in airplane.electrical.generators),
            *(battery.name for battery in airplane.electrical.batteries),
        ]
        feeding = [*sources, *(bus.name for bus in airplane.electrical.buses)]
        for i, battery in enumerate(airplane.electrical.batteries):
            if battery.charges_from is not None:
                field = f"electrical.batteries[{i}].charges_from"
                yield from _known("electrical source", battery.charges_from, sources, field)
        for i, load in enumerate(airplane.electrical.loads):
            for j, name in enumerate(load.fed_by):
                yield from _known("electrical source", name, feeding, f"electrical.loads[{i}].fed_by[{j}]")
        # A bus takes from those described before it, so that none feeds itself in a ring.
        for i, bus in enumerate(airplane.electrical.buses):
            known = feeding[: len(sources) + i]
            for j, name in enumerate(bus.fed_by):
                yield from _known("electrical source", name, known, f"electrical.buses[{i}].fed_by[{j}]")


def _known(kind: str, name: str, known: Sequence[str], field: str) -> Iterator[Problem]:
    if name not in known:
        yield unknown_name(kind, name, known).at(field=field)
