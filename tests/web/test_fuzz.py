"""Whatever is sent to whatever address of the workbench, the answer is in words and never a fault of ours."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
import schemathesis
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from starlette.testclient import TestClient

from tests.web.conftest import ORIGIN
from wringout.dossier import create
from wringout.web import jobs
from wringout.web.app import create_app

TRIES = 15  # requests an operation; more by hand: change it here
PATHS = [
    "",
    "station.0",
    '["title"]',
    '["units", "mass"]',
    '["station", 0]',
    '["station", -1, "arm"]',
    "[]",
    "{}",
    '["a", 1e9]',
]


@pytest.fixture(scope="module")
def fuzzed(tmp_path_factory: pytest.TempPathFactory) -> Iterator[TestClient]:
    """A browser before one folder for all that is sent; no work is really begun."""
    shelf: Path = tmp_path_factory.mktemp("fuzzed") / "shelf"
    create(shelf / "mine")
    patch = pytest.MonkeyPatch()

    def refuse(*_: object) -> None:
        raise OSError(11, "no process to spare")

    patch.setattr(jobs, "_spawn", refuse)
    client = TestClient(
        create_app(shelf),
        base_url=ORIGIN,
        headers={"origin": ORIGIN},
        raise_server_exceptions=False,
        follow_redirects=False,
    )
    with client:
        yield client
    patch.undo()


def operations() -> list[Any]:
    """Every address and method of the workbench, as its own description lists them."""
    schema = create_app(Path(__file__).parent).openapi()
    found: Any = schemathesis.openapi.from_dict(schema).get_all_operations()
    return [item.ok() for item in found]


@pytest.mark.parametrize("operation", operations(), ids=lambda item: f"{item.method} {item.path}")
def test_no_request_finds_a_fault(fuzzed: TestClient, operation: Any) -> None:
    """Names, queries and forms made up from the description, half of them for a dossier that is there."""

    @settings(
        max_examples=TRIES,
        deadline=None,
        database=None,
        derandomize=True,
        suppress_health_check=list(HealthCheck),
    )
    @given(case=operation.as_strategy(), real=st.booleans(), path=st.sampled_from(PATHS))
    def ask(case: Any, real: bool, path: str) -> None:
        if real and "name" in case.path_parameters:
            case.path_parameters["name"] = "mine"
        form = {key: str(value) for key, value in case.body.items()} if isinstance(case.body, dict) else None
        if real and form and "path" in form:
            form |= {"file": "airplane.toml", "path": path}
        query = {key: str(value) for key, value in case.query.items()}
        if real and "path" in query:
            query["path"] = path
        answer = fuzzed.request(case.method, case.formatted_path, params=query, data=form)
        assert answer.status_code not in {500, 501, 502, 503}, (case.formatted_path, form, answer.text)
        assert "Traceback" not in answer.text

    ask()
