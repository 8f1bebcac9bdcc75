"""The files of a dossier: every path stays inside its folder, and a write is whole or not at all."""

from __future__ import annotations

import hashlib
import os
import tempfile
import time
from pathlib import Path, PurePosixPath

from wringout.problems import InputError, Problem

RECORDINGS = "recordings"
RESULTS = "results"
REPORT = "report"

FORGOTTEN = 3600.0  # s after which a half-written file is nobody's any more

_CHUNK = 1 << 20


def inside(root: Path, path: str) -> Path:
    """The place of `path`, a relative path with '/' between its parts, in the dossier at `root`.

    Raises
    ------
    InputError
        The path is absolute, has '..' in it, is not a possible file name, or leads out through a link.
    """
    if not path.strip() or "\0" in path or "\\" in path:
        raise InputError(
            Problem(f"{path!r} is not a path", "write it like 'recordings/flight1.csv', with '/'")
        )
    parts = PurePosixPath(path)
    if parts.is_absolute() or ".." in parts.parts or ":" in parts.parts[0]:
        raise InputError(
            Problem(
                f"'{path}' leads out of the dossier",
                "put the file into the dossier and write its path from there",
            )
        )
    place = root / parts
    try:
        if not place.resolve().is_relative_to(root.resolve()):
            raise InputError(
                Problem(f"'{path}' is a link out of the dossier", "put the file itself into the dossier")
            )
    except (OSError, RuntimeError, ValueError) as error:
        raise InputError(_unreadable(path, error)) from error
    return place


def read_file(root: Path, path: str, largest: int | None = None) -> bytes:
    """The bytes of a file of the dossier.

    Raises
    ------
    InputError
        It is missing, no ordinary file, unreadable, or has more than `largest` bytes.
    """
    place = _ordinary(root, path)
    try:
        with place.open("rb") as file:
            data = file.read(-1 if largest is None else largest + 1)
    except OSError as error:
        raise InputError(_unreadable(path, error)) from error
    if largest is not None and len(data) > largest:
        raise InputError(
            Problem(f"has more than {largest / 1e6:.0f} MB", "is this the right file? Move it out", file=path)
        )
    return data


def file_digest(root: Path, path: str) -> str:
    """SHA-256 of a file of the dossier, read in pieces; errors as for `read_file`."""
    place = _ordinary(root, path)
    sha = hashlib.sha256()
    try:
        with place.open("rb") as file:
            while piece := file.read(_CHUNK):
                sha.update(piece)
    except OSError as error:
        raise InputError(_unreadable(path, error)) from error
    return sha.hexdigest()


def write_file(root: Path, path: str, data: bytes) -> Path:
    """Write a file of the dossier whole: killed at any moment, either the old or the new content is there.

    Returns
    -------
    Path
        Where it is.

    Raises
    ------
    InputError
        The path leads out of the dossier or into the recordings, or the disk refuses.
    """
    place = inside(root, path)
    if PurePosixPath(path).parts[0] == RECORDINGS:
        raise InputError(Problem(f"'{path}' would alter a raw recording", "write it under another name"))
    try:
        place.parent.mkdir(parents=True, exist_ok=True)
        handle, name = tempfile.mkstemp(prefix=f".{place.name[:40]}.", suffix=".part", dir=place.parent)
        temporary = Path(name)
        try:
            with os.fdopen(handle, "wb") as file:
                file.write(data)
                file.flush()
                os.fsync(file.fileno())
            temporary.chmod(0o644)
            temporary.replace(place)
        except BaseException:
            temporary.unlink(missing_ok=True)
            raise
        _sync_folder(place.parent)
    except OSError as error:
        raise InputError(
            Problem(f"cannot be written ({error.strerror})", "check the disk and its permissions", file=path)
        ) from error
    return place


def sweep(root: Path, older: float = FORGOTTEN) -> int:
    """Take away what a kill in the midst of a write left beside the whole files.

    Parameters
    ----------
    root : Path
        The dossier.
    older : float
        What is younger stays: somebody may be writing it. [s]

    Returns
    -------
    int
        How many files it took away.
    """
    count = 0
    # The second is a recording that is being looked at under a name with its own ending.
    for part in (*Path(root).rglob(".*.part"), *(Path(root) / RECORDINGS).glob(".[0-9]*-*")):
        try:
            if not part.is_symlink() and part.is_file() and time.time() - part.stat().st_mtime >= older:
                part.unlink()
                count += 1
        except OSError:
            continue  # swept by another, or not ours to take
    return count


def _sync_folder(folder: Path) -> None:
    """Make a rename last through a power cut, where the system can open folders."""
    try:
        handle = os.open(folder, os.O_RDONLY)
    except OSError:
        return
    try:
        os.fsync(handle)
    except OSError:
        pass  # some network file systems refuse; the rename itself is still whole
    finally:
        os.close(handle)


def _ordinary(root: Path, path: str) -> Path:
    place = inside(root, path)
    try:
        if not place.exists():
            raise InputError(Problem("the file is missing", "put it there or correct its name", file=path))
        if not place.is_file():
            raise InputError(Problem("is a folder or a device, not a file", "name a file", file=path))
    except (OSError, ValueError) as error:
        raise InputError(_unreadable(path, error)) from error
    return place


def _unreadable(path: str, error: Exception) -> Problem:
    reason = getattr(error, "strerror", None) or "the system refuses the name"
    return Problem(f"cannot be read ({reason})", "check its name and its permissions", file=path)
