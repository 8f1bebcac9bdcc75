"""The line of every key, whatever form the TOML has."""

import tomllib
from collections.abc import Iterator
from typing import Any

import tomlkit
from hypothesis import given
from hypothesis import strategies as st

from wringout.dossier.lines import Path, line_numbers

EVERY_FORM = '''# a comment with = [brackets] and "quotes"
plain = 1
a.dotted.key = 2
"quoted.key" = """
several
lines with "" quotes \\""" and # no comment
"""
literal = \'\'\'
'' [not.a.table]
\'\'\'
list = [
    ["0 L", "1.02 m"],  # comment ]
    [{ inline = "x", more = [3,
        4] }],
]
day = 2026-05-12
time = 2026-05-12T09:30:00+01:00

[ spaced . table ]   # comment
key = 'a # b'
[[item]]
name = "first"
[item.inside]
deep = 5
[[item.nested]]
[[item.nested]]
x = 6
[[item]]
name = "second"
inside.dotted = 7
["quoted \\u0041"."b.c"]
last = { a = { b = 8 } }
'''


def _paths(data: Any, path: Path = ()) -> Iterator[tuple[Path, Any]]:
    if path:
        yield path, data
    if isinstance(data, dict):
        for key, value in data.items():
            yield from _paths(value, (*path, key))
    elif isinstance(data, list):
        for index, value in enumerate(data):
            yield from _paths(value, (*path, index))


def test_every_form_of_toml_has_its_lines() -> None:
    """Dotted and quoted keys, long texts, lists over lines, inline tables, tables and arrays of tables."""
    lines = line_numbers(EVERY_FORM)
    expected = {
        ("plain",): 2,
        ("a", "dotted", "key"): 3,
        ("quoted.key",): 4,
        ("literal",): 8,
        ("list",): 11,
        ("list", 0, 1): 12,
        ("list", 1, 0, "more", 0): 13,
        ("list", 1, 0, "more", 1): 14,
        ("time",): 17,
        ("spaced", "table"): 19,
        ("spaced", "table", "key"): 20,
        ("item", 0): 21,
        ("item", 0, "inside", "deep"): 24,
        ("item", 0, "nested", 0): 25,
        ("item", 0, "nested", 1, "x"): 27,
        ("item", 1): 28,
        ("item", 1, "inside", "dotted"): 30,
        ("quoted A", "b.c", "last", "a", "b"): 32,
    }
    assert {path: lines[path] for path in expected} == expected
    assert set(lines) == {path for path, _ in _paths(tomllib.loads(EVERY_FORM))}


KEYS = st.one_of(
    st.text("abc-_1", min_size=1, max_size=3),
    st.text(st.characters(codec="utf-8", exclude_categories=["Cs", "Cc"]), max_size=4),
)
LEAVES = st.one_of(
    st.integers(0, 10**9),
    st.text(max_size=8),
    st.just("two\nlines"),
    st.booleans(),
    st.floats(allow_nan=False, allow_infinity=False),
)
TREES = st.dictionaries(
    KEYS,
    st.recursive(
        LEAVES,
        lambda inner: st.one_of(st.lists(inner, max_size=3), st.dictionaries(KEYS, inner, max_size=3)),
        max_leaves=12,
    ),
    max_size=5,
)


@given(TREES)
def test_every_path_of_any_data_has_a_line_that_shows_its_key(data: dict[str, Any]) -> None:
    """Data written by another library: the scanner finds what tomllib finds, each on its line."""
    text = tomlkit.dumps(data)
    read = tomllib.loads(text)
    lines = line_numbers(text)
    rows = text.split("\n")
    paths = dict(_paths(read))
    assert set(lines) == set(paths)
    for path, value in paths.items():
        assert 1 <= lines[path] <= len(rows)
        key = path[-1]
        if isinstance(key, str) and key.isascii() and key.isalnum():
            assert key in rows[lines[path] - 1]
        if isinstance(value, int) and not isinstance(value, bool):
            assert str(value) in rows[lines[path] - 1]
