"""Configurations and airplanes side by side on the same missions, with the probability that one beats one."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from wringout.dossier.dossier import Dossier
from wringout.evaluation.costs import Spread
from wringout.evaluation.measures import Candidate, Measure, Outing, Sampled, Terms
from wringout.evaluation.sampling import sampled
from wringout.model.fit import Fit
from wringout.problems import InputError, Problem

FloatArray = NDArray[np.float64]

CAUTION = (
    "Each airplane as its own flights taught it, flown by its own pilot. The approved flight manuals govern; "
    "local regulations and licensed practice come first."
)
MOST = 4  # more would not be told apart in a figure


@dataclass(frozen=True, slots=True)
class Contender:
    """Who is compared; `name` tells it from the others, `dossier` is its folder's name."""

    name: str
    airplane: str
    configuration: str
    dossier: str


@dataclass(frozen=True, slots=True)
class Row:
    """One measure of all: `figures` and `differences` from the first, a contender each, None where not told.

    `beats[i][j]` is the probability that the contender i is better than j, ties shared; None where not told.
    """

    measure: Measure
    figures: tuple[Spread | None, ...]
    differences: tuple[Spread | None, ...]
    beats: tuple[tuple[float | None, ...], ...]


@dataclass(frozen=True, slots=True)
class MissionRow:
    """A mission as each contender flies it, and the rows of its measures."""

    name: str
    question: str
    strip: str | None
    outings: tuple[Outing, ...]
    rows: tuple[Row, ...]

    def row(self, what: str) -> Row | None:
        """The row of 'payload', 'strip', 'time', 'fuel' or 'cost'."""
        return next((row for row in self.rows if row.measure.key == f"{self.name}: {what}"), None)


@dataclass(frozen=True, slots=True)
class Comparison:
    """All rows; the first contender is the one that the others are held against."""

    contenders: tuple[Contender, ...]
    currency: str
    rows: tuple[Row, ...]
    missions: tuple[MissionRow, ...]
    notes: tuple[str, ...]
    caution: str = CAUTION

    def row(self, key: str) -> Row | None:
        """The row of a key such as 'cruise'."""
        return next((row for row in self.rows if row.measure.key == key), None)


def compare(candidates: Sequence[Candidate]) -> Comparison:
    """Candidates under the terms of the first one's dossier.

    Parameters
    ----------
    candidates : sequence of Candidate
        Two to four. Those of one dossier share its draws, so that what they have in common cancels; those of
        different dossiers are independent.

    Returns
    -------
    Comparison

    Raises
    ------
    InputError
        Fewer than two, more than four, or one twice.
    """
    _refuse(candidates)
    home = candidates[0].dossier
    terms = Terms(home, home.costs)
    every = [sampled(candidate, terms) for candidate in candidates]
    keys = list(dict.fromkeys(key for found in every for key in found.measures))
    rows = {key: _row(key, every) for key in keys}
    missions = tuple(
        MissionRow(
            mission.name,
            mission.question,
            mission.strip,
            tuple(found.outings[mission.name] for found in every),
            tuple(row for key, row in rows.items() if key.startswith(f"{mission.name}: ")),
        )
        for mission in home.missions
    )
    of_missions = {row.measure.key for mission in missions for row in mission.rows}
    notes = dict.fromkeys(note for found in every for note in found.notes)
    return Comparison(
        _contenders(candidates),
        home.costs.currency if home.costs else "",
        tuple(row for key, row in rows.items() if key not in of_missions),
        missions,
        (*_how(candidates), *notes),
    )


def candidates_of(dossier: Dossier, fit: Fit, configurations: Sequence[str] = ()) -> tuple[Candidate, ...]:
    """The candidates of one dossier: the configurations named, or else those that were flown.

    Raises InputError where there is no such configuration.
    """
    from wringout.airplane.lookups import configuration

    flown = tuple(dict.fromkeys(row.configuration for row in fit.flown))
    names = tuple(configurations) or flown or (dossier.airplane.configurations[0].name,)
    return tuple(Candidate(dossier, fit, configuration(dossier.airplane, name).name) for name in names)


def _refuse(candidates: Sequence[Candidate]) -> None:
    names = [(item.dossier.root.resolve(), item.configuration) for item in candidates]
    if len(set(names)) < len(names):
        raise InputError(Problem("one of them is named twice", "name each once"))
    if not 2 <= len(candidates) <= MOST:
        what = f"{len(candidates)} are to be compared" if candidates else "nothing is to be compared"
        raise InputError(Problem(what, f"name two to {MOST} configurations or dossiers"))


def _contenders(candidates: Sequence[Candidate]) -> tuple[Contender, ...]:
    """Names as short as they can be and still tell each from the others."""
    airplanes = {item.dossier.airplane.name for item in candidates}
    roots = {item.dossier.root.resolve() for item in candidates}
    found = []
    for item in candidates:
        airplane = item.dossier.airplane.name
        flown = sum(other.dossier.root == item.dossier.root for other in candidates)
        name = item.configuration if len(roots) == 1 else f"{airplane}, {item.configuration}"
        if len(airplanes) > 1 and flown == 1:
            name = airplane
        found.append(Contender(name, airplane, item.configuration, item.owner))
    return tuple(found)


def _row(key: str, every: Sequence[Sampled]) -> Row:
    measure = next(found.measures[key] for found in every if key in found.measures)
    draws = [found.samples.get(key) for found in every]
    count = min(len(item) for item in draws if item is not None)
    known = [None if item is None else item[:count] for item in draws]
    first = known[0]
    return Row(
        measure,
        tuple(None if item is None else Spread.of(item) for item in known),
        tuple(_difference(first, item) if number else None for number, item in enumerate(known)),
        tuple(
            tuple(None if one is other else _beats(one, other, measure) for other in known) for one in known
        ),
    )


def _difference(first: FloatArray | None, other: FloatArray | None) -> Spread | None:
    """What the other has more; None where one of them cannot at all in more than one draw in twenty."""
    if first is None or other is None:
        return None
    both = np.isfinite(first) & np.isfinite(other)
    return Spread.of(other[both] - first[both]) if np.mean(both) > 0.95 else None


def _beats(one: FloatArray | None, other: FloatArray | None, measure: Measure) -> float | None:
    if one is None or other is None:
        return None
    more, same = np.mean(one > other), np.mean(one == other)
    better = more if measure.better == "more" else 1.0 - more - same
    return float(better + 0.5 * same)


def _how(candidates: Sequence[Candidate]) -> tuple[str, ...]:
    home = candidates[0].dossier
    notes = []
    if any(item.dossier.root == home.root for item in candidates[1:]):
        notes.append(
            "Configurations of one airplane share its fitted parameters and what the model may miss of it."
        )
    if any(item.dossier.root != home.root for item in candidates[1:]):
        notes.append(
            "Airplanes of different dossiers were flown apart: their errors are taken as independent."
        )
        notes.append(
            f"Missions, strips, hours a year, wages and the price of a like fuel are those of the dossier of "
            f"the {home.airplane.name}; people sit on the other's seats, things lie where it takes things."
        )
    notes.append(
        "A strip needed is the longer of take-off and landing over 15 m with the usual factors, on the strip "
        "that the mission names or the shortest of its route."
    )
    return tuple(notes)
