"""A new dossier: a small invented example in which every key is explained."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from wringout.dossier.files import RECORDINGS, write_file
from wringout.problems import InputError, Problem

if TYPE_CHECKING:
    from importlib.resources.abc import Traversable


def create(root: Path) -> tuple[str, ...]:
    """Make a commented dossier in the folder `root`, which is made where it is missing.

    Returns
    -------
    tuple of str
        The files made, as paths in the dossier. What they hold passes `check`.

    Raises
    ------
    InputError
        Any of the files is there already, and then none is written; or the disk refuses.
    """
    from importlib import resources

    root = Path(root)
    files = dict(_files(resources.files("wringout.dossier") / "template", ""))
    try:
        root.mkdir(parents=True, exist_ok=True)
        present = [path for path in files if (root / path).exists()]
        if not present:
            (root / RECORDINGS).mkdir(exist_ok=True)
    except (OSError, ValueError) as error:
        reason = getattr(error, "strerror", None) or "the system refuses the name"
        raise InputError(
            Problem(f"the folder '{root}' cannot be made ({reason})", "choose another place")
        ) from error
    if present:
        shown = ", ".join(present)
        raise InputError(
            Problem(f"the folder '{root}' already holds {shown}", "choose a new folder; nothing was changed")
        )
    for path, data in files.items():
        write_file(root, path, data)
    return tuple(files)


def _files(folder: Traversable, prefix: str) -> list[tuple[str, bytes]]:
    found: list[tuple[str, bytes]] = []
    for entry in sorted(folder.iterdir(), key=lambda item: item.name):
        if entry.is_dir():
            found += _files(entry, f"{prefix}{entry.name}/")
        elif entry.name.endswith((".toml", ".csv")):
            found.append((prefix + entry.name, entry.read_bytes()))
    return found
