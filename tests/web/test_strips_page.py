"""The Strips page: the sentence first, the year, all strips, what is typed, and the survey of a table."""

from __future__ import annotations

import re
import shutil
from collections.abc import Iterator
from html import unescape
from pathlib import Path
from time import monotonic, sleep
from typing import TYPE_CHECKING
from urllib.parse import quote

import pytest
from starlette.testclient import TestClient

from tests.web.conftest import ORIGIN
from tests.web.test_browser import CHROMIUM, LARGE, SOON, TABLET, Watched
from wringout.evaluation import Evaluation
from wringout.evaluation.strip_words import found_sentence
from wringout.evaluation.strips import strips_of
from wringout.web.app import create_app

if TYPE_CHECKING:
    from playwright.sync_api import Browser

PAGE = "/d/demo/strips"
ASK = f"{PAGE}/ask"


def plain(html: str) -> str:
    """The words of a page."""
    return " ".join(unescape(re.sub(r"<[^>]+>", " ", html)).replace("\u00a0", " ").split())


def test_the_sentence_stands_first_and_is_the_answer_s(evaluated: TestClient, demo: Evaluation) -> None:
    """The chosen strip's sentence is the heading; every strip has its row and its year."""
    answer = strips_of(demo)
    assert answer is not None
    text = evaluated.get(PAGE, params={"strip": "Merrow Top"}).text
    merrow = next(found for found in answer.found if found.strip.name == "Merrow Top")
    heading = re.search(r'<h1 id="answer"[^>]*>(.*?)</h1>', text, re.DOTALL)
    assert heading is not None
    assert plain(heading[1]) == found_sentence(merrow, answer, demo.dossier.units)
    for strip in demo.dossier.strips:
        assert f'?strip={quote(strip.name)}"' in text
    assert text.count("<svg") == 2
    assert "Cloud, visibility" in text


def test_what_is_typed_changes_the_answer_and_nothing_else(evaluated: TestClient) -> None:
    """A heavier load, a wet surface and the leaflet's factors each give an answer of their own."""
    usual = plain(evaluated.get(ASK).text)
    for typed in (
        {"load": "300", "landing_factor": "2"},
        {"surface": "wet grass", "cross_wind": "15 kt"},
        {"configuration": "nose wheel"},
    ):
        answer = evaluated.get(ASK, params=typed)
        assert answer.status_code == 200
        assert plain(answer.text) != usual
    leaflet = plain(evaluated.get(ASK, params={"method": "leaflet"}).text)
    assert "the leaflet factors have none for gravel" in leaflet


@pytest.mark.parametrize(
    ("field", "value"),
    [
        ("load", "<b>heavy"),
        ("load", "9000"),
        ("fuel", "900"),
        ("surface", "lava"),
        ("method", "hope"),
        ("landing_factor", "0.5"),
        ("cross_wind", "-4"),
        ("strip", "nowhere"),
        ("take_off", "by rocket"),
    ],
)
def test_what_is_not_understood_is_told_at_its_field(evaluated: TestClient, field: str, value: str) -> None:
    """The fault stands at the field, the answer stays."""
    answer = evaluated.get(ASK, params={field: value})
    assert answer.status_code == 200
    assert answer.headers["HX-Reswap"] == "none"
    told = re.search(rf'id="says-{field}"[^>]*>(.*?)</div>', answer.text, re.DOTALL)
    assert told is not None
    assert 'class="fault"' in told[1]
    assert "<b>heavy" not in answer.text
    assert 'id="found"' not in answer.text


@pytest.fixture(scope="module")
def own(demo: Evaluation, tmp_path_factory: pytest.TempPathFactory) -> Iterator[tuple[TestClient, Path]]:
    """A workbench over a copy of the demo that may be changed."""
    shelf = tmp_path_factory.mktemp("shelf")
    shutil.copytree(demo.dossier.root, shelf / "demo")
    with TestClient(create_app(shelf), base_url=ORIGIN, headers={"origin": ORIGIN}) as client:
        yield client, shelf / "demo"


def test_a_survey_is_begun_from_the_page_and_found_there(own: tuple[TestClient, Path]) -> None:
    """Without a table it says how; with one a button; then how it goes, and at the end what was found."""
    client, root = own
    assert "runways/" in plain(client.get(f"{PAGE}/survey").text)
    (root / "runways").mkdir()
    (root / "runways" / "two.csv").write_text(
        "ident,length_m,surface,le_elevation_m,he_elevation_m,le_heading_degT\n"
        "AAAA,420,TURF,300,304,238\nBBBB,700,UNK,300,304,238\nCCCC,900,GRVL,800,804,90\n",
        encoding="utf-8",
    )
    offered = plain(client.get(f"{PAGE}/survey").text)
    assert "Survey 2 strips" in offered
    assert "left out: 1 of unknown surface" in offered
    assert client.post("/d/demo/work/survey").status_code == 200
    end = monotonic() + 240.0
    while "Survey 2 strips" in offered or "Stop" in offered or "of 2" in offered:
        assert monotonic() < end, offered
        sleep(0.3)
        offered = plain(client.get(f"{PAGE}/survey").text)
    assert "Of 2 strips these are usable in nine hours of ten" in offered


def test_without_weather_the_page_says_what_to_put_where(own: tuple[TestClient, Path]) -> None:
    """One sentence, no stack of errors; a broken file is told with its line."""
    client, root = own
    (root / "weather").rename(root / "kept")
    try:
        text = plain(client.get(PAGE).text)
        assert "cannot be judged yet" in text
        assert "weather/" in text
        (root / "weather").mkdir()
        (root / "weather" / "x.csv").write_text("a,b\n1,2\n", encoding="utf-8")
        assert "description" in plain(client.get(PAGE).text)
        shutil.rmtree(root / "weather")
    finally:
        (root / "kept").rename(root / "weather")
    assert client.get(PAGE).status_code == 200


@pytest.mark.skipif(CHROMIUM is None, reason="no chromium on this machine: apt install chromium")
@pytest.mark.parametrize(("size", "scheme"), [(LARGE, "light"), (TABLET, "dark")])
def test_by_hand_the_page_answers_and_has_no_fault(
    chromium: Browser, served_demo: str, size: tuple[int, int], scheme: str
) -> None:
    """A strip and a load chosen; the heading follows; accessible, quiet, nothing fetched from elsewhere."""
    watched = Watched(chromium, size, scheme)
    page = watched.page
    page.goto(f"{served_demo}/d/demo/strips")
    page.get_by_label("Strip", exact=True).select_option("Salter's Pan")
    page.wait_for_selector("#answer:has-text('Salter')", timeout=SOON)
    page.get_by_label("Payload, pilot counted").fill("120")
    page.keyboard.press("Tab")
    page.wait_for_selector("#answer:has-text('120')", timeout=SOON)
    assert watched.faults() == []
    assert watched.overflow() <= 0
    assert watched.said == []
    assert all(asked.startswith(served_demo) for asked in watched.asked)
    watched.context.close()
