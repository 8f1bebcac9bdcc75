"""airplane.toml alone, as it stands or as a draft: its file, its airplane, and what is wrong within it."""

from __future__ import annotations

from pathlib import Path

from wringout.airplane.airplane import Airplane
from wringout.dossier.editing import value_at
from wringout.dossier.files import read_file
from wringout.dossier.gathering import Gathering
from wringout.dossier.reading import read_airplane
from wringout.dossier.references import airplane_names
from wringout.dossier.shelf import HEAD, PARTS
from wringout.dossier.toml import LARGEST_TEXT
from wringout.problems import InputError, Problem


def part_file(root: Path, part: str) -> str:
    """The file of a part such as 'airplane' or 'claims', as dossier.toml names it or by its usual name."""
    try:
        named = value_at(HEAD, read_file(root, HEAD, LARGEST_TEXT), ("files", part))
    except InputError:
        named = None
    return named if isinstance(named, str) and named.strip() else PARTS[part]


def drafted(root: Path, file: str, draft: bytes) -> tuple[Airplane | None, tuple[Problem, ...]]:
    """The airplane that a draft of its file describes, or None, and what is wrong within that file.

    What other files then no longer find in it is told when the draft is kept.
    """
    gathering = Gathering(root, drafts={file: draft})
    document = gathering.document(file)
    airplane = read_airplane(gathering, document, airplane_names(document.data if document else None))
    return airplane, gathering.problems
