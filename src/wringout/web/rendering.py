"""Templates and what every one of them may use."""

from __future__ import annotations

import re
from functools import cache
from pathlib import Path
from typing import Any
from urllib.parse import quote

from starlette.requests import Request
from starlette.responses import HTMLResponse
from starlette.templating import Jinja2Templates

from wringout.charts.figure import bound
from wringout.problems import Problem
from wringout.web.state import State

_FOLDER = Path(__file__).parent / "templates"


@cache
def templates() -> Jinja2Templates:
    """The templates, compiled as they are used; whatever a dossier says is escaped."""
    from jinja2 import Environment, FileSystemLoader, StrictUndefined

    environment = Environment(
        loader=FileSystemLoader(_FOLDER),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    environment.filters["address"] = lambda text: quote(str(text), safe="")
    environment.filters["bound"] = bound
    environment.filters["hook"] = lambda text: re.sub(r"[^A-Za-z0-9_]+", "-", str(text))  # part of an id
    environment.filters["sentence"] = sentence
    return Jinja2Templates(env=environment)


def page(request: Request, name: str, state: State | None = None, /, **said: Any) -> HTMLResponse:
    """A page, or a piece of one.

    Parameters
    ----------
    request : Request
        Who asks.
    name : str
        The template, such as 'pages/home.html'.
    state : State, optional
        The dossier, for the margin and the top of its pages.
    **said
        What the template says.
    """
    status = said.pop("status", 200)
    return templates().TemplateResponse(request, name, {"state": state, **said}, status_code=status)


def sentence(problem: Problem) -> str:
    """What is wrong and what mends it, without its place."""
    said = Problem(problem.what, problem.mend).sentence()
    return said[:1].upper() + said[1:]
