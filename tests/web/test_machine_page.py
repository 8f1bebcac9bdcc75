"""The machine's pages: undercarriage and electrics, by sliders, by typing, and by hand in a browser."""

from __future__ import annotations

import re
from html import unescape
from statistics import median
from time import process_time
from typing import TYPE_CHECKING

import pytest
from starlette.testclient import TestClient

from tests.web.test_browser import CHROMIUM, LARGE, SOON, TABLET, Watched
from wringout.electrical import battery_endurance
from wringout.evaluation import Evaluation
from wringout.undercarriage import swept_circle

if TYPE_CHECKING:
    from playwright.sync_api import Browser

PAGE = "/d/demo/machine"
ELECTRICS = f"{PAGE}/electrics"
AT_ONCE = 0.08  # s of the processor, the median answer with its drawings


def _plain(html: str) -> str:
    return " ".join(unescape(re.sub(r"<[^>]+>", " ", html)).replace("\u00a0", " ").split())


def test_the_undercarriage_stands_with_its_sentence_drawings_and_tables(
    evaluated: TestClient, demo: Evaluation
) -> None:
    """Loads by moments, the circle of the package's own turn, the fitted thrust, the caution."""
    words = evaluated.get(PAGE, params={"configuration": "nose wheel"}).text
    plain = _plain(words)
    assert "As nose wheel, 14 to 29 % of the weight stands on the nose wheel" in plain
    # Moments by hand: 1 420 mm to the main wheels, 1 800 mm of wheelbase, CG 890 and 1 170 mm.
    assert round(100 * (1420 - 890) / 1800) == 29
    assert round(100 * (1420 - 1170) / 1800) == 14
    build = next(item for item in demo.dossier.airplane.configurations if item.name == "nose wheel")
    circle = swept_circle(build.undercarriage, demo.dossier.airplane.geometry)
    assert f"circle to be free farthest: wing tip {circle.diameter:.1f} m" in plain
    assert words.count("<svg") == 2
    assert "the fitted propeller, at rest" in plain
    assert "licensed mechanic" in plain
    assert "leaves calm water after" in plain


def test_what_is_asked_moves_the_answer(evaluated: TestClient) -> None:
    """A CG typed with its unit stands in the last row; by hand a fifth of the weight at 1 060 mm."""
    answer = evaluated.get(
        f"{PAGE}/gear",
        params={"configuration": "nose wheel", "cg": "106 cm", "mass": "1000", "friction": "0.2"},
    )
    plain = _plain(answer.text)
    assert "1 060 asked 1 000 800 200 20.0 ± 0.2".replace(" ", "") in plain.replace("\u202f", "").replace(
        " ", ""
    )


def test_what_is_not_understood_is_told_at_its_field(evaluated: TestClient) -> None:
    """Nothing is swapped in but the fault under its field, escaped."""
    for address, field, text, says in (
        (f"{PAGE}/gear", "cg", "9 m", "between the wheels"),
        (f"{PAGE}/gear", "friction", "<b>slippery", "slippery"),
        (f"{PAGE}/gear", "soil", "<i>mud", "mud"),
        (f"{ELECTRICS}/ask", "temperature", "-90 °C", "No battery works"),
        (f"{ELECTRICS}/ask", "age", "0", "more than nothing"),
        (f"{ELECTRICS}/ask", "failure", "<b>all", "all"),
    ):
        answer = evaluated.get(address, params={field: text})
        assert answer.headers["HX-Reswap"] == "none"
        fault = re.search(rf'id="says-{field}"[^>]*>(.*?)</div>', answer.text, re.DOTALL)
        assert fault is not None
        assert says in unescape(fault[1])
        assert "<b>" not in answer.text
        assert "<i>" not in answer.text
        whole = evaluated.get(PAGE if "gear" in address else ELECTRICS, params={field: text})
        assert 'class="fault"' in whole.text


def test_the_timeline_ends_when_the_back_up_does(evaluated: TestClient, demo: Evaluation) -> None:
    """With alternator and main battery gone the engine lives as long as Peukert gives its back-up."""
    electrical = demo.dossier.airplane.electrical
    assert electrical is not None
    back_up = electrical.batteries[1]
    lasts = battery_endurance(back_up, 2.1, 263.15) / 60.0
    answer = evaluated.get(
        f"{ELECTRICS}/ask",
        params={"failure": "the alternator stops and the main battery fails", "temperature": "-10"},
    )
    assert f"the engine stops after {lasts:.0f} ±" in _plain(answer.text)
    assert answer.text.count("<svg") == 1
    assert "dark at once" in answer.text


def test_age_cold_and_switches_are_live(evaluated: TestClient) -> None:
    """Colder, older and unshed each end the engine sooner; all but the engine shed, later."""

    def minutes(**typed: str) -> int:
        found = re.search(
            r"the engine stops after (\d+) ±", _plain(evaluated.get(f"{ELECTRICS}/ask", params=typed).text)
        )
        assert found is not None
        return int(found[1])

    usual = minutes()
    assert minutes(temperature="-20 °C") < usual
    assert minutes(age="60 %") < usual
    assert minutes(shedding="nothing") < usual
    assert minutes(recognition="20") < usual
    assert minutes(shedding="to the engine") > usual


def test_the_trip_is_answered_against_what_is_left(evaluated: TestClient, demo: Evaluation) -> None:
    """The mission farthest from a landing is named with its time, which is half the trip at cruise speed."""
    plain = _plain(evaluated.get(ELECTRICS).text)
    longest = max(demo.dossier.missions, key=lambda item: item.distance)
    assert f"The trip '{longest.name}' leads {longest.distance / 2 / 1852:.0f} nm" in plain


def test_answers_come_at_once(evaluated: TestClient) -> None:
    """The median answer takes no more of the processor than a slider's hand allows."""
    spent = []
    for number in range(6):
        for address, typed in (
            (f"{PAGE}/gear", {"mass": f"{900 + 20 * number}"}),
            (f"{ELECTRICS}/ask", {"temperature": f"{5 * number}"}),
        ):
            start = process_time()
            assert evaluated.get(address, params=typed).status_code == 200
            spent.append(process_time() - start)
    assert median(spent) < AT_ONCE


def test_a_new_dossier_is_answered_before_anything_was_flown(browser: TestClient) -> None:
    """The template's airplane has its wheels and its electrics, with the thrust assumed."""
    plain = _plain(browser.get("/d/mine/machine").text)
    assert "of the weight stands on the tail wheel" in plain
    assert "nothing fitted yet" in plain
    assert "minutes after the failure" in browser.get("/d/mine/machine/electrics").text


@pytest.mark.skipif(CHROMIUM is None, reason="no chromium on this machine: apt install chromium")
@pytest.mark.parametrize(("size", "scheme"), [(LARGE, "light"), (TABLET, "dark")])
def test_by_hand_in_a_browser(
    chromium: Browser, served_demo: str, size: tuple[int, int], scheme: str
) -> None:
    """Keys move a slider and sentence and drawing follow; another failure redraws the timeline."""
    watched = Watched(chromium, size, scheme)
    page = watched.page
    page.set_default_timeout(SOON)
    page.goto(f"{served_demo}{PAGE}?configuration=nose+wheel")
    before = page.inner_html("#drawn")
    page.locator('input[data-of="cg"]').focus()
    for _ in range(5):
        page.keyboard.press("ArrowLeft")
    page.wait_for_function("html => document.getElementById('drawn').innerHTML !== html", arg=before)
    assert page.input_value("#v-cg") != ""
    page.fill("#v-mass", "nonsense")
    page.wait_for_selector("#says-mass .fault")
    page.fill("#v-mass", "1000")
    page.wait_for_function("() => !document.querySelector('#says-mass .fault')")
    page.click("text=Electrics")
    page.wait_for_selector("#failure")
    said = page.inner_text("#answer")
    page.select_option("#failure", "the main battery fails")
    page.wait_for_function("text => document.getElementById('answer').textContent !== text", arg=said)
    assert "the engine runs on" in page.inner_text("#answer")
    assert watched.overflow() <= 0
    assert watched.faults() == []
    assert watched.said == []
    watched.context.close()
