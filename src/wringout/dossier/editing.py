"""Change one value of a file and leave all else, comments and order too, as the person wrote it."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, datetime
from pathlib import Path
from typing import Any

from wringout.dossier.files import read_file, write_file
from wringout.dossier.toml import LARGEST_TEXT, read_toml, text_of
from wringout.problems import InputError, Problem

Value = str | int | float | bool | date | datetime


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
    value : str, int, float, bool, date, datetime or None
        As it is to stand in the file, a quantity as text with its unit; None takes the key away.

    Raises
    ------
    InputError
        The file cannot be read or written, or has no such table; it is then as it was.
    """
    import tomlkit
    from tomlkit.exceptions import TOMLKitError

    data = read_file(root, file, LARGEST_TEXT)
    read_toml(file, data)  # says in our words, with the line, what keeps it from being TOML
    try:
        document = tomlkit.parse(text_of(file, data))
        table = _table(document, file, path)
        if value is None:
            table.pop(path[-1], None)
        else:
            table[path[-1]] = value
        text = document.as_string()
    except TOMLKitError as error:
        raise InputError(Problem(f"cannot be changed here ({error})", "change it by hand", file)) from error
    newline = "\r\n" if b"\r\n" in data else "\n"
    write_file(root, file, text.replace("\n", newline).encode())


def _table(document: Any, file: str, path: Sequence[str | int]) -> Any:
    inside = document
    for key in path[:-1]:
        try:
            inside = inside[key]
        except (KeyError, IndexError, TypeError):
            shown = ".".join(str(part) for part in path)
            raise InputError(Problem(f"there is no '{shown}'", "add its table by hand", file)) from None
    if not path or not isinstance(path[-1], str) or not hasattr(inside, "pop") or isinstance(inside, list):
        raise InputError(Problem("only a key of a table can be changed", "name the key", file))
    return inside
