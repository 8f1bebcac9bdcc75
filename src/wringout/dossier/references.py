"""Names in one table that must answer to something described in another, checked on the data as typed."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from wringout.airplane.lookups import unknown_name
from wringout.dossier.lines import Path
from wringout.dossier.toml import Document
from wringout.problems import Problem

EACH = "*"  # every item of a list
KEY = "key"  # every key of a table, itself a name
Pattern = tuple[str, ...]

# Where names are given: (kind in words, pattern).
_NAMED: dict[str, Pattern] = {
    "station": ("station", EACH, "name"),
    "tank": ("tank", EACH, "name"),
    "envelope": ("envelope", EACH, "name"),
    "kit": ("kit", EACH, "name"),
    "option": ("option", EACH, "name"),
    "configuration": ("configuration", EACH, "name"),
    "flap setting": ("flap", EACH, "name"),
    "battery": ("electrical", "battery", EACH, "name"),
    "generator": ("electrical", "generator", EACH, "name"),
    "bus": ("electrical", "bus", EACH, "name"),
    "electrical load": ("electrical", "load", EACH, "name"),
}

_BUILT = "option, kit or configuration"  # of what a build consists

# Where they are used, by file.
AIRPLANE_USES: tuple[tuple[Pattern, str], ...] = (
    (("configuration", EACH, "envelope"), "envelope"),
    (("configuration", EACH, "kit"), "kit"),
    (("kit", EACH, "needs", EACH), "option"),
    (("kit", EACH, "excludes", EACH), "option"),
    (("option", EACH, "needs", EACH), _BUILT),
    (("option", EACH, "excludes", EACH), _BUILT),
    (("option", EACH, "fits", EACH), "configuration"),
    (("option", EACH, "envelope"), "envelope"),
    (("combined_limit", EACH, "stations", EACH), "station"),
    (("weighing", "configuration"), "configuration"),
    (("empty_record", "configuration"), "configuration"),
    (("electrical", "battery", EACH, "charges_from"), "electrical source"),
    (("electrical", "bus", EACH, "fed_by", EACH), "electrical source or bus"),
    (("electrical", "load", EACH, "fed_by", EACH), "electrical source or bus"),
    (("floats", EACH, "kit"), "kit"),
)
CLAIM_USES: tuple[tuple[Pattern, str], ...] = (
    (("claim", EACH, "conditions", "configuration"), "configuration"),
    (("claim", EACH, "conditions", "flap"), "flap setting"),
    (("claim", EACH, "conditions", "battery"), "battery"),
    (("claim", EACH, "conditions", "load", EACH), "electrical load"),
    (("claim", EACH, "conditions", "technique"), "technique"),
)
CARD_USES: tuple[tuple[Pattern, str], ...] = (
    (("configuration",), "configuration"),
    (("plan", "ballast_station"), "station"),
    (("loading", "stations", KEY), "station"),
    (("loading", "station_arms", KEY), "station"),
    (("loading", "fuel", KEY), "tank"),
    (("loading", "fuel_at_shutdown", KEY), "tank"),
    (("point", EACH, "flap"), "flap setting"),
    (("point", EACH, "strip"), "strip"),
    (("mark", EACH, "point"), "point of this card"),
    (("manoeuvre", EACH, "point"), "point of this card"),
    (("camera", EACH, "point"), "point of this card"),
    (("stick_force", EACH, "flap"), "flap setting"),
    (("trim_change", EACH, "from_flap"), "flap setting"),
    (("trim_change", EACH, "to_flap"), "flap setting"),
    (("stall_note", EACH, "flap"), "flap setting"),
    (("stall_note", EACH, "point"), "point of this card"),
)
MISSION_USES: tuple[tuple[Pattern, str], ...] = (
    (("mission", EACH, "configuration"), "configuration"),
    (("mission", EACH, "strip"), "strip"),
    (("mission", EACH, "route", EACH), "strip"),
    (("mission", EACH, "load", EACH, "stations", EACH), "station"),
)

_UNIQUE: tuple[tuple[Pattern, str], ...] = (
    *((pattern, kind) for kind, pattern in _NAMED.items()),
    (("combined_limit", EACH, "name"), "combined limit"),
    (("claim", EACH, "id"), "claim"),
    (("point", EACH, "id"), "point"),
    (("mission", EACH, "name"), "mission"),
)


@dataclass(frozen=True, slots=True)
class Names:
    """The names that a dossier gives, by kind; a kind that is absent cannot be checked."""

    known: Mapping[str, tuple[str, ...]]

    def with_kind(self, kind: str, names: Sequence[str]) -> Names:
        """These names and those of one more kind."""
        return Names({**self.known, kind: tuple(names)})


def airplane_names(airplane: Mapping[str, Any] | None) -> Names:
    """The names in an airplane's data; nothing can be checked against an airplane that cannot be read."""
    if airplane is None:
        return Names({})
    known = {
        kind: tuple(dict.fromkeys(name for _, name in found(airplane, pattern)))
        for kind, pattern in _NAMED.items()
    }
    known[_BUILT] = (*known["option"], *known["kit"], *known["configuration"])
    known["electrical source"] = ("alternator", *known["generator"], *known["battery"])
    known["electrical source or bus"] = (*known["electrical source"], *known["bus"])
    return Names(known)


def techniques(cards: Sequence[Document]) -> tuple[str, ...]:
    """The techniques that the cards name."""
    names = (name for card in cards for _, name in found(card.data, ("point", EACH, "technique")))
    return tuple(dict.fromkeys(names))


def reference_problems(
    document: Document, uses: Sequence[tuple[Pattern, str]], names: Names
) -> tuple[Problem, ...]:
    """Names of a file that nothing answers to, and names that it gives twice."""
    problems = [
        document.problem(path, unknown_name(kind, name, names.known[kind]))
        for pattern, kind in uses
        if kind in names.known
        for path, name in found(document.data, pattern)
        if name not in names.known[kind]
    ]
    for pattern, kind in _UNIQUE:
        problems += _twice(document, pattern, kind)
    return tuple(problems)


def _twice(document: Document, pattern: Pattern, kind: str) -> Iterator[Problem]:
    first: dict[str, Path] = {}
    for path, name in found(document.data, pattern):
        if name in first:
            line = document.line(first[name])
            what = f"there is another {kind} '{name}' on line {line}"
            yield document.problem(path, Problem(what, "give each its own name"))
        else:
            first[name] = path


def found(data: Any, pattern: Pattern, path: Path = ()) -> Iterator[tuple[Path, str]]:
    """Every text at a pattern with its path; whatever is not as expected is passed over."""
    if not pattern:
        if isinstance(data, str) and data.strip():
            yield path, data.strip()
        return
    step, rest = pattern[0], pattern[1:]
    if step == EACH:
        if isinstance(data, list):
            for index, item in enumerate(data):
                yield from found(item, rest, (*path, index))
    elif step == KEY:
        if isinstance(data, dict):
            yield from (((*path, key), key) for key in data)
    elif isinstance(data, dict) and step in data:
        yield from found(data[step], rest, (*path, step))
