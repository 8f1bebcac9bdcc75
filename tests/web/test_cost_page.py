"""The pages of cost and comparison: asked by typing, kept in the file, and by hand in a browser."""

from __future__ import annotations

import re
import shutil
from collections.abc import Iterator
from html import unescape
from pathlib import Path
from statistics import median
from time import process_time
from typing import TYPE_CHECKING

import pytest
from starlette.testclient import TestClient

from tests.web.conftest import ORIGIN
from tests.web.test_browser import CHROMIUM, LARGE, SOON, TABLET, Watched
from wringout.dossier.history import version_of
from wringout.evaluation import Evaluation
from wringout.evaluation.cost_words import hour_sentence
from wringout.evaluation.gains import sentences
from wringout.web.app import create_app

if TYPE_CHECKING:
    from playwright.sync_api import Browser

PAGE = "/d/demo/cost"
AT_ONCE = 0.15  # s of the processor, the median answer: two configurations by a thousand draws


def _plain(html: str) -> str:
    text = unescape(re.sub(r"<[^>]+>", " ", html))
    return " ".join(text.replace("\u00a0", " ").split())


@pytest.fixture
def copied(demo: Evaluation, tmp_path: Path) -> Iterator[TestClient]:
    """A workbench over a copy of the evaluated demo, which a test may change."""
    shutil.copytree(demo.dossier.root, tmp_path / "shelf" / "demo")
    with TestClient(create_app(tmp_path / "shelf"), base_url=ORIGIN, headers={"origin": ORIGIN}) as client:
        yield client


def test_the_page_says_what_an_hour_costs(evaluated: TestClient, demo: Evaluation) -> None:
    """The sentence first; each assumption in its field with its unit and its source; the caution."""
    assert demo.costing is not None
    words = evaluated.get(PAGE).text
    assert _plain(hour_sentence(demo.costing.configurations[0])) in _plain(words)
    assert 'name="fixed.1.amount" value="7 600 EUR/year ± 900 EUR/year"' in words
    assert "two brokers’ offers" in words or "two brokers&#39; offers" in words
    assert "A sum of assumptions, not an offer" in words
    assert words.count("<svg") >= 2


def test_the_answer_follows_what_is_typed_and_nothing_is_written(
    evaluated: TestClient, demo: Evaluation
) -> None:
    """Twice the hours, without their unit: the fixed cost halves; the file stays."""
    before = (demo.dossier.root / "costs.toml").read_bytes()
    words = _plain(evaluated.get(f"{PAGE}/ask", params={"hours_per_year": "360", "version": "x"}).text)
    assert "at 360 h a year" in words
    assert "fixed: hangar, insurance and the like 48.3" in words
    assert (demo.dossier.root / "costs.toml").read_bytes() == before


def test_another_configuration_stands_first(evaluated: TestClient) -> None:
    """The sentence is about the one that is chosen."""
    words = _plain(evaluated.get(f"{PAGE}/ask", params={"configuration": "nose wheel"}).text)
    assert words.startswith("An hour with the nose wheel costs")


def test_what_is_not_understood_is_told_at_its_field(evaluated: TestClient) -> None:
    """The answer stays; the fault stands under the field; what is typed is shown as text."""
    answer = evaluated.get(f"{PAGE}/ask", params={"loan.rate": "<b>dear"})
    assert answer.headers["HX-Reswap"] == "none"
    assert 'id="says-loan-rate"' in answer.text
    assert 'class="fault"' in answer.text
    assert "<b>dear" not in answer.text
    assert 'id="found"' not in answer.text
    assert evaluated.get(f"{PAGE}/ask", params={"nothing": "1"}).status_code >= 400


def test_what_is_typed_is_kept_and_can_be_taken_back(copied: TestClient, tmp_path: Path) -> None:
    """With its comment and its source left as they were; flights are not computed anew."""
    root = tmp_path / "shelf" / "demo"
    sent = {"version": version_of(root, "costs.toml"), "hours_per_year": "200 h ± 30 h", "price": ""}
    answer = copied.post(f"{PAGE}/keep", data=sent)
    assert answer.headers["HX-Refresh"] == "true"
    text = (root / "costs.toml").read_text(encoding="utf-8")
    assert 'hours_per_year = "200 h ± 30 h"' in text
    assert 'price = "342 000 EUR ± 5 000 EUR"' in text
    page = copied.get(PAGE).text
    assert "at 200 h a year" in _plain(page)
    assert "hours flown in a year" in page
    assert "Take back" in page
    refused = copied.post(f"{PAGE}/keep", data={**sent, "loan.rate": "500 %"})
    assert refused.status_code == 422
    assert "no such interest" in refused.text.lower()


def test_a_dossier_without_costs_begins_with_the_example(copied: TestClient, tmp_path: Path) -> None:
    """The page says what is lacking and makes the file, which passes the check."""
    (tmp_path / "shelf" / "demo" / "costs.toml").unlink()
    assert "Nothing is said of what the airplane costs" in copied.get(PAGE).text
    assert copied.post(f"{PAGE}/new").headers["HX-Refresh"] == "true"
    assert (tmp_path / "shelf" / "demo" / "costs.toml").is_file()


def test_the_answer_comes_at_once(evaluated: TestClient) -> None:
    """Of the processor's time, the median of several letters typed."""
    evaluated.get(PAGE)
    times = []
    for hours in range(200, 214):
        start = process_time()
        assert evaluated.get(f"{PAGE}/ask", params={"hours_per_year": str(hours)}).status_code == 200
        times.append(process_time() - start)
    assert median(times) < AT_ONCE


def test_configurations_stand_side_by_side(evaluated: TestClient, demo: Evaluation) -> None:
    """What is gained and given up first, then the figure with its numbers, the tables, the caution."""
    assert demo.comparison is not None
    words = _plain(evaluated.get("/d/demo/compare").text)
    assert _plain(sentences(demo.comparison)[0]) in words
    for part in ("What each gains and gives up", "The missions of this dossier", "clinic day at High Rannel"):
        assert part in words
    assert "Each airplane as its own flights taught it" in words


def test_too_few_and_unknown_are_said(evaluated: TestClient) -> None:
    """One configuration alone, and names that are none."""
    alone = _plain(evaluated.get("/d/demo/compare", params={"configuration": "tail wheel"}).text)
    assert "Choose two or more" in alone
    assert evaluated.get("/d/demo/compare", params={"beside": "../secret"}).status_code >= 400
    assert evaluated.get("/d/demo/compare", params={"configuration": "floats"}).status_code >= 400


@pytest.mark.skipif(CHROMIUM is None, reason="no chromium on this machine: apt install chromium")
@pytest.mark.parametrize(("size", "scheme"), [(LARGE, "light"), (TABLET, "dark")])
def test_by_hand(chromium: Browser, served_demo: str, size: tuple[int, int], scheme: str) -> None:
    """Typing moves the sentence, a fault stands at its field, nothing overflows, and axe is content."""
    watched = Watched(chromium, size, scheme)
    page = watched.page
    page.set_default_timeout(SOON)
    page.goto(f"{served_demo}{PAGE}")
    field = page.locator('input[name="hours_per_year"]')
    field.fill("300 h")
    page.locator("#answer", has_text=re.compile(r"at\s300\sh\sa year")).wait_for()
    field.fill("dear")
    page.locator("#says-hours_per_year .fault").wait_for()
    assert "300" in page.inner_text("#answer")
    assert watched.faults() == []
    assert watched.overflow() <= 0
    page.goto(f"{served_demo}/d/demo/compare")
    page.locator("#chart-trade-off svg").first.wait_for(state="attached")
    assert watched.faults() == []
    assert watched.overflow() <= 0
    assert watched.said == []
    watched.context.close()
