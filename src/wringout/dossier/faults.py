"""A TOML file against its tables: the model, or every problem in words and with its line."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from difflib import get_close_matches
from typing import Any, TypeVar, get_args

from pydantic import BaseModel, ValidationError
from pydantic_core import ErrorDetails

from wringout.dossier.fields import Table, shown
from wringout.dossier.lines import Path
from wringout.dossier.toml import Document
from wringout.problems import Problem

File = TypeVar("File", bound=Table)


def read_tables(document: Document, kind: type[File]) -> tuple[File | None, tuple[Problem, ...]]:
    """The model of a file, or None and what is wrong with it, in the order of its lines."""
    try:
        return kind.model_validate(document.data), ()
    except ValidationError as error:
        details = error.errors(include_url=False)
        mistyped = {
            (*path[:-1], near)
            for path in (tuple(detail["loc"]) for detail in details if detail["type"] == "extra_forbidden")
            if (near := _nearest_key(path, kind)) is not None
        }
        problems = [
            document.problem(path, problem)
            for detail in details
            if not (detail["type"] == "missing" and tuple(detail["loc"]) in mistyped)
            for path, problem in _problems(detail, kind)
        ]
        return None, tuple(sorted(problems, key=lambda problem: problem.line or 0))


def _problems(detail: ErrorDetails, kind: type[Table]) -> Iterator[tuple[Path, Problem]]:
    path: Path = tuple(detail["loc"])
    context = detail.get("ctx", {})
    if detail["type"] == "problems":
        paths = context.get("paths") or [()] * len(context["problems"])
        for inner, problem in zip(paths, context["problems"], strict=True):
            yield path + inner, problem
    elif detail["type"] == "extra_forbidden":
        yield path, _unknown_key(path, kind)
    elif detail["type"] == "missing":
        yield path, _missing(path, detail["input"])
    else:
        yield path, _other(detail["type"], path, detail["input"], context)


def _missing(path: Path, around: Any) -> Problem:
    key = path[-1]
    if isinstance(key, int):
        return Problem(
            f"two values are expected, found {shown(around)}", "write both in one pair of brackets"
        )
    if len(path) == 1:
        return Problem(f"'{key}' is missing", "add it; the file that 'wringout new' makes explains each key")
    return Problem(f"'{key}' is missing", "add it to this table")


def _unknown_key(path: Path, kind: type[Table]) -> Problem:
    what = f"there is no key '{str(path[-1])[:60]}' here"
    near = _nearest_key(path, kind)
    if near is not None:
        return Problem(what, f"write '{near}' if that is meant")
    model = _model_at(kind, path[:-1])
    return Problem(what, f"use one of {', '.join(model.model_fields)}" if model else "remove it")


def _nearest_key(path: Path, kind: type[Table]) -> str | None:
    """The key that was probably meant by an unknown one."""
    model = _model_at(kind, path[:-1])
    key = str(path[-1]).lower().replace("-", "_").replace(" ", "_")
    near = get_close_matches(key, list(model.model_fields), n=1, cutoff=0.6) if model else []
    return near[0] if near else None


def _model_at(kind: type[BaseModel], path: Path) -> type[BaseModel] | None:
    """The table that stands at a path of the file."""
    annotation: Any = kind
    for key in path:
        annotation = _without_none(annotation)
        if _is_table(annotation) and isinstance(key, str):
            field = annotation.model_fields.get(key)
            annotation = None if field is None else field.annotation
        else:  # tuple[Table, ...] by index, dict[str, Table] by key
            arguments = get_args(annotation)
            annotation = arguments[0 if isinstance(key, int) else -1] if arguments else None
    annotation = _without_none(annotation)
    return annotation if _is_table(annotation) else None


def _is_table(annotation: Any) -> bool:
    return isinstance(annotation, type) and issubclass(annotation, BaseModel)


def _without_none(annotation: Any) -> Any:
    arguments = get_args(annotation)
    if type(None) not in arguments:
        return annotation
    return next(item for item in arguments if item is not type(None))


def _other(kind: str, path: Path, value: Any, context: Mapping[str, Any]) -> Problem:
    if kind == "literal_error":
        return _not_among(value, str(context["expected"]))
    if kind in ("model_type", "model_attributes_type", "dict_type"):
        return Problem(
            f"a table is expected, found {shown(value)}", f"write [{_header(path)}] and its keys below it"
        )
    if kind in ("tuple_type", "list_type"):
        if isinstance(value, dict):
            return Problem(
                "a list of tables is expected, found one table",
                f"write [[{_header(path)}]] with double brackets, once for each",
            )
        return Problem(f"a list is expected, found {shown(value)}", 'write it in brackets, like ["a", "b"]')
    if kind in ("too_long", "too_short"):
        return Problem(f"two values are expected, found {shown(value)}", "write both in one pair of brackets")
    return Problem(f"{shown(value)} cannot be used here", "see the file that 'wringout new' makes")


def _not_among(value: Any, expected: str) -> Problem:
    choices = [part for part in expected.replace(" or ", ", ").replace("'", "").split(", ") if part]
    what = f"{shown(value)} is not one of {expected}"
    near = (
        get_close_matches(str(value).casefold(), choices, n=1, cutoff=0.5) if isinstance(value, str) else []
    )
    return Problem(what, f'write "{near[0]}" if that is meant' if near else "write one of them, in quotes")


def _header(path: Path) -> str:
    return ".".join(str(key) for key in path if isinstance(key, str))
