"""Long work on a dossier: begun, watched, stopped."""

from __future__ import annotations

from typing import Literal
from urllib.parse import unquote, urlsplit

from fastapi import APIRouter, Request
from fastapi.responses import HTMLResponse, Response

from wringout.web.access import Bench, Root, Workbench
from wringout.web.pages.home import stage_words
from wringout.web.rendering import page

router = APIRouter(default_response_class=HTMLResponse)
Task = Literal["evaluate", "report", "survey"]


@router.post("/d/{name}/work/{task}", response_class=HTMLResponse)
def start(request: Request, bench: Bench, name: str, root: Root, task: Task) -> Response:
    """Begin, and show how it goes."""
    known = bench.jobs.of(root)
    if known is None or known.standing != "running":
        bench.jobs.start(root, task)
    return _shown(request, bench, name, root)


@router.get("/d/{name}/work", response_class=HTMLResponse)
def standing(request: Request, bench: Bench, name: str, root: Root) -> Response:
    """How it goes."""
    return _shown(request, bench, name, root)


@router.post("/d/{name}/stop", response_class=HTMLResponse)
def stop(request: Request, bench: Bench, name: str, root: Root) -> Response:
    """Stop it; what is finished is kept."""
    bench.jobs.stop(root)
    return _shown(request, bench, name, root)


def _shown(request: Request, bench: Workbench, name: str, root: Root) -> Response:
    job = bench.jobs.of(root)
    answer = page(request, "pieces/work.html", name=name, job=job, words=stage_words, asked=True)
    if job is not None and job.standing == "done" and _elsewhere(request, name):
        answer.headers["HX-Refresh"] = "true"  # the page that waited for it is drawn anew, its margin too
    return answer


def _elsewhere(request: Request, name: str) -> bool:
    """Whether another page than the dossier's first one asks."""
    asked_from = unquote(urlsplit(request.headers.get("hx-current-url", "")).path)
    return asked_from.startswith(f"/d/{name}/") and asked_from != f"/d/{name}/"
