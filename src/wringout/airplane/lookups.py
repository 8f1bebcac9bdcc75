"""Parts of an airplane by the name that a person gave them."""

from __future__ import annotations

from collections.abc import Sequence
from difflib import get_close_matches
from typing import Protocol, TypeVar

from wringout.airplane.airplane import (
    Airplane,
    Battery,
    Configuration,
    Envelope,
    ExchangeKit,
    FlapSetting,
    Option,
    Station,
    Tank,
)
from wringout.problems import InputError, Problem


class _Named(Protocol):
    @property
    def name(self) -> str: ...


Part = TypeVar("Part", bound=_Named)


def configuration(airplane: Airplane, name: str) -> Configuration:
    """The configuration of that name; InputError, naming those there are, where there is none."""
    return _named("configuration", airplane.configurations, name)


def envelope(airplane: Airplane, name: str) -> Envelope:
    """The envelope of that name; InputError, naming those there are, where there is none."""
    return _named("envelope", airplane.envelopes, name)


def configuration_envelope(airplane: Airplane, name: str) -> Envelope:
    """The envelope of the configuration of that name."""
    return envelope(airplane, configuration(airplane, name).envelope)


def kit(airplane: Airplane, name: str) -> ExchangeKit:
    """The exchange kit of that name; InputError, naming those there are, where there is none."""
    return _named("kit", airplane.kits, name)


def option(airplane: Airplane, name: str) -> Option:
    """The option of that name; InputError, naming those there are, where there is none."""
    return _named("option", airplane.options, name)


def station(airplane: Airplane, name: str) -> Station:
    """The station of that name; InputError, naming those there are, where there is none."""
    return _named("station", airplane.stations, name)


def tank(airplane: Airplane, name: str) -> Tank:
    """The tank of that name; InputError, naming those there are, where there is none."""
    return _named("tank", airplane.tanks, name)


def flap(airplane: Airplane, name: str) -> FlapSetting:
    """The flap setting of that name; InputError, naming those there are, where there is none."""
    return _named("flap setting", airplane.flaps, name)


def battery(airplane: Airplane, name: str) -> Battery:
    """The battery of that name; InputError, naming those there are, where there is none."""
    return _named("battery", airplane.electrical.batteries if airplane.electrical else (), name)


def reference(airplane: Airplane) -> Configuration:
    """The configuration against which the others' drag and mass are told: the first."""
    return airplane.configurations[0]


def unknown_name(kind: str, name: str, known: Sequence[str]) -> Problem:
    """What to say when no `kind` is called `name`; the nearest of the `known` is offered."""
    if not known:
        return Problem(f"there is no {kind} '{name}'", f"describe a {kind} of that name; there is none yet")
    near = get_close_matches(name.casefold(), {item.casefold(): item for item in known}, n=1, cutoff=0.6)
    if near:
        suggestion = next(item for item in known if item.casefold() == near[0])
        return Problem(f"there is no {kind} '{name}'", f"write '{suggestion}' if that is meant")
    shown = ", ".join(f"'{item}'" for item in known[:12])
    return Problem(f"there is no {kind} '{name}'", f"use one of {shown}, or describe it")


def _named(kind: str, parts: Sequence[Part], name: str) -> Part:
    for part in parts:
        if part.name == name:
            return part
    raise InputError(unknown_name(kind, name, [part.name for part in parts]))
