"""A new dossier: a small invented example in which every key is explained."""

from __future__ import annotations

from collections.abc import Iterable
from contextlib import suppress
from pathlib import Path
from typing import TYPE_CHECKING

from wringout.dossier.files import RECORDINGS, write_file
from wringout.dossier.shelf import HEAD
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
        Any of the files is there already, or the disk refuses; then nothing is left behind.
    """
    from importlib import resources

    root = Path(root)
    new = not root.exists()
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
    try:
        for path in sorted(files, key=lambda path: path == HEAD):  # last, for it makes the folder a dossier
            write_file(root, path, files[path])
    except InputError:
        _taken_away(root, files, whole=new)
        raise
    return tuple(files)


def _taken_away(root: Path, files: Iterable[str], *, whole: bool) -> None:
    """Undo what was written before the disk refused, as far as the disk allows that."""
    with suppress(OSError):
        for path in files:
            (root / path).unlink(missing_ok=True)
        for folder in ("cards", RECORDINGS, "."):
            if (whole or folder != ".") and (root / folder).is_dir():
                (root / folder).rmdir()


def _files(folder: Traversable, prefix: str) -> list[tuple[str, bytes]]:
    found: list[tuple[str, bytes]] = []
    for entry in sorted(folder.iterdir(), key=lambda item: item.name):
        if entry.is_dir():
            found += _files(entry, f"{prefix}{entry.name}/")
        elif entry.name.endswith((".toml", ".csv")):
            found.append((prefix + entry.name, entry.read_bytes()))
    return found
