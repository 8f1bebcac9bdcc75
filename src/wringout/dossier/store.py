"""Results on disk: one file a stage under `results/`, named by the hash of what it was computed from."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Mapping
from functools import cache
from importlib import metadata, resources
from importlib.resources.abc import Traversable
from pathlib import Path

from wringout.dossier.files import write_file

RESULTS = "results"


def digest(*parts: bytes) -> str:
    """SHA-256 of the parts, each kept apart from the next by its length."""
    sha = hashlib.sha256()
    for part in parts:
        sha.update(len(part).to_bytes(8, "big"))
        sha.update(part)
    return sha.hexdigest()


def _sources(folder: Traversable) -> list[tuple[str, bytes]]:
    found: list[tuple[str, bytes]] = []
    for entry in sorted(folder.iterdir(), key=lambda item: item.name):
        if entry.is_dir():
            found += [(f"{entry.name}/{name}", text) for name, text in _sources(entry)]
        elif entry.name.endswith((".py", ".typ", ".toml")):
            found.append((entry.name, entry.read_bytes()))
    return found


@cache
def software() -> str:
    """Version and fingerprint of the code, so that a result of other code is never taken for one of this."""
    parts = [part for name, text in _sources(resources.files("wringout")) for part in (name.encode(), text)]
    return f"{metadata.version('wringout')} ({digest(*parts)[:12]})"


def load_result(root: Path, stage: str, key: str) -> bytes | None:
    """What `save_result` wrote for this stage and key, or None."""
    try:
        return _path(root, stage, key).read_bytes()
    except OSError:
        return None


def has_result(root: Path, stage: str, key: str) -> bool:
    """Whether `save_result` wrote something for this stage and key that is still there."""
    try:
        return _path(root, stage, key).is_file()
    except OSError:
        return False


def has_any_result(root: Path, stage: str) -> bool:
    """Whether the stage has ever left a result that is still there, of the dossier as it was then."""
    try:
        return any((root / RESULTS / stage).glob("*.npz"))
    except OSError:
        return False


def save_result(root: Path, stage: str, key: str, data: bytes) -> None:
    """Keep a stage's result under its key, and drop what the stage had kept under other keys."""
    path = _path(root, stage, key)
    write_file(root, str(path.relative_to(root)), data)
    for old in path.parent.glob("*.npz"):
        if old != path:
            old.unlink(missing_ok=True)


def write_files(root: Path, stage: str, key: str, files: Mapping[str, bytes]) -> None:
    """Write a stage's files for people, and note under its key what was written."""
    for path, data in files.items():
        write_file(root, path, data)
    noted = {path: digest(data) for path, data in files.items()}
    save_result(root, stage, key, json.dumps(noted).encode())


def files_written(root: Path, stage: str, key: str) -> tuple[str, ...] | None:
    """The files that `write_files` wrote under this key, or None unless each is still there as it was."""
    noted = load_result(root, stage, key)
    if noted is None:
        return None
    try:
        files = json.loads(noted)
        unchanged = all(digest((root / path).read_bytes()) == sha for path, sha in files.items())
    except (OSError, ValueError, AttributeError):
        return None
    return tuple(files) if unchanged else None


def _path(root: Path, stage: str, key: str) -> Path:
    return root / RESULTS / stage / f"{key[:24]}.npz"
