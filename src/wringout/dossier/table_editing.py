"""Change several values of one table at once, or make it, and leave all else as the person wrote it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from wringout.dossier.editing import Content, changed, inside, value_at
from wringout.problems import InputError, Problem


def with_table(
    file: str,
    data: bytes,
    path: Sequence[str | int],
    values: Mapping[str, Content],
    *,
    without: Sequence[str] = (),
) -> bytes:
    """The bytes of a TOML file with several values of one table set, added or (None) taken away.

    Parameters
    ----------
    file : str
    data : bytes
    path : sequence of str and int
        The table; one that is missing is made, an item just past the end of its list too. Empty for the
        values that stand before the first table.
    values : mapping
        By key. A list of pairs is changed pair by pair, so that the comments beside them stay.
    without : sequence of str
        Tables of the file that are taken away in the same step.

    Raises
    ------
    InputError
        The file is not TOML, or has no place for the table.
    """

    def change(document: Any) -> None:
        for key in without:
            document.pop(key, None)
        if path and isinstance(path[-1], int) and _is_new(document, file, path):
            _append_table(inside(document, file, path[:-1]), file, path[-2], values)
            return
        if path and isinstance(path[-1], str) and path[-1] not in inside(document, file, path):
            _add_key(inside(document, file, path), path[-1], _made(values))
            return
        table = inside(document, file, (*path, "")) if path else document
        if not isinstance(table, Mapping):
            raise InputError(Problem("only the keys of a table can be changed", "reload the page", file))
        for key, value in values.items():
            _set(table, key, value)

    return changed(file, data, change)


def without_table(file: str, data: bytes, path: Sequence[str | int]) -> bytes:
    """The bytes of a TOML file without the table at `path`, an item of a list or a table by its key.

    Raises InputError where the file is not TOML, or has no such table.
    """
    if not path or value_at(file, data, path) is None:
        raise InputError(Problem("the table is not there any more", "reload the page", file))

    def change(document: Any) -> None:
        around = inside(document, file, path)
        del around[path[-1]]
        if isinstance(path[-1], int) and not around:
            inside(document, file, path[:-1]).pop(path[-2])

    return changed(file, data, change)


def _is_new(document: Any, file: str, path: Sequence[str | int]) -> bool:
    """Whether the path names the place just past the end of a list, or of one that is yet to be made."""
    around = inside(document, file, path[:-1])
    items = around.get(path[-2]) if isinstance(around, Mapping) else None
    count = len(items) if isinstance(items, list) else 0
    if not isinstance(path[-1], int) or not 0 <= path[-1] <= count:
        raise InputError(Problem("the row is not there any more", "reload the page", file))
    return path[-1] == count


def _append_table(around: Any, file: str, key: Any, values: Mapping[str, Content]) -> None:
    import tomlkit
    from tomlkit.items import AoT, Array

    if key not in around:
        items = tomlkit.aot()
        items.append(_made(values))
        _add_key(around, key, items)
        return
    items = around[key]
    if isinstance(items, AoT):
        made = _made(values)
        made.trivia.indent = "\n"  # an empty line above it
        after = _taken_from_end(_last_of(items[-1])) if items else []
        for trivia in after:
            _last_of(made).add(trivia)
        items.append(made)
    elif isinstance(items, Array):
        line = tomlkit.inline_table()
        line.update({name: value for name, value in values.items() if value is not None})
        _append(items, line)
    else:
        raise InputError(Problem(f"'{key}' is no list of tables", "change it by hand", file))


def _made(values: Mapping[str, Content]) -> Any:
    """A new table, plain keys before the tables in it."""
    import tomlkit

    made = tomlkit.table()
    inner = {key: value for key, value in values.items() if isinstance(value, Mapping) or _is_tables(value)}
    for key, value in values.items():
        if value is not None and key not in inner:
            made[key] = value
    for key, content in inner.items():
        if isinstance(content, Mapping):
            made[key] = _made(content)
        elif isinstance(content, Sequence):
            items = tomlkit.aot()
            for item in content:
                if isinstance(item, Mapping):
                    items.append(_made(item))
            made[key] = items
    return made


def _last_of(table: Any) -> Any:
    """The table that stands last within a new table, or itself."""
    for held in reversed(list(table.values())):
        if isinstance(held, Mapping):
            return _last_of(held)
        if _is_tables(held):
            return _last_of(held[-1])
    return table


def _taken_from_end(table: Any) -> list[Any]:
    """The empty lines and comments that stand after a table's last key, which belong to what follows it."""
    body = getattr(table.value, "body", [])
    keyless = 0
    while keyless < len(body) and body[-1 - keyless][0] is None:
        keyless += 1
    tail = [item for _, item in body[len(body) - keyless :]]
    while tail and tail[0].as_string().strip():  # a comment right below the last key stays with it
        tail.pop(0)
    del body[len(body) - len(tail) :]
    return tail


def _set(table: Any, key: str, value: Content) -> None:
    if value is None:
        table.pop(key, None)
    elif _is_pairs(value) and _is_pairs(table.get(key)):
        _set_pairs(table[key], value)
    elif isinstance(value, str) and "\n" in value:
        _set_lines(table, key, value)
    elif key in table:
        table[key] = value
    else:
        import tomlkit

        _add_key(table, key, tomlkit.item(value))


def _set_lines(table: Any, key: str, text: str) -> None:
    """Several lines stand as such in the file, each on one of its own."""
    import tomlkit

    item = tomlkit.string(f"\n{text}\n", multiline=True)
    if key in table:
        table[key] = item
    else:
        _add_key(table, key, item)


def _add_key(table: Any, key: str, item: Any) -> None:
    """Add a key after the last plain one, before the blank line and the tables that follow it."""
    plain = [name for name, held in table.items() if not isinstance(held, Mapping) and not _is_tables(held)]
    container = getattr(table, "value", table)
    if isinstance(item, Mapping) or _is_tables(item) or not plain or not hasattr(container, "_insert_after"):
        table[key] = item
        return
    container._insert_after(plain[-1], key, item)
    if container is not table:
        dict.__setitem__(table, key, container[key])


def _append(items: Any, item: Any) -> None:
    """Add to a list, on a line of its own where its items have one."""
    if items.as_string().count("\n") > len(items) - 1 > 0:
        items.add_line(item, indent="  ")
    else:
        items.append(item)


def _set_pairs(pairs: Any, wanted: Any) -> None:
    for row, new in zip(pairs, wanted, strict=False):
        for place, value in enumerate(new):
            if row[place] != value:
                row[place] = value
    while len(pairs) > len(wanted):
        del pairs[len(pairs) - 1]
    for new in wanted[len(pairs) :]:
        _append(pairs, list(new))


def _is_pairs(value: Any) -> bool:
    return isinstance(value, list) and bool(value) and all(isinstance(row, list) for row in value)


def _is_tables(value: Any) -> bool:
    return isinstance(value, list | tuple) and bool(value) and all(isinstance(row, Mapping) for row in value)
