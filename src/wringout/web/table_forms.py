"""What a page's form of one table sends, and the words of the edit that it asks for."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from fastapi import Request

from wringout.dossier.editing import Content
from wringout.dossier.filled import FilledField, FilledTable
from wringout.dossier.lines import Path
from wringout.problems import InputError, Problem


async def typed_form(request: Request) -> tuple[Path, dict[str, str]]:
    """The table that a form is about, by its path, and what was typed; InputError as `path_of`."""
    async with request.form(max_fields=2000) as form:
        typed = {key: value for key, value in form.items() if isinstance(value, str)}
    return path_of(typed.get("path", "")), typed


def path_of(dotted: str) -> Path:
    """The path that a form names; empty for what stands before the first table."""
    parts = dotted.split(".") if dotted else []
    if len(parts) > 12 or not all(parts):
        raise InputError(Problem("the form does not say which table it is", "reload the page"))
    return tuple(int(part) if part.isdecimal() else part for part in parts)


def edit_words(table: FilledTable, values: Mapping[str, Content], *, new: bool) -> str:
    """What an edit does, for the button that takes it back."""
    if new:
        name = values.get("name")
        return f"new {table.form.key.replace('_', ' ')}{f' {name!r}' if name else ''}"
    key, value = next(iter(values.items()))
    old = next((field.text for field in table.fields if field.form.key == key), "")
    told = f"{key.replace('_', ' ')} {old or '–'} → {value if isinstance(value, str) else value or '–'}"
    return f"{called_by(table)}: {told if not isinstance(value, list) else key}"


def new_problems(file: str, known: Iterable[Problem], found: Iterable[Problem]) -> tuple[Problem, ...]:
    """What would be wrong with a file after an edit and is not wrong already."""
    before = {(problem.field, problem.what) for problem in known if problem.file == file}
    return tuple(problem for problem in found if (problem.field, problem.what) not in before)


def called_by(table: FilledTable) -> str:
    """A table by its kind and its own name."""
    kind = table.form.key.replace("_", " ")
    return f"{kind} '{table.name}'" if table.name else kind


def fields_of(table: FilledTable) -> list[FilledField]:
    """Every field of a table and of the tables in it."""
    inner = [field for tables in table.tables.values() for each in tables for field in fields_of(each)]
    return [*table.fields, *inner]


def inner_paths(table: FilledTable, rows: int) -> list[Path]:
    """The paths of a table's fields, and of the fields of new tables in it."""
    paths = [field.path for field in table.fields]
    for form in table.form.tables:
        for number in range(rows if form.many else 1):
            start = (*table.path, form.key, number) if form.many else (*table.path, form.key)
            paths += [(*start, field.key) for field in form.fields]
    return paths
