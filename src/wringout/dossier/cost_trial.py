"""Assumptions of costs.toml tried without writing them, each by its place: 'loan.rate', 'fixed.0.amount'."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

from wringout.airplane.lookups import unknown_name
from wringout.dossier.costs import Costs
from wringout.dossier.drafting import part_file
from wringout.dossier.editing import value_at, with_value
from wringout.dossier.files import read_file
from wringout.dossier.gathering import Gathering
from wringout.dossier.reading import read_costs
from wringout.dossier.references import airplane_names
from wringout.dossier.toml import LARGEST_TEXT
from wringout.problems import InputError, Problem
from wringout.quantity.money import money_unit

_BARE = re.compile(r"[0-9][0-9 .,\u00a0\u2009\u202f]*(?:\s*(?:±|\+/-)\s*[0-9][0-9 .,]*)?")
_UNIT = re.compile(r"[0-9 .,\u00a0\u2009\u202f]*(?P<unit>[^0-9±+]*?)\s*(?:(?:±|\+/-).*)?")


@dataclass(frozen=True, slots=True)
class CostTrial:
    """What the file would say: its bytes, the costs it would describe, and what is wrong, by dotted place.

    `changed` are the places whose text differs from the file's.
    """

    file: str
    draft: bytes
    costs: Costs | None
    faults: Mapping[str, Problem]
    changed: tuple[str, ...]


def tried_costs(root: Path, typed: Mapping[str, str]) -> CostTrial:
    """The costs with some assumptions typed anew; nothing is written.

    Parameters
    ----------
    root : Path
        The dossier.
    typed : mapping
        Text by dotted place; a bare number keeps the unit that stands there, what is empty stays as it is.

    Raises
    ------
    InputError
        The dossier has no costs.toml that reads, or no such place in it.
    """
    file = part_file(root, "costs")
    data = read_file(root, file, LARGEST_TEXT)
    draft, changed = data, []
    for place, text in typed.items():
        path = _path(place)
        stands = value_at(file, data, path)
        value = _with_unit(text.strip(), str(stands or ""))
        if text.strip() and value != str(stands or ""):
            draft = with_value(file, draft, path, value)
            changed.append(place)
    costs, problems = read_draft(root, file, draft)
    return CostTrial(file, draft, costs, _placed(problems, changed), tuple(changed))


def read_draft(root: Path, file: str, draft: bytes) -> tuple[Costs | None, tuple[Problem, ...]]:
    """The costs that a draft of the file describes, or None, and what is wrong within it."""
    airplane = part_file(root, "airplane")
    gathering = Gathering(root, drafts={file: draft})
    document = gathering.document(airplane)
    names = airplane_names(document.data if document else None)
    costs = read_costs(gathering, file, names)
    return costs, tuple(problem for problem in gathering.problems if problem.file == file)


def _path(place: str) -> tuple[str | int, ...]:
    """The place in the file; InputError where no such key may stand there."""
    from wringout.dossier.forms import costs_form, table_at

    parts = tuple(int(part) if part.isdecimal() else part for part in place.split("."))
    around = table_at(costs_form(), parts[:-1]) if 0 < len(parts) < 4 else None
    if around is None or around.field(str(parts[-1])) is None:
        known = (*(field.key for field in costs_form().fields), "loan.rate", "fixed.0.amount")
        raise InputError(unknown_name("assumption", place[:60], known))
    return parts


def _with_unit(text: str, stands: str) -> str:
    """A bare number with the unit in which the assumption stands."""
    if not _BARE.fullmatch(text):
        return text
    match = _UNIT.fullmatch(stands.replace("+/-", "±"))
    unit = money_unit(stands) or (match["unit"].strip() if match else "")
    return f"{text} {unit}".strip()


def _placed(problems: tuple[Problem, ...], changed: list[str]) -> dict[str, Problem]:
    """Each problem at the changed assumption that it is about, by the words of its field; the rest at ''."""
    found: dict[str, Problem] = {}
    for problem in problems:
        if problem.severity != "error":
            continue
        words = problem.field or ""
        only = changed[0] if len(changed) == 1 else ""
        place = next((item for item in changed if _about(item, words)), only)
        found.setdefault(place, problem)
    return found


def _about(place: str, words: str) -> bool:
    return place.rpartition(".")[2] in words.replace(",", " ").split()
