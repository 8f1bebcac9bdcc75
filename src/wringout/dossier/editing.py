"""Change one value of a file and leave all else, comments and order too, as the person wrote it."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from datetime import date, datetime
from pathlib import Path
from typing import Any

from wringout.dossier.files import read_file, write_file
from wringout.dossier.toml import LARGEST_TEXT, read_toml, text_of
from wringout.problems import InputError, Problem

Value = str | int | float | bool | date | datetime | list[str] | list[list[str]]
Content = Value | Mapping[str, "Content"] | Sequence[Mapping[str, "Content"]] | None


def set_value(root: Path, file: str, path: Sequence[str | int], value: Value | None) -> None:
    """Set, add or take away one value of a TOML file of the dossier.

    Parameters
    ----------
    root : Path
        The dossier.
    file : str
        A TOML file of it, such as 'cards/flight-1.toml'.
    path : sequence of str and int
        The keys and indices down to the value, such as ('point', 0, 'start'); the table must be there.
    value : str, int, float, bool, date, datetime, list of str or None
        As it is to stand in the file, a quantity as text with its unit; None takes the key away.

    Raises
    ------
    InputError
        The file cannot be read or written, or has no such table; it is then as it was.
    """
    write_file(root, file, with_value(file, read_file(root, file, LARGEST_TEXT), path, value))


def with_value(file: str, data: bytes, path: Sequence[str | int], value: Value | None) -> bytes:
    """The bytes of a TOML file with one value set, added or (None) taken away; errors as `set_value`."""

    def change(document: Any) -> None:
        table = _table(document, file, path)
        if value is None:
            table.pop(path[-1], None)
        else:
            table[path[-1]] = value

    return changed(file, data, change)


def with_item(file: str, data: bytes, path: Sequence[str | int], item: Mapping[str, Value]) -> bytes:
    """The bytes of a TOML file with one more table at the end of the list at `path`.

    The list is made where it is missing. Raises InputError where the file is not TOML, or something other
    than a list of tables is there.
    """
    import tomlkit

    def change(document: Any) -> None:
        table = _table(document, file, path)
        if path[-1] not in table:
            table[path[-1]] = tomlkit.aot()
        if not isinstance(table[path[-1]], list):
            raise InputError(Problem(f"'{path[-1]}' is no list of tables", "change it by hand", file))
        made = tomlkit.table()
        made.update(item)
        made.trivia.indent = "\n"  # an empty line above it
        table[path[-1]].append(made)

    return changed(file, data, change)


def without_item(file: str, data: bytes, path: Sequence[str | int]) -> bytes:
    """The bytes of a TOML file without the table at `path`, whose last part is its place in its list.

    Raises InputError where the file is not TOML, or has no such table.
    """

    def change(document: Any) -> None:
        items = inside(document, file, path)
        if not isinstance(items, list) or not isinstance(path[-1], int) or not 0 <= path[-1] < len(items):
            raise InputError(Problem(f"there is no '{_shown(path)}'", "reload the page", file))
        del items[path[-1]]
        if not items:
            inside(document, file, path[:-1]).pop(path[-2])

    return changed(file, data, change)


def value_at(file: str, data: bytes, path: Sequence[str | int]) -> object:
    """What stands at `path` in the bytes of a TOML file; None where nothing does.

    Raises InputError where the file is not TOML.
    """
    inside: Any = read_toml(file, data).data
    for key in path:
        try:
            inside = inside[key]
        except (KeyError, IndexError, TypeError):
            return None
    found: object = inside
    return found


def changed(file: str, data: bytes, change: Callable[[Any], None]) -> bytes:
    """The bytes of a TOML file after `change` was done to its document, line ends kept; InputError."""
    import tomlkit
    from tomlkit.exceptions import TOMLKitError

    read_toml(file, data)  # says in our words, with the line, what keeps it from being TOML
    try:
        document = tomlkit.parse(text_of(file, data))
        change(document)
        text = document.as_string()
    except TOMLKitError as error:
        raise InputError(Problem(f"cannot be changed here ({error})", "change it by hand", file)) from error
    newline = "\r\n" if b"\r\n" in data else "\n"
    return text.replace("\n", newline).encode()


def inside(document: Any, file: str, path: Sequence[str | int]) -> Any:
    """What holds the last key of `path` in a document; InputError where there is no such place."""
    holds = document
    for key in path[:-1]:
        try:
            holds = holds[key]
        except (KeyError, IndexError, TypeError):
            raise InputError(
                Problem(f"there is no '{_shown(path)}'", "add its table by hand", file)
            ) from None
    return holds


def _table(document: Any, file: str, path: Sequence[str | int]) -> Any:
    table = inside(document, file, path)
    if not path or not isinstance(path[-1], str) or not hasattr(table, "pop") or isinstance(table, list):
        raise InputError(Problem("only a key of a table can be changed", "name the key", file))
    return table


def _shown(path: Sequence[str | int]) -> str:
    return ".".join(str(part) for part in path)
