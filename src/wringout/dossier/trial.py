"""A loading that is being tried: people and things, each at its place, and fuel; as typed and in SI."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, field

from wringout.dossier.dossier import Units
from wringout.problems import InputError, Problem
from wringout.quantity.dimensions import Dimension
from wringout.quantity.text import parse
from wringout.quantity.units import convert

MOST_THINGS = 60

_BARE = re.compile(r"[+\-−]?[0-9 ]*\.?[0-9]+")
_THING = re.compile(r"thing\.([0-9]{1,3})\.(name|mass|station|arm|must)")


@dataclass(frozen=True, slots=True)
class Thing:
    """A person or thing: mass [kg], the station it is at, None where it stays behind.

    `arm` [m] is where its middle lies in a station with a range of arms; `text` is the mass as typed.
    """

    name: str
    mass: float
    station: str | None
    arm: float | None = None
    must: bool = True
    text: str = ""


@dataclass(frozen=True, slots=True)
class Trial:
    """What is tried; fuel [m³] by tank at start-up, `fuel_text` as typed; taxi and landing fuel [m³].

    The standard uncertainties of each mass [kg] and of each tank's contents [m³] are those of the card it
    came from.
    """

    configuration: str
    things: tuple[Thing, ...]
    fuel: Mapping[str, float]
    taxi_fuel: float = 0.0
    landing_fuel: float | None = None
    mass_sd: float = 0.0
    fuel_sd: float = 0.0
    fuel_text: Mapping[str, str] = field(default_factory=dict)


def plain(value: float, unit: str, digits: int) -> str:
    """A figure as a person types it: no thousands grouped, no idle zeros.

    Examples
    --------
    >>> plain(2.255, "mm", 0), plain(84.0, "kg", 1)
    ('2255 mm', '84 kg')
    """
    text = f"{convert(value, unit):.{digits}f}"
    return f"{text.rstrip('0').rstrip('.') if '.' in text else text} {unit}"


class TrialError(InputError):
    """What was typed cannot be read; `places` are the names of the fields, one for each problem."""

    def __init__(self, faults: Mapping[str, Problem]) -> None:
        super().__init__(*faults.values())
        self.places = tuple(faults)


def typed_trial(typed: Mapping[str, str], units: Units) -> Trial:
    """The trial that a form of fields by name says.

    Parameters
    ----------
    typed : mapping
        'configuration'; 'thing.N.name', '.mass', '.station' (empty: stays behind), '.arm', '.must';
        'fuel.TANK'; 'taxi_fuel', 'landing_fuel', 'mass_sd', 'fuel_sd'.
    units : Units
        What a bare number gets.

    Raises
    ------
    TrialError
        With every field that is not understood.
    """
    reading = _Reading(typed, units)
    numbers = sorted({int(match[1]) for name in typed if (match := _THING.fullmatch(name))})
    if len(numbers) > MOST_THINGS:
        reading.faults["thing"] = Problem(f"there are more than {MOST_THINGS} things", "put some together")
    things = tuple(reading.thing(number) for number in numbers[:MOST_THINGS])
    fuel = {
        name.removeprefix("fuel."): reading.volume(name) or 0.0 for name in typed if name.startswith("fuel.")
    }
    trial = Trial(
        configuration=typed.get("configuration", ""),
        things=things,
        fuel=fuel,
        taxi_fuel=reading.volume("taxi_fuel") or 0.0,
        landing_fuel=reading.volume("landing_fuel"),
        mass_sd=reading.mass("mass_sd") or 0.0,
        fuel_sd=reading.volume("fuel_sd") or 0.0,
        fuel_text={name: reading.text(f"fuel.{name}", units.fuel) for name in fuel},
    )
    if reading.faults:
        raise TrialError(reading.faults)
    return trial


class _Reading:
    """Reads fields one by one and keeps what is wrong with each."""

    def __init__(self, typed: Mapping[str, str], units: Units) -> None:
        self.typed = typed
        self.units = units
        self.faults: dict[str, Problem] = {}

    def text(self, name: str, unit: str) -> str:
        """A field's text, a bare number with its unit."""
        text = self.typed.get(name, "").strip()
        return f"{text} {unit}" if _BARE.fullmatch(text) else text

    def mass(self, name: str) -> float | None:
        return self._quantity(name, Dimension.MASS, self.units.mass)

    def volume(self, name: str) -> float | None:
        return self._quantity(name, Dimension.VOLUME, self.units.fuel)

    def thing(self, number: int) -> Thing:
        at = f"thing.{number}."
        name = self.typed.get(f"{at}name", "").strip()
        if not name:
            self.faults[f"{at}name"] = Problem("it has no name", "say what it is, like 'toolbox'")
        text = self.text(f"{at}mass", self.units.mass)
        mass = self.mass(f"{at}mass") or 0.0
        if not text:
            self.faults[f"{at}mass"] = Problem("its mass is missing", "write it like '95 lb' or '43 kg'")
        return Thing(
            name[:200],
            mass,
            self.typed.get(f"{at}station", "").strip() or None,
            self._quantity(f"{at}arm", Dimension.LENGTH, self.units.arm, signed=True),
            self.typed.get(f"{at}must", "yes") != "no",
            text,
        )

    def _quantity(self, name: str, dimension: Dimension, unit: str, *, signed: bool = False) -> float | None:
        text = self.text(name, unit)
        if not text:
            return None
        try:
            value = parse(text, dimension)
            if value < 0.0 and not signed:
                raise InputError(Problem(f"must not be negative, found '{text[:40]}'", "check its sign"))
        except InputError as error:
            self.faults[name] = error.problems[0]
            return None
        return value
