"""A recording comes into the dossier: under a plain name, whole, readable, and never over another."""

from __future__ import annotations

import hashlib
import os
import tempfile
from dataclasses import dataclass
from pathlib import Path, PurePosixPath
from typing import BinaryIO

from wringout.dossier.files import RECORDINGS, file_digest, inside
from wringout.problems import InputError, Problem

LONGEST_NAME = 100
MOST_ALIKE = 1000  # files of one name and different content
_CHUNK = 1 << 20
_REFUSED = frozenset('/\\:*?"<>|')


@dataclass(frozen=True, slots=True)
class Received:
    """Where a recording lies in the dossier; `known` where it was there already, byte for byte.

    `mapped` where its columns are still to be told.
    """

    path: str
    size: int
    known: bool
    mapped: bool


def receive(root: Path, name: str, stream: BinaryIO, largest: int) -> Received:
    """Copy a recording into the dossier's recordings.

    Parameters
    ----------
    root : Path
        The dossier.
    name : str
        As the person's computer has it; only its last part counts. Where another file has it, a number is
        put behind it.
    stream : binary file
        Its bytes.
    largest : int
        Bytes that are taken at most.

    Raises
    ------
    InputError
        The name cannot be used, the content is empty, too large, of no known format or unreadable, or the
        disk refuses; nothing is then left behind.
    """
    plain = plain_name(name)
    folder = inside(root, RECORDINGS)
    try:
        folder.mkdir(parents=True, exist_ok=True)
        handle, temporary = tempfile.mkstemp(prefix=".", suffix=f"{Path(plain).suffix}.part", dir=folder)
        try:
            size, sha = _copied(handle, stream, largest, plain)
            mapped = _looked_at(Path(temporary), plain)
            path, known = _placed(root, Path(temporary), plain, sha)
        finally:
            Path(temporary).unlink(missing_ok=True)
    except OSError as error:
        raise InputError(
            Problem(
                f"cannot be copied into {RECORDINGS}/ ({error.strerror})",
                "check the disk and its permissions",
                plain,
            )
        ) from error
    return Received(path, size, known, mapped)


def plain_name(name: str) -> str:
    """The last part of a file's name. Raises InputError where it is none that every system can keep."""
    plain = name.replace("\\", "/").rsplit("/", 1)[-1].strip()
    mend = "rename it with letters, digits and hyphens, then drop it again"
    if not plain or not plain.isprintable() or set(plain) & _REFUSED:
        raise InputError(Problem(f"'{plain[:60]}' is no plain name of a file", mend))
    if plain.startswith(".") or plain.endswith("."):
        raise InputError(Problem(f"'{plain}' starts or ends with a point", mend))
    if len(plain.encode("utf-8", "replace")) > LONGEST_NAME:
        raise InputError(Problem(f"the name '{plain[:40]}…' is longer than {LONGEST_NAME} characters", mend))
    return plain


def recordings_in(root: Path) -> tuple[str, ...]:
    """Paths of the files in the dossier's recordings, in order of name."""
    try:
        entries = sorted(inside(root, RECORDINGS).iterdir(), key=lambda entry: entry.name.casefold())
    except OSError:
        return ()
    return tuple(
        f"{RECORDINGS}/{entry.name}"
        for entry in entries
        if entry.is_file() and not entry.name.startswith(".") and entry.name.isprintable()
    )


def _copied(handle: int, stream: BinaryIO, largest: int, name: str) -> tuple[int, str]:
    size, sha = 0, hashlib.sha256()
    with os.fdopen(handle, "wb") as file:
        while piece := stream.read(_CHUNK):
            size += len(piece)
            if size > largest:
                mend = "cut the flight out of the log, or put the file into recordings/ by hand"
                raise InputError(Problem(f"has more than {largest / 1e6:.0f} MB", mend, name))
            file.write(piece)
            sha.update(piece)
        file.flush()
        os.fsync(file.fileno())
    return size, sha.hexdigest()


def _looked_at(place: Path, name: str) -> bool:
    """Whether its columns are to be told; what says them itself is read once: no wreck is kept."""
    from wringout.recordings.proposal import propose
    from wringout.recordings.reading import needs_mapping, read

    # The readers judge a name's ending too, and tell the name in their words.
    named = place.with_name(f".{os.getpid()}-{place.name[:20]}{Path(name).suffix}")
    place.rename(named)
    try:
        mapped = needs_mapping(named)
        if mapped:
            propose(named)
        else:
            read(named)
    except InputError as error:
        renamed = (
            Problem(problem.what, problem.mend, name, problem.line, problem.field)
            for problem in error.problems
        )
        raise InputError(*renamed) from None
    finally:
        named.rename(place)
    return mapped


def _placed(root: Path, temporary: Path, name: str, sha: str) -> tuple[str, bool]:
    stem, suffix = PurePosixPath(name).stem, PurePosixPath(name).suffix
    taken = {path.rsplit("/", 1)[-1].casefold(): path for path in recordings_in(root)}
    for number in range(1, MOST_ALIKE):
        tried = name if number == 1 else f"{stem}-{number}{suffix}"
        there = taken.get(tried.casefold())
        if there is not None:
            if file_digest(root, there) == sha:
                return there, True
            continue
        path = f"{RECORDINGS}/{tried}"
        try:
            _moved(temporary, inside(root, path))
        except FileExistsError:
            continue  # put there by another in this very moment
        return path, False
    raise InputError(
        Problem(f"there are {MOST_ALIKE} files of this name", "rename it, then drop it again", name)
    )


def _moved(temporary: Path, place: Path) -> None:
    """Give a file its name. Raises FileExistsError rather than replace another."""
    temporary.chmod(0o644)
    try:
        os.link(temporary, place)
    except FileExistsError:
        raise
    except OSError:  # a file system without hard links: take the name first, then put the file in its place
        place.open("xb").close()
        temporary.replace(place)
