"""Edits of one value, and the steps back and forth; every page's fields come here."""

from __future__ import annotations

import json
import re
from datetime import date
from pathlib import Path
from typing import Annotated, Literal

from fastapi import APIRouter, Form, Request
from fastapi.responses import HTMLResponse, Response
from pydantic import BaseModel

from wringout.dossier.editing import Value, value_at
from wringout.dossier.files import read_file
from wringout.dossier.history import StaleError, edit_value, redo, steps, undo
from wringout.dossier.toml import LARGEST_TEXT
from wringout.problems import InputError, Problem
from wringout.web.access import Root
from wringout.web.rendering import page

router = APIRouter(default_response_class=HTMLResponse)
Kind = Literal["text", "quantity", "number", "flag", "day"]
_BARE = re.compile(r"[+\-−]?[0-9][0-9.,]*(?:\s*(?:±|\+/-)\s*[0-9.,]+)?")


class Field(BaseModel):
    """What a field of a page sends: which value of which version of a file, and what was typed."""

    file: str
    version: str
    path: str  # a list of keys and indices, as JSON
    value: str = ""
    kind: Kind = "text"
    unit: str = ""


@router.post("/d/{name}/edit", response_class=HTMLResponse)
def edit(
    request: Request,
    name: str,
    root: Root,
    sent: Annotated[Field, Form()],
) -> Response:
    """Put one value into a file; what the field then says, and the steps back."""
    file, keys = sent.file, _keys(sent.path)
    try:
        edit_value(root, file, sent.version, keys, typed(sent.value, sent.kind, sent.unit))
    except StaleError as error:
        now = value_at(file, read_file(root, file, LARGEST_TEXT), keys)
        return _said(request, name, root, file, error.problems, now=now, status=409)
    except InputError as error:
        return _said(request, name, root, file, error.problems, status=422)
    answer = _said(request, name, root, file, ())
    answer.headers["HX-Trigger"] = "edited"
    return answer


@router.post("/d/{name}/undo", response_class=HTMLResponse)
def take_back(root: Root, file: Annotated[str, Form()], version: Annotated[str, Form()]) -> Response:
    """Take back the last edit of a file; the page is then drawn anew."""
    undo(root, file, version)
    return Response(status_code=204, headers={"HX-Refresh": "true"})


@router.post("/d/{name}/redo", response_class=HTMLResponse)
def do_again(root: Root, file: Annotated[str, Form()], version: Annotated[str, Form()]) -> Response:
    """Do again what was taken back; the page is then drawn anew."""
    redo(root, file, version)
    return Response(status_code=204, headers={"HX-Refresh": "true"})


def typed(text: str, kind: Kind, unit: str = "") -> Value | None:
    """What a person typed → what stands in the file; None for nothing.

    A quantity keeps the unit that was typed; a bare number takes that of the field.

    Raises
    ------
    InputError
        A number, a day or a choice was expected and something else typed.

    Examples
    --------
    >>> typed("95 lb", "quantity", "kg"), typed("95", "quantity", "kg"), typed("2,5 ± 0,1", "quantity", "kg")
    ('95 lb', '95 kg', '2.5 ± 0.1 kg')
    """
    text = text.strip()
    if not text:
        return None
    if kind == "quantity":
        bare = _BARE.fullmatch(text)
        return f"{text.replace(',', '.')} {unit}".strip() if bare else text
    if kind == "flag":
        return text in {"true", "on", "yes"}
    if kind == "number":
        return _number(text)
    if kind == "day":
        try:
            return date.fromisoformat(text)
        except ValueError:
            raise InputError(Problem(f"'{text[:40]}' is no day", "write it like 2026-05-12")) from None
    return text


def _number(text: str) -> int | float:
    try:
        value = float(text.replace(",", ".").replace("−", "-"))
    except ValueError:
        raise InputError(Problem(f"'{text[:40]}' is no number", "write it like 2 or 0.85")) from None
    return int(value) if value.is_integer() and "." not in text else value


def _keys(path: str) -> tuple[str | int, ...]:
    try:
        keys = json.loads(path)
    except (ValueError, RecursionError):
        keys = None
    plain = isinstance(keys, list) and all(isinstance(key, str | int) for key in keys)
    if not plain or not keys or len(keys) > 12:
        raise InputError(Problem("the field does not say which value it is", "reload the page"))
    return tuple(keys)


def _said(
    request: Request,
    name: str,
    root: Path,
    file: str,
    problems: tuple[Problem, ...],
    *,
    now: object = None,
    status: int = 200,
) -> Response:
    return page(
        request,
        "pieces/edited.html",
        name=name,
        file=file,
        steps=steps(root, file),
        problems=problems,
        now=now,
        status=status,
    )
