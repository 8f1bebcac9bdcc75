"""The options' page: an answer, a figure and tables for a build that can be; else every reason."""

from __future__ import annotations

import io
import shutil
from collections.abc import Iterator
from pathlib import Path

import pypdf
import pytest
from starlette.testclient import TestClient

from tests.web.conftest import ORIGIN
from wringout.evaluation import Evaluation
from wringout.web.app import create_app

PAGE = "/d/demo/options"


@pytest.fixture(scope="module")
def demo_page(demo: Evaluation, tmp_path_factory: pytest.TempPathFactory) -> Iterator[TestClient]:
    """A browser over a copy of the evaluated demo."""
    shelf = tmp_path_factory.mktemp("shelf")
    shutil.copytree(demo.dossier.root, shelf / "demo")
    with TestClient(
        create_app(shelf), base_url=ORIGIN, headers={"origin": ORIGIN}, raise_server_exceptions=False
    ) as client:
        yield client


def test_the_airplane_as_weighed_stands_first(demo_page: TestClient) -> None:
    """Sentence, choice with what was fitted checked, tables of gears and options, caution."""
    answer = demo_page.get(PAGE)
    assert answer.status_code == 200
    text = " ".join(answer.text.split())
    assert "<h1>Tail wheel with survival rack: empty" in text
    assert 'value="survival rack" checked' in text
    assert 'value="belly pod">' in text
    assert "A licensed mechanic makes the change" in text
    assert "nose-wheel kit, 9" in text


def test_a_build_is_compared_with_the_one_before(demo_page: TestClient) -> None:
    """Before and after, items off and on, the figure, the printed page; 6.9 kg by the demo's papers."""
    answer = demo_page.get(f"{PAGE}/found", params={"after": "nose wheel"})
    text = " ".join(answer.text.split())
    assert "empty 6.9 kg heavier" in text
    assert "castering nose leg, 6.00-6 tyre" in text
    assert "chart-exchange" in text
    assert "exchange.pdf?before=tail%20wheel&amp;after=nose%20wheel" in text
    assert "not a weight-and-balance record" in text


def test_an_impossible_build_tells_every_reason_at_its_option(demo_page: TestClient) -> None:
    """Two reasons, each under the option that it is about, and no table that would be of nothing."""
    asked = {"after": "nose wheel", "chosen": "true", "option": ["injected engine", "powered cooler mount"]}
    text = " ".join(demo_page.get(f"{PAGE}/found", params=asked).text.split())
    assert "There is no such build, for 2 reasons." in text
    for name, reason in (
        ("injected engine", "exclude each other"),
        ("powered cooler mount", "second battery"),
    ):
        entry = text.split(f'value="{name}" checked', 1)[1].split("</li>", 1)[0]
        assert 'class="fault"' in entry
        assert reason in entry
    assert "Before and after" not in text
    refused = demo_page.get(f"{PAGE}/exchange.pdf", params=asked)
    assert refused.status_code in {400, 422}


def test_missions_and_claims_that_change_are_fetched(demo_page: TestClient) -> None:
    """The same as the evaluation says of the same exchange."""
    text = demo_page.get(f"{PAGE}/changes", params={"after": "nose wheel"}).text
    assert "It changes" in text
    assert "clinic day at High Rannel" in text
    assert "0.9285714" not in text


def test_the_page_to_print_is_one_page(demo_page: TestClient) -> None:
    """As PDF, on both papers; another paper is refused."""
    for paper in ("a4", "us-letter"):
        answer = demo_page.get(f"{PAGE}/exchange.pdf", params={"after": "nose wheel", "paper": paper})
        assert answer.headers["content-type"] == "application/pdf"
        assert len(pypdf.PdfReader(io.BytesIO(answer.content)).pages) == 1
    assert demo_page.get(f"{PAGE}/exchange.pdf", params={"paper": "a3"}).status_code >= 400


@pytest.mark.parametrize("asked", [{"after": "floats <b>"}, {"chosen": "true", "option": "anvil <b>"}])
def test_a_name_of_nothing_is_refused_in_words(demo_page: TestClient, asked: dict[str, str]) -> None:
    """Escaped, and never a fault of the server."""
    answer = demo_page.get(PAGE, params=asked)
    assert 400 <= answer.status_code < 500
    assert "<b>" not in answer.text.split("<main", 1)[1]


def test_a_new_dossier_has_builds_and_no_fit(browser: TestClient, shelf: Path) -> None:
    """What an exchange weighs is known before anything is flown; what it changes is not."""
    text = browser.get("/d/mine/options?after=nose%20wheel").text
    assert "8.5\u00a0kg heavier" in text
    assert "evaluated" in browser.get("/d/mine/options/changes?after=nose%20wheel").text
    assert shelf.exists()
