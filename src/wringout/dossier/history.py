"""Edits that know the version they were made on, and can be taken back.

Under `.history/` of the dossier each edited file has a folder: its states as they were, named by their hash,
and an index of their order. The index is written before the file; where a computer stops between the two, the
hash of the file still says at which state it is, so that nothing is lost.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from threading import RLock

from wringout.dossier.editing import Value, value_at, with_value
from wringout.dossier.files import RECORDINGS, REPORT, RESULTS, inside, read_file, write_file
from wringout.dossier.reading import examine
from wringout.dossier.store import digest
from wringout.dossier.toml import LARGEST_TEXT
from wringout.problems import InputError, Problem

FOLDER = ".history"
MOST_STATES = 100
MOST_BYTES = 20_000_000

_LOCK = RLock()  # edits are short; one at a time in this process


class StaleError(InputError):
    """The file is no longer as it was when the edit was made on it; `version` is what it is now."""

    def __init__(self, file: str, version: str) -> None:
        super().__init__(
            Problem(
                "the file was changed elsewhere since this page was opened",
                "look at what it says now, then save again to put yours in its place",
                file,
            )
        )
        self.version = version


@dataclass(frozen=True, slots=True)
class Steps:
    """What can be taken back and done again in a file, in words; None where nothing can."""

    version: str
    undo: str | None
    redo: str | None


@dataclass(frozen=True, slots=True)
class _State:
    version: str
    words: str  # of the edit that led here


@dataclass(frozen=True, slots=True)
class _Index:
    states: tuple[_State, ...]
    at: int  # of the file as it was last written from here


def version_of(root: Path, file: str) -> str:
    """The version of a file of the dossier: a hash of what it holds. Raises InputError as `read_file`."""
    return _version(read_file(root, file, LARGEST_TEXT))


def edit(
    root: Path,
    file: str,
    version: str,
    change: Callable[[bytes], bytes],
    words: str,
    *,
    checked: bool = True,
) -> str:
    """Change a text file of the dossier, if it is still as it was when the change was thought of.

    Parameters
    ----------
    root : Path
        The dossier.
    file : str
        A text file of it.
    version : str
        What `version_of` said when the person saw it.
    change : callable
        Old bytes → new bytes; may raise InputError, and then nothing is changed.
    words : str
        What the edit does, for the button that takes it back.
    checked : bool
        Whether an edit is refused after which `check` would find an error that is not there yet.

    Returns
    -------
    str
        The new version.

    Raises
    ------
    StaleError
        The file is another now.
    InputError
        It cannot be read or written, or `change` or the check refuses.
    """
    _refuse_derived(file)
    with _LOCK:
        old = read_file(root, file, LARGEST_TEXT)
        if _version(old) != version:
            raise StaleError(file, _version(old))
        new = change(old)
        if new == old:
            return version
        if len(new) > LARGEST_TEXT:
            raise InputError(Problem(f"would have more than {LARGEST_TEXT / 1e6:.0f} MB", "shorten it", file))
        if checked:
            _refuse_new_errors(root, file, new)
        index = _current(root, file, version)
        kept = (*index.states[: index.at + 1], _State(_version(new), words[:200]))
        _keep_state(root, file, old)
        _keep_state(root, file, new)
        _write_index(root, file, _bounded(root, file, kept))
        write_file(root, file, new)
        _prune(root, file)
        return _version(new)


def add(root: Path, file: str, data: bytes, *, words: str = "", bare: bytes = b"") -> str:
    """Put a text file into the dossier that was not there; its version.

    With `words`, what the edit does, it can be taken back; the file then holds what is `bare`.

    Raises InputError where it is there already, `check` would find an error that is not there yet, or the
    disk refuses.
    """
    _refuse_derived(file)
    with _LOCK:
        if inside(root, file).exists():
            raise InputError(Problem(f"'{file}' is there already", "choose another name"))
        _refuse_new_errors(root, file, data)
        if words:
            states = (_State(_version(bare), ""), _State(_version(data), words[:200]))
            _keep_state(root, file, bare)
            _keep_state(root, file, data)
            _write_index(root, file, _Index(states, 1))
        write_file(root, file, data)
    return _version(data)


def edit_value(root: Path, file: str, version: str, path: Sequence[str | int], value: Value | None) -> str:
    """Set or (None) take away one value of a TOML file; the rest as `edit`.

    An edit made on an older version counts where that version is in the history and this value has stayed as
    it was there: two edits of different values do not disturb one another.
    """

    def change(data: bytes) -> bytes:
        return with_value(file, data, path, value)

    with _LOCK:
        now = read_file(root, file, LARGEST_TEXT)
        old = value_at(file, now, path)
        if _version(now) != version and (old == value or _untouched(root, file, version, now, path)):
            version = _version(now)
        return edit(root, file, version, change, f"{_last_key(path)}: {_short(old)} → {_short(value)}")


def edit_text(root: Path, file: str, version: str, text: str) -> str:
    """Replace the whole text of a file, unchecked: work half done is kept too. The rest as `edit`."""
    return edit(root, file, version, lambda _: text.encode("utf-8"), f"text of {file}", checked=False)


def steps(root: Path, file: str) -> Steps:
    """What can be taken back and done again in a file of the dossier. Raises InputError as `read_file`."""
    version = version_of(root, file)
    index = _current(root, file, version)
    states, at = index.states, index.at
    return Steps(
        version,
        undo=states[at].words if at > 0 else None,
        redo=states[at + 1].words if at + 1 < len(states) else None,
    )


def undo(root: Path, file: str, version: str) -> str:
    """Take back the last edit of a file; the new version. Errors as `edit`, or there is none."""
    return _step(root, file, version, -1, "there is nothing to take back")


def redo(root: Path, file: str, version: str) -> str:
    """Do again the edit that was taken back last; the new version. Errors as `undo`."""
    return _step(root, file, version, +1, "there is nothing to do again")


def _step(root: Path, file: str, version: str, by: int, nothing: str) -> str:
    with _LOCK:
        if version_of(root, file) != version:
            raise StaleError(file, version_of(root, file))
        index = _current(root, file, version)
        to = index.at + by
        if not 0 <= to < len(index.states):
            raise InputError(Problem(nothing, "edit it instead", file))
        wanted = index.states[to].version
        data = read_file(root, _state_path(file, wanted), LARGEST_TEXT)
        if _version(data) != wanted:
            raise InputError(Problem("its kept state was changed by another hand", "edit it instead", file))
        _write_index(root, file, _Index(index.states, to))
        write_file(root, file, data)
        return wanted


def _untouched(root: Path, file: str, version: str, now: bytes, path: Sequence[str | int]) -> bool:
    """Whether a value is the same in a version of the history as now, in the same table of a list."""
    if version not in {state.version for state in _read_index(root, file).states}:
        return False
    try:
        then = read_file(root, _state_path(file, version), LARGEST_TEXT)
        return value_at(file, then, path) == value_at(file, now, path) and all(
            _named(value_at(file, then, path[: end + 1])) == _named(value_at(file, now, path[: end + 1]))
            for end, key in enumerate(path)
            if isinstance(key, int)
        )
    except InputError:
        return False


def _named(item: object) -> object:
    """What tells a table of a list from its neighbours: its name, or all of it."""
    if isinstance(item, Mapping):
        return next((item[key] for key in ("name", "id") if key in item), item)
    return item


def _refuse_new_errors(root: Path, file: str, new: bytes) -> None:
    known = {(problem.file, problem.field, problem.what) for problem in examine(root)[1]}
    added = [
        problem
        for problem in examine(root, {file: new})[1]
        if problem.severity == "error" and (problem.file, problem.field, problem.what) not in known
    ]
    if added:
        raise InputError(*added)


def _refuse_derived(file: str) -> None:
    first = file.split("/", 1)[0]
    if first.startswith(".") or first in {RECORDINGS, RESULTS, REPORT}:
        raise InputError(Problem(f"'{file}' is not for editing", "edit the dossier's own text files"))


def _version(data: bytes) -> str:
    return digest(data)[:32]


def _slug(file: str) -> str:
    return f"{FOLDER}/{file.replace('/', '~')}"


def _state_path(file: str, version: str) -> str:
    return f"{_slug(file)}/{version}"


def _keep_state(root: Path, file: str, data: bytes) -> None:
    path = _state_path(file, _version(data))
    if not (root / path).exists():
        write_file(root, path, data)


def _current(root: Path, file: str, version: str) -> _Index:
    """The history as far as it leads to the file as it is; begun anew where another hand changed the file."""
    index = _read_index(root, file)
    here = [number for number, state in enumerate(index.states) if state.version == version]
    if not here:
        return _Index((_State(version, ""),), 0)
    return _Index(index.states, min(here, key=lambda number: abs(number - index.at)))


def _read_index(root: Path, file: str) -> _Index:
    try:
        data = json.loads(read_file(root, f"{_slug(file)}/index.json", LARGEST_TEXT))
        states = tuple(_State(str(version), str(words)) for version, words in data["states"])
        return _Index(states, int(data["at"]))
    except (InputError, ValueError, KeyError, TypeError):
        return _Index((), 0)  # a damaged history takes nothing back; the file itself is whole


def _write_index(root: Path, file: str, index: _Index) -> None:
    data = {"states": [(state.version, state.words) for state in index.states], "at": index.at}
    write_file(root, f"{_slug(file)}/index.json", json.dumps(data, ensure_ascii=False).encode())


def _bounded(root: Path, file: str, states: tuple[_State, ...]) -> _Index:
    """The youngest states, as many as the bounds allow and at least two."""
    kept, total = 0, 0
    for state in reversed(states[-MOST_STATES:]):
        place = root / _state_path(file, state.version)
        total += place.stat().st_size if place.exists() else 0
        if kept >= 2 and total > MOST_BYTES:
            break
        kept += 1
    return _Index(states[-kept:], kept - 1)


def _prune(root: Path, file: str) -> None:
    wanted = {state.version for state in _read_index(root, file).states}
    for entry in (root / _slug(file)).iterdir():
        if entry.name != "index.json" and entry.name not in wanted and not entry.name.startswith("."):
            entry.unlink(missing_ok=True)


def _last_key(path: Sequence[str | int]) -> str:
    return next((str(key).replace("_", " ") for key in reversed(path) if isinstance(key, str)), "")


def _short(value: object) -> str:
    return "–" if value is None else str(value)[:40]
