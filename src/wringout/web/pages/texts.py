"""The files as they are: the text of each, for what no field reaches and for what does not read."""

from __future__ import annotations

from typing import Annotated

from fastapi import APIRouter, Form, Request
from fastapi.responses import HTMLResponse, RedirectResponse, Response

from wringout.dossier.files import read_file
from wringout.dossier.history import StaleError, edit_text, steps
from wringout.dossier.shelf import text_files
from wringout.dossier.toml import LARGEST_TEXT
from wringout.problems import InputError, Problem
from wringout.web.access import Standing
from wringout.web.refusals import MissingError
from wringout.web.rendering import page
from wringout.web.state import State

router = APIRouter(default_response_class=HTMLResponse)


@router.get("/d/{name}/text/{file:path}", response_class=HTMLResponse)
def text(request: Request, state: Standing, file: str, line: int = 0) -> Response:
    """A file's text, at a line."""
    shown = read_file(state.root, _own(state, file), LARGEST_TEXT).decode("utf-8", "replace")
    return _page(request, state, file, shown, steps(state.root, file).version, line=line)


@router.post("/d/{name}/text/{file:path}", response_class=HTMLResponse)
def save(
    request: Request,
    state: Standing,
    file: str,
    version: Annotated[str, Form()],
    text: Annotated[str, Form()] = "",
) -> Response:
    """Put a whole text in the place of the old one; a text made on another version is kept in the field."""
    plain, file = text.replace("\r\n", "\n"), _own(state, file)
    try:
        edit_text(state.root, file, version, plain)
    except StaleError as error:
        return _page(request, state, file, plain, error.version, problems=error.problems, status=409)
    except InputError as error:
        return _page(request, state, file, plain, version, problems=error.problems, status=422)
    return RedirectResponse(request.url.path, status_code=303)


def _own(state: State, file: str) -> str:
    if file not in text_files(state.root):
        raise MissingError(Problem(f"the dossier has no text file '{file[:80]}'", "choose one of its files"))
    return file


def _page(
    request: Request,
    state: State,
    file: str,
    text: str,
    version: str,
    *,
    line: int = 0,
    problems: tuple[Problem, ...] = (),
    status: int = 200,
) -> Response:
    return page(
        request,
        "pages/text.html",
        state,
        file=file,
        text=text,
        version=version,
        steps=steps(state.root, file),
        line=line,
        refused=problems,
        status=status,
    )
