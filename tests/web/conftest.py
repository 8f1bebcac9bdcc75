"""A workbench over a folder of dossiers, asked without a network."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from threading import Thread
from time import monotonic, sleep
from typing import TYPE_CHECKING

import pytest
from starlette.testclient import TestClient

from wringout.dossier import create
from wringout.web.app import create_app

if TYPE_CHECKING:
    from playwright.sync_api import Browser

    from wringout.evaluation import Evaluation

ORIGIN = "http://127.0.0.1"


@pytest.fixture
def shelf(tmp_path: Path) -> Path:
    """A folder with one new dossier, and beside the folder something that is none of its business."""
    create(tmp_path / "shelf" / "mine")
    create(tmp_path / "secret")
    return tmp_path / "shelf"


@pytest.fixture
def browser(shelf: Path) -> Iterator[TestClient]:
    """A browser on this machine, on a page of the workbench."""
    with TestClient(
        create_app(shelf),
        base_url=ORIGIN,
        headers={"origin": ORIGIN},
        raise_server_exceptions=False,
        follow_redirects=False,
    ) as client:
        yield client


@contextmanager
def _serving(shelf: Path) -> Iterator[str]:
    """A workbench behind a free port, in this process."""
    import uvicorn

    server = uvicorn.Server(uvicorn.Config(create_app(shelf), port=0, log_level="error"))
    thread = Thread(target=server.run, daemon=True)
    thread.start()
    end = monotonic() + 60
    while not server.started and monotonic() < end:
        sleep(0.02)
    port = server.servers[0].sockets[0].getsockname()[1]
    yield f"http://127.0.0.1:{port}"
    server.should_exit = True
    thread.join(30)


@pytest.fixture(scope="module")
def served(tmp_path_factory: pytest.TempPathFactory) -> Iterator[str]:
    """A workbench over one new dossier."""
    shelf = tmp_path_factory.mktemp("shelf")
    create(shelf / "mine")
    with _serving(shelf) as address:
        yield address


@pytest.fixture(scope="module")
def served_demo(demo: Evaluation) -> Iterator[str]:
    """A workbench over the evaluated demo, which no test may change."""
    with _serving(demo.dossier.root.parent) as address:
        yield address


@pytest.fixture(scope="module")
def evaluated(demo: Evaluation) -> Iterator[TestClient]:
    """A browser on a workbench over the evaluated demo, which no test may change."""
    with TestClient(
        create_app(demo.dossier.root.parent),
        base_url=ORIGIN,
        headers={"origin": ORIGIN},
        follow_redirects=False,
    ) as client:
        yield client


@pytest.fixture(scope="module")
def copied_demo(tmp_path_factory: pytest.TempPathFactory, demo: Evaluation) -> Iterator[str]:
    """A workbench over a copy of the evaluated demo, which a module's tests may change and change back."""
    folder = tmp_path_factory.mktemp("copied")
    shutil.copytree(demo.dossier.root, folder / "demo")
    with _serving(folder) as address:
        yield f"{address}/"


@pytest.fixture(scope="module")
def chromium() -> Iterator[Browser]:
    """One browser for the whole module."""
    from playwright.sync_api import sync_playwright

    from tests.web.test_browser import CHROMIUM, SWITCHES

    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=CHROMIUM, args=SWITCHES)
        yield browser
        browser.close()
