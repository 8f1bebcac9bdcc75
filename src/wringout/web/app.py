"""The workbench as one application over a folder of dossiers."""

from __future__ import annotations

from collections.abc import AsyncIterator, Iterable
from contextlib import asynccontextmanager
from pathlib import Path
from threading import Thread

from fastapi import FastAPI

from wringout.dossier.files import sweep
from wringout.dossier.shelf import dossiers
from wringout.web import refusals
from wringout.web.access import Workbench
from wringout.web.guard import LARGEST_BODY, Guard
from wringout.web.jobs import Jobs
from wringout.web.pages import ROUTERS, built_parts
from wringout.web.rendering import templates
from wringout.web.state import States


def create_app(shelf_folder: Path, *, token: str | None = None, hosts: Iterable[str] = ()) -> FastAPI:
    """The workbench.

    Parameters
    ----------
    shelf_folder : Path
        The folder whose dossiers are shown; nothing outside it is read or written.
    token : str, optional
        What a visitor must show first; without it only this machine's own names are answered.
    hosts : iterable of str, optional
        Further host names to answer to.

    Raises
    ------
    InputError
        The folder is missing or cannot be opened.
    """
    shelf = Path(shelf_folder).resolve()
    for name in dossiers(shelf):
        sweep(shelf / name)
    jobs = Jobs()

    @asynccontextmanager
    async def life(_: FastAPI) -> AsyncIterator[None]:
        Thread(target=_warm, daemon=True).start()
        yield
        jobs.close()

    app = FastAPI(
        title="wringout workbench",
        lifespan=life,
        docs_url=None,
        redoc_url=None,
        openapi_url=None,
        form_limits={"max_part_size": LARGEST_BODY},
    )
    app.state.workbench = Workbench(shelf, jobs, States())
    templates().env.globals["built_parts"] = built_parts()
    for router in ROUTERS:
        app.include_router(router)
    refusals.install(app)
    app.add_middleware(Guard, token=token, hosts=tuple(hosts))
    return app


def _warm() -> None:
    """Ready what the first page with a chart would otherwise wait for."""
    from wringout.web.charts import library

    library()
