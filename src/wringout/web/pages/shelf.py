"""The shelf: which dossiers there are, how each stands, and a new one."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated, Literal

from fastapi import APIRouter, Form, Request
from fastapi.responses import HTMLResponse, RedirectResponse, Response

from wringout.dossier import create
from wringout.dossier.shelf import copy, dossiers, place
from wringout.problems import InputError, Problem
from wringout.web.access import Bench, Workbench
from wringout.web.jobs import Job
from wringout.web.rendering import page
from wringout.web.state import State

router = APIRouter(default_response_class=HTMLResponse)
Kind = Literal["template", "airplane", "everything", "demo"]


@router.get("/", response_class=HTMLResponse)
def shelf(request: Request, bench: Bench) -> Response:
    """The dossiers of the folder, and a form for a new one."""
    return _shelf(request, bench)


@router.get("/rows", response_class=HTMLResponse)
def rows(request: Request, bench: Bench) -> Response:
    """The list alone, asked for again while something in it is being worked on."""
    standing, making = _standing(bench)
    return page(request, "pieces/shelf_rows.html", standing=standing, making=making, jobs=bench.jobs)


@router.post("/new", response_class=HTMLResponse)
def new(
    request: Request,
    bench: Bench,
    kind: Annotated[Kind, Form()],
    name: Annotated[str, Form()] = "",
    source: Annotated[str, Form()] = "",
) -> Response:
    """Make a dossier: from the template, as a copy, or the invented demo."""
    try:
        root = _made(bench, kind, name.strip(), source)
    except InputError as error:
        typed = {"kind": kind, "name": name, "source": source}
        return _shelf(request, bench, problems=error.problems, typed=typed, status=422)
    return RedirectResponse("/" if kind == "demo" else f"/d/{root.name}/", status_code=303)


def _made(bench: Workbench, kind: Kind, name: str, source: str) -> Path:
    root = place(bench.shelf, name)
    if root.exists():
        raise InputError(Problem(f"'{name}' is there already", "choose another name", field="name"))
    if kind == "template":
        create(root)
    elif kind == "demo":
        bench.jobs.start(root, "demo")
    else:
        copy(bench.shelf, source, name, kind)
    return root


def _shelf(
    request: Request,
    bench: Workbench,
    *,
    problems: tuple[Problem, ...] = (),
    typed: dict[str, str] | None = None,
    status: int = 200,
) -> Response:
    standing, making = _standing(bench)
    return page(
        request,
        "pages/shelf.html",
        standing=standing,
        making=making,
        jobs=bench.jobs,
        folder=bench.shelf,
        problems=problems,
        typed=typed or {"kind": "template", "name": "", "source": ""},
        status=status,
    )


def _standing(bench: Workbench) -> tuple[tuple[State, ...], tuple[Job, ...]]:
    """The dossiers that are there, and the demos still being written."""
    making = tuple(job for job in bench.jobs.every() if job.task == "demo" and job.standing != "done")
    unfinished = {job.root for job in making if job.standing == "running"}
    roots = [bench.shelf / name for name in dossiers(bench.shelf)]
    return tuple(bench.states.of(root) for root in roots if root not in unfinished), making
