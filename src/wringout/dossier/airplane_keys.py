"""An airplane's attributes by their keys in airplane.toml, and its own rules told by those keys."""

from __future__ import annotations

import re

from wringout.airplane.validation import part_problems
from wringout.dossier.fields import Fault
from wringout.dossier.lines import Path
from wringout.problems import Problem

# The airplane's attributes by their keys in the file, where the two differ.
_KEYS = {
    "stations": "station",
    "combined_limits": "combined_limit",
    "tanks": "tank",
    "envelopes": "envelope",
    "kits": "kit",
    "options": "option",
    "configurations": "configuration",
    "flaps": "flap",
    "priors": "prior",
    "batteries": "battery",
    "loads": "load",
    "generators": "generator",
    "buses": "bus",
    "readings": "reading",
    "hours": "work_time",
    "seats_weight": "occupant_mass",
}


def key_path(attribute: str) -> Path:
    """The path in airplane.toml of an airplane's attribute such as 'configurations[1].envelope'.

    Examples
    --------
    >>> key_path("configurations[1].envelope")
    ('configuration', 1, 'envelope')
    """
    path: list[str | int] = []
    for name, index in re.findall(r"([a-z_]+)|\[([0-9]+)\]", attribute):
        # `stations` of a combined limit keeps its name: it is a list of names, not of tables.
        names = name == "stations" and path[:1] == ["combined_limit"]
        key = name if names else _KEYS.get(name, name)
        path.append(key if name else int(index))
    return tuple(path)


def part_faults(part: object) -> tuple[Fault, ...]:
    """What is wrong with one part of an airplane taken alone, by its keys in the file."""
    return tuple(
        (key_path(problem.field or ""), Problem(problem.what, problem.mend))
        for problem in part_problems(part)
    )
