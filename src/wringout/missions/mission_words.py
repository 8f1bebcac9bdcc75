"""The words of a mission's answer: what goes and stays first, then the journey, then what decides."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from wringout.airplane.airplane import Airplane
from wringout.dossier.dossier import Load, Mission, Units
from wringout.loading import LeftBehind, Stowage
from wringout.missions.field import FieldFinding
from wringout.missions.legs import Leg
from wringout.quantity.estimate import Estimate
from wringout.quantity.showing import show

FloatArray = NDArray[np.float64]
Outcome = Literal["yes", "no", "uncertain"]

_SURE = 0.90
_MOST_NAMES = 6
_NUMBERS = ("no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten")
_ORDER: tuple[Outcome, ...] = ("no", "uncertain", "yes")


@dataclass(slots=True)
class Told:
    """Gathers what is found, each with how it bears on the answer, and says it."""

    mission: Mission
    airplane: Airplane
    units: Units
    notes: list[str] = field(default_factory=list)
    _found: list[tuple[Outcome, str]] = field(default_factory=list)
    _short: dict[str, str] = field(default_factory=dict)

    def tanks(self, needed: Sequence[FloatArray], filled: tuple[float, FloatArray] | None) -> None:
        """Whether the tanks, and what is filled, hold what each stretch needs."""
        full = sum(tank.usable for tank in self.airplane.tanks)
        for draws in needed:
            self._enough(draws, full, "the tanks hold")
        if filled is not None:
            self._enough(filled[1], filled[0], "filled are")

    def stowed(self, stowage: Stowage, complete: bool) -> None:
        """Whether all that must go does, and the limit that is nearest."""
        words = stowage.report.sentence(*self._shown())
        must = [item for item in stowage.left if item.load.must]
        for item in must:
            name = item.load.name
            self._found.append(("no", f"{name} must go and cannot: {item.stop.words(self.units.mass)}"))
        if not must:
            self._found.append(("yes" if complete else "no", _clause(words)))

    def fields(self, fields: Sequence[FieldFinding]) -> None:
        """Each take-off and landing against its strip."""
        for finding in sorted(fields, key=lambda item: -item.required / item.available):
            outcome, words = field_outcome(finding, self.units)
            self._found.append((outcome, words))
            self._short[words] = short_words(finding, outcome, self.units)
            self.notes.extend(finding.notes)

    def untested(self, strips: Sequence[str]) -> None:
        """Strips for which no distance is known."""
        words = f"{_and(list(strips))} {'is' if len(strips) == 1 else 'are'} not tested: no distance is known"
        self._found.append(("uncertain", words))

    def ordered(self, route: Sequence[str]) -> None:
        """The order that takes least fuel."""
        self.notes.append(f"In the order that takes least fuel: {', '.join(route)}.")

    def low(self, leg: Leg, top: float, altitude: float) -> None:
        """A leg too short for the cruise altitude."""
        if top < altitude - 1.0:
            rounded = -2 if self.units.height == "ft" else -1
            words = show(top, self.units.height, digits=rounded)
            self.notes.append(f"{leg.start} to {leg.end} is too short for the cruise altitude: {words}.")

    def room(self, room: tuple[float | None, str]) -> None:
        """What more could go."""
        if room[0] is not None:
            words = show(room[0], self.units.mass, digits=0)
            self.notes.append(
                f"With this fuel at most {words} more could go, laid as it best suits; then: {room[1]}."
            )

    def said(self, stowage: Stowage | None, fuel: Estimate) -> tuple[Outcome, str, tuple[str, ...]]:
        """The outcome, its sentence and the reasons, most weighty first."""
        ranked = sorted(self._found, key=lambda finding: _ORDER.index(finding[0]))
        outcome = ranked[0][0]
        reasons = tuple(words for _, words in ranked)
        journey = f"It takes {show(fuel.value, self.units.fuel, digits=0)} for {self._way()}"
        if stowage is None:
            return outcome, f"It cannot be flown: {reasons[0]}.", reasons
        first = f"{goes_words(stowage, self.units)}."
        against = [words for kind, words in ranked if kind != "yes" and "must go and cannot" not in words]
        if against:
            return outcome, f"{first} {journey}; but {self._short.get(against[0], against[0])}.", reasons
        tightest = next(iter(self._short.values()), _clause(stowage.report.sentence(*self._shown())))
        return outcome, f"{first} {journey}; {tightest}.", reasons

    def _shown(self) -> tuple[str, str]:
        return self.units.mass, self.units.arm

    def _way(self) -> str:
        distance = show(self.mission.distance, self.units.range, digits=0)
        return (
            f"{distance} over {len(set(self.mission.route))} strips"
            if len(self.mission.route) > 3
            else distance
        )

    def _enough(self, needed: FloatArray, held: float, words: str) -> None:
        probability = float(np.mean(needed <= held))
        if probability >= _SURE:
            return
        middle, sd = float(np.median(needed)), float(np.std(needed)) if needed.size > 1 else None
        said = (
            f"the trip takes {show(middle, self.units.fuel, sd=sd or None)} and {words} "
            f"{show(held, self.units.fuel, digits=0)}"
        )
        self._found.append(("no" if probability <= 1.0 - _SURE else "uncertain", said))


def goes_words(stowage: Stowage, units: Units) -> str:
    """'Nurse, cooler and X-ray set go; the second crate stays: aft CG binds by 6 kg', without a stop."""
    gone: dict[str, tuple[Load, int]] = {}
    for item in stowage.placed:
        gone[item.load.name] = (item.load, gone.get(item.load.name, (item.load, 0))[1] + item.count)
    if not gone:
        return f"Nothing can go: {stowage.left[0].stop.words(units.mass)}" if stowage.left else "Nothing goes"
    mass = show(stowage.mass, units.mass, digits=0)
    names = [_pieces(load, count) for load, count in gone.values()]
    if len(names) > _MOST_NAMES:
        names = [*names[: _MOST_NAMES - 1], f"{len(names) - _MOST_NAMES + 1} more"]
    verb = "goes" if len(names) == 1 and next(iter(gone.values()))[1] == 1 else "go"
    words = f"{_capital(_and(names))} {verb} ({mass})"
    if not stowage.left:
        return words
    if len(stowage.left) == 1 and stowage.left[0].load.name in gone:
        stays = stowage.left[0]
        rest = "the other stays" if stays.count == 1 else f"the other {_number(stays.count)} stay"
        return f"{words}; {rest}: {stays.stop.words(units.mass)}"
    return f"{words}; {'; '.join(stays_words(item, units) for item in stowage.left[:3])}"


def stays_words(item: LeftBehind, units: Units) -> str:
    """'the second crate stays: aft CG binds by 6 kg'."""
    verb = "stays" if item.count == 1 else "stay"
    return f"{_pieces(item.load, item.count)} {verb}: {item.stop.words(units.mass)}"


def field_outcome(finding: FieldFinding, units: Units) -> tuple[Outcome, str]:
    """How a take-off or landing bears on the answer, and its clause."""
    distance = show(finding.distance.value, units.distance, digits=0)
    reach = f"{show(finding.low, units.distance, digits=0)} to {show(finding.high, units.distance, digits=0)}"
    words = (
        f"{finding.movement} at {finding.strip} needs {distance} (90 %: {reach}), × {finding.factor:.2f} = "
        f"{show(finding.required, units.distance, digits=0)} "
        f"of {show(finding.available, units.distance, digits=0)}"
    )
    if finding.probability is None:
        return ("yes" if finding.enough else "no"), words
    words = f"{words}, probability {_probability(finding.probability)}"
    if finding.probability < _SURE and (finding.probability_unfactored or 0.0) >= _SURE:
        words += "; without the factor it fits"
    if finding.probability >= _SURE:
        return "yes", words
    return ("no" if finding.probability <= 1.0 - _SURE else "uncertain"), words


def short_words(finding: FieldFinding, outcome: Outcome, units: Units) -> str:
    """The same in few words: factored distance, what is there, and the probability where that is open."""
    needed, there = (show(value, units.distance, digits=0) for value in (finding.required, finding.available))
    if outcome == "yes":
        return f"tightest is the {finding.movement} at {finding.strip}, {needed} of {there} with its factor"
    words = f"the {finding.movement} at {finding.strip} needs {needed} with its factor and has {there}"
    if outcome == "uncertain" and finding.probability is not None:
        words += f", probability {_probability(finding.probability)}"
    return words


def _pieces(load: Load, count: int) -> str:
    if load.count == 1:
        return load.name
    return f"{_number(count)}{'' if count == load.count else f' of {_number(load.count)}'} {load.name}"


def _number(count: int) -> str:
    return _NUMBERS[count] if count < len(_NUMBERS) else str(count)


def _and(names: Sequence[str]) -> str:
    return names[0] if len(names) == 1 else f"{', '.join(names[:-1])} and {names[-1]}"


def _capital(words: str) -> str:
    return words[:1].upper() + words[1:]


def _clause(sentence: str) -> str:
    """A sentence as a clause inside another."""
    return sentence[:1].lower() + sentence[1:].rstrip(".")


def _probability(value: float) -> str:
    if value > 0.99:
        return "above 0.99"
    return "below 0.01" if value < 0.01 else f"{value:.2f}"
