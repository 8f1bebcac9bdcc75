"""The model page: asked by sliders and by typing, answered at once, and by hand in a browser."""

from __future__ import annotations

import re
from html import unescape
from statistics import median
from time import process_time
from typing import TYPE_CHECKING

import pytest
from starlette.testclient import TestClient

from tests.web.test_browser import CHROMIUM, LARGE, SOON, TABLET, Watched
from wringout.evaluation import Evaluation, ask
from wringout.model.question import Question
from wringout.quantity import show
from wringout.report.handbook import handbook_blocks

if TYPE_CHECKING:
    from playwright.sync_api import Browser

PAGE = "/d/demo/model"
ASK = f"{PAGE}/ask"
AT_ONCE = 0.05  # s of the processor, the median answer


def _plain(html: str) -> str:
    return " ".join(unescape(re.sub(r"<[^>]+>", " ", html)).replace("\u00a0", " ").split())


def test_the_answer_is_the_model_s_own(evaluated: TestClient, demo: Evaluation) -> None:
    """The sentence carries the figure and the interval that the model gives to the same question."""
    typed = {
        "figure": "landing distance",
        "mass": "1000",
        "pressure_altitude": "1500 m",
        "surface": "dry grass",
    }
    answer = evaluated.get(ASK, params=typed)
    assert answer.status_code == 200
    found = ask(
        demo.dossier, demo.fit, Question("landing distance", "tail wheel", 1000.0, pressure_altitude=1500.0)
    )
    words = _plain(answer.text)
    assert f"Landing from 15 m takes {show(found.estimate.value, 'm', digits=0)}" in words
    assert f"Nine in ten: {found.low:.0f} to {found.high:.0f} m." in words
    for note in found.notes:
        assert _plain(note[1:]) in words


def test_what_is_not_understood_is_told_at_its_field_and_nothing_else_moves(evaluated: TestClient) -> None:
    """The answer is not swapped in; the fault stands under the field in words."""
    answer = evaluated.get(ASK, params={"figure": "take-off distance", "mass": "<b>heavy"})
    assert answer.headers["HX-Reswap"] == "none"
    assert 'id="says-mass"' in answer.text
    assert "<b>heavy" not in answer.text
    assert 'id="found"' not in answer.text


def test_an_address_carries_a_question_and_a_wrong_one_is_told(evaluated: TestClient) -> None:
    """The page opens at the figure of its address, or with the fault at its field."""
    words = evaluated.get(PAGE, params={"figure": "stall speed", "flap": "45"}).text
    assert "It stalls at" in _plain(words)
    assert '<option value="stall speed"' in words
    wrong = evaluated.get(PAGE, params={"figure": "stall speed", "mass": "x"})
    assert wrong.status_code == 200
    assert 'class="fault"' in wrong.text


def test_the_page_tells_what_the_flights_taught(evaluated: TestClient, demo: Evaluation) -> None:
    """Every parameter stands there with its prior's source, and every sentence of the fit."""
    words = _plain(evaluated.get(PAGE).text)
    for result in demo.fit.parameters:
        assert result.parameter.name in words
        assert " ".join(result.parameter.source.split()) in words
    for message in demo.fit.messages:
        assert message[1:] in words


def test_the_tables_are_those_of_the_report(evaluated: TestClient, demo: Evaluation) -> None:
    """Take-off and landing by mass, altitude and temperature: every row of the report's own tables."""
    words = _plain(evaluated.get(f"{PAGE}/tables").text)
    for block in handbook_blocks(demo):
        (table,) = block["blocks"]
        assert " ".join(table["title"].split()) in words
        for row in table["rows"]:
            assert " ".join(cell.replace("\u202f", " ") for cell in row if cell) in words.replace(
                "\u202f", " "
            )


def test_a_slider_is_answered_at_once(evaluated: TestClient) -> None:
    """The median answer over figures and places takes no more of the processor than fifty milliseconds."""
    spent = []
    for figure in ("take-off distance", "rate of climb", "cruise speed", "stall speed", "landing distance"):
        for mass in (950, 980, 1010, 1040, 1070):
            start = process_time()
            assert evaluated.get(ASK, params={"figure": figure, "mass": f"{mass}"}).status_code == 200
            spent.append(process_time() - start)
    assert median(spent) < AT_ONCE


@pytest.mark.skipif(CHROMIUM is None, reason="no chromium on this machine: apt install chromium")
@pytest.mark.parametrize(("size", "scheme"), [(LARGE, "light"), (TABLET, "dark")])
def test_sliders_in_a_browser(
    chromium: Browser, served_demo: str, size: tuple[int, int], scheme: str
) -> None:
    """Keys move a slider and the sentence follows; a typed unit is understood; only what bears is shown."""
    watched = Watched(chromium, size, scheme)
    page = watched.page
    page.set_default_timeout(SOON)
    page.goto(f"{served_demo}{PAGE}")
    before = page.inner_text("#answer")
    assert before.startswith("Take-off over 15\u00a0m takes")
    slider = page.locator('input[data-of="pressure_altitude"]')
    slider.focus()
    for _ in range(5):
        page.keyboard.press("PageUp")
    page.wait_for_function("text => document.getElementById('answer').textContent !== text", arg=before)
    typed = page.input_value("#v-pressure_altitude")
    assert float(typed) > 0
    page.wait_for_function(
        "() => document.getElementById('answer').textContent.replace(/\\D+/g, '').includes("
        "String(Number(document.getElementById('v-pressure_altitude').value)))"
    )
    assert page.evaluate("document.activeElement.dataset.of") == "pressure_altitude"
    page.fill("#v-pressure_altitude", "1000 m")
    page.wait_for_function(
        "() => Math.abs(Number(document.querySelector('[data-of=pressure_altitude]').value) - 3281) < 60"
    )
    page.fill("#v-mass", "nonsense")
    page.wait_for_selector("#says-mass .fault")
    page.fill("#v-mass", "1000")
    page.wait_for_function("() => !document.querySelector('#says-mass .fault')")
    page.select_option("#figure", "stall speed")
    page.wait_for_function("() => document.getElementById('answer').textContent.startsWith('It stalls at')")
    assert page.is_hidden('[data-field="head_wind"]')
    assert page.is_hidden("#surface")
    assert page.is_visible('[data-field="mass"]')
    assert watched.overflow() <= 0
    assert watched.faults() == []
    assert watched.said == []
    assert all(address.startswith(served_demo) for address in watched.asked)
    watched.context.close()


@pytest.mark.skipif(CHROMIUM is None, reason="no chromium on this machine: apt install chromium")
def test_one_question_is_in_flight_and_the_last_one_counts(chromium: Browser, served_demo: str) -> None:
    """However fast a slider moves, requests follow one another; the answer is that of where it stopped."""
    watched = Watched(chromium, LARGE, "light")
    page = watched.page
    page.set_default_timeout(SOON)
    page.goto(f"{served_demo}{PAGE}")
    page.wait_for_selector("#inquiry")
    flying, most = 0, 0

    def begun(request: object) -> None:
        nonlocal flying, most
        if "/model/ask" in request.url:  # type: ignore[attr-defined]
            flying += 1
            most = max(most, flying)

    def ended(request: object) -> None:
        nonlocal flying
        flying -= "/model/ask" in request.url  # type: ignore[attr-defined]

    page.on("request", begun)
    page.on("requestfinished", ended)
    page.evaluate(
        """() => {
          const slider = document.querySelector('[data-of=mass]');
          for (let k = 0; k < 30; k++) {
            slider.value = String(900 + 5 * k);
            slider.dispatchEvent(new Event('input', { bubbles: true }));
          }
        }"""
    )
    page.wait_for_function("() => document.getElementById('answer').textContent.includes('1\\u202f045')")
    assert most == 1
    assert watched.said == []
    watched.context.close()
