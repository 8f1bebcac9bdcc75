"""The folder in which dossiers stand beside one another: which there are, and the place of each."""

from __future__ import annotations

import shutil
import tempfile
from pathlib import Path
from typing import Literal

from wringout.dossier.files import RECORDINGS, read_file
from wringout.dossier.toml import LARGEST_TEXT, read_toml
from wringout.problems import InputError, Problem

HEAD = "dossier.toml"
LONGEST_NAME = 80
MOST_SHOWN = 500
PARTS = {
    "airplane": "airplane.toml",
    "claims": "claims.toml",
    "missions": "missions.toml",
    "strips": "strips.csv",
    "costs": "costs.toml",
}
Extent = Literal["airplane", "everything"]

_REFUSED = frozenset('/\\:*?"<>|')


def place(shelf: Path, name: str) -> Path:
    """Where the dossier `name` of the folder `shelf` is, or would be.

    Raises
    ------
    InputError
        The name is no plain name of a folder, or leads out of the shelf.
    """
    fault = _fault(name)
    if fault:
        raise InputError(Problem(fault, "use letters, digits, spaces and hyphens", field="name"))
    folder = Path(shelf) / name
    try:
        within = folder.resolve().parent == Path(shelf).resolve()
    except (OSError, RuntimeError, ValueError) as error:
        raise InputError(Problem(f"'{name}' cannot be a folder here", "choose another name")) from error
    if not within:
        raise InputError(
            Problem(f"'{name}' is a link out of the shelf's folder", "put the dossier's folder itself there")
        )
    return folder


def _fault(name: str) -> str | None:
    """What keeps a text from being the name of a dossier; None where nothing does."""
    if not name.strip():
        return "a dossier needs a name"
    if len(name.encode("utf-8", "replace")) > LONGEST_NAME:
        return f"the name is longer than {LONGEST_NAME} characters"
    if not name.isprintable():
        return "the name holds a character that cannot be seen"
    if set(name) & _REFUSED:
        return f"'{name}' holds a character that leads out of the folder or that not every system allows"
    if name != name.strip() or name.startswith(".") or name.endswith("."):
        return f"'{name}' starts with a point or ends with a point or a space"
    return None


def dossiers(shelf: Path) -> tuple[str, ...]:
    """The names of the dossiers in the folder `shelf`, in alphabetical order, at most `MOST_SHOWN`.

    Raises
    ------
    InputError
        The folder is missing or cannot be opened.
    """
    try:
        entries = sorted(Path(shelf).iterdir(), key=lambda entry: entry.name.casefold())
    except OSError as error:
        raise InputError(
            Problem(
                f"the folder '{shelf}' cannot be opened ({error.strerror})",
                "name a folder that is there, or mend its permissions",
            )
        ) from error
    return tuple(entry.name for entry in entries if _is_dossier(Path(shelf), entry))[:MOST_SHOWN]


def _is_dossier(shelf: Path, entry: Path) -> bool:
    if _fault(entry.name):
        return False
    try:
        return (entry / HEAD).is_file() and entry.resolve().parent == shelf.resolve()
    except OSError:
        return False


def copy(shelf: Path, name: str, new: str, extent: Extent) -> Path:
    """Make the dossier `new` from the dossier `name`, whole or not at all.

    Parameters
    ----------
    shelf : Path
        The folder of both.
    name, new : str
        The one that is there, and the one that is not.
    extent : str
        'airplane' takes the airplane with its claims, missions and strips; 'everything' the flights too.
        Results and report are never taken: they are computed anew.

    Returns
    -------
    Path
        The new dossier's folder.

    Raises
    ------
    InputError
        A name cannot be used, there is no such dossier, the new one is there already, or the disk refuses.
    """
    source, target = place(shelf, name), place(shelf, new)
    if not (source / HEAD).is_file():
        raise InputError(Problem(f"there is no dossier '{name}'", "choose one of the shelf", field="from"))
    if target.exists():
        raise InputError(Problem(f"'{new}' is there already", "choose another name", field="name"))
    files = _parts(source) + (_flights(source) if extent == "everything" else [])
    try:
        with tempfile.TemporaryDirectory(prefix=".copy-", dir=shelf) as scratch:
            made = Path(scratch) / "dossier"
            for path in files:
                (made / path).parent.mkdir(parents=True, exist_ok=True)
                shutil.copyfile(source / path, made / path)
            (made / RECORDINGS).mkdir(exist_ok=True)
            made.rename(target)
    except OSError as error:
        raise InputError(
            Problem(
                f"'{new}' cannot be written ({error.strerror})",
                "check the disk and its permissions",
                field="name",
            )
        ) from error
    return target


def text_files(root: Path) -> tuple[str, ...]:
    """The text files of a dossier that a person edits, whether they read or not: dossier.toml first."""
    names = [str(path) for path in _parts(root)]
    cards = [
        path.as_posix() for path in _flights(root) if path.parts[0] == "cards" and path.suffix == ".toml"
    ]
    return tuple(dict.fromkeys([*names, *cards]))


def _parts(root: Path) -> list[Path]:
    """The files that dossier.toml names, and itself."""
    try:
        named = read_toml(HEAD, read_file(root, HEAD, LARGEST_TEXT)).data.get("files", {})
    except InputError:
        named = {}
    names = [named.get(key, usual) if isinstance(named, dict) else usual for key, usual in PARTS.items()]
    return [Path(HEAD), *(Path(name) for name in names if _is_own_file(root, root / str(name)))]


def _flights(root: Path) -> list[Path]:
    """Cards, recordings and weather, wherever they lie in their folders."""
    return [
        entry.relative_to(root)
        for folder in ("cards", RECORDINGS, "weather")
        for entry in sorted((root / folder).rglob("*"))
        if _is_own_file(root, entry)
    ]


def _is_own_file(root: Path, entry: Path) -> bool:
    try:
        return entry.is_file() and entry.resolve().is_relative_to(root.resolve())
    except OSError:
        return False
