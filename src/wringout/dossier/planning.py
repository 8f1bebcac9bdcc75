"""A card is planned: a new one with its points, or points put on one that is yet to be flown."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from textwrap import wrap

from wringout.airplane.airplane import Airplane
from wringout.dossier.attaching import NewCard, loading_like
from wringout.dossier.editing import Content, value_at
from wringout.dossier.history import add, edit
from wringout.dossier.reading import CARDS
from wringout.dossier.shelf import place as plain_place
from wringout.dossier.table_editing import with_table
from wringout.problems import InputError, Problem

WIDTH = 100  # letters of a comment's line
Row = Mapping[str, Content]  # of a [[point]], without its id


@dataclass(frozen=True, slots=True)
class Sortie:
    """What is put on a card: its points in the order in which they were thought of, why, and what is wanted.

    `wanted` are keys of the card's [plan]; `reason` stands as a comment above all of it.
    """

    points: Sequence[Row]
    reason: str
    wanted: Row


def plan_card(root: Path, airplane: Airplane, card: NewCard, sortie: Sortie) -> str:
    """Make a card that is yet to be flown; its file. Taken back, the card stays without its points.

    Parameters
    ----------
    root : Path
        The dossier.
    airplane : Airplane
    card : NewCard
        Its name is that of its file; where it takes after no card, seats and tanks are empty.
    sortie : Sortie

    Raises
    ------
    InputError
        There is such a card already, or `check` would find an error in the new one.
    """
    import tomlkit

    plain_place(root, card.name)  # the same rule for names, before a file of that name is made
    file = f"{CARDS}/{card.name}.toml"
    document = tomlkit.document()
    for line in ("Test card, planned.", *wrap(sortie.reason, WIDTH)):
        document.add(tomlkit.comment(line))
    document.add(tomlkit.nl())
    for key in ("title", "day", "pilot", "configuration"):
        document[key] = getattr(card, key)
    if sortie.wanted:
        document["plan"] = dict(sortie.wanted)
    document["loading"] = loading_like(root, airplane, card.like)
    bare = tomlkit.dumps(document).encode()
    data = _with_points(file, bare, card.name, sortie.points)
    add(root, file, data, words=f"{len(sortie.points)} points planned", bare=bare)
    return file


def plan_points(root: Path, file: str, version: str, name: str, points: Sequence[Row]) -> str:
    """Put points at the end of a card that is there, all else as the person wrote it; its new version.

    Parameters
    ----------
    root : Path
        The dossier.
    file, version : str
        The card's file, and the version of it that the person saw.
    name : str
        The card's name, with which its points' names begin.
    points : sequence of mapping

    Raises
    ------
    InputError
        As `wringout.dossier.history.edit`.
    """
    return edit(
        root,
        file,
        version,
        lambda data: _with_points(file, data, name, points),
        f"{len(points)} points planned",
    )


def free_name(taken: Sequence[str]) -> str:
    """A name for the next card that no card has: 'next-1', 'next-2'.

    Examples
    --------
    >>> free_name(["flight-1", "next-1"])
    'next-2'
    """
    number = 1
    while f"next-{number}" in taken:
        number += 1
    return f"next-{number}"


def _with_points(file: str, data: bytes, name: str, points: Sequence[Row]) -> bytes:
    there = value_at(file, data, ("point",))
    if there is not None and not isinstance(there, list):
        raise InputError(Problem("'point' is no list of tables", "mend it by hand", file))
    known = {str(row.get("id")) for row in there or () if isinstance(row, Mapping)}
    first = len(there or ())
    number = 0
    for place, row in enumerate(points, start=first):
        number += 1
        while f"{name}.{number}" in known:
            number += 1
        data = with_table(file, data, ("point", place), {"id": f"{name}.{number}", **row})
    return data
