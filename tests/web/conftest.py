"""A workbench over a folder of dossiers, asked without a network."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.web.client import TestClient
from wringout.dossier import create
from wringout.web.app import create_app

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
