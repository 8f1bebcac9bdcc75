"""The Missions page: its answer is the evaluation's, what is tried changes it at once, a button tries."""

from __future__ import annotations

import json
import re
from html import unescape
from pathlib import Path
from typing import TYPE_CHECKING

import pytest
from starlette.testclient import TestClient

from tests.web.test_browser import CHROMIUM, LARGE, SOON, TABLET, Watched
from wringout.evaluation import Evaluation

if TYPE_CHECKING:
    from playwright.sync_api import Browser

PAGE = "/d/demo/missions"
CLINIC = "clinic day at High Rannel"
PAN = "Salter's Pan and back"


def _plain(html: str) -> str:
    text = unescape(re.sub(r"<svg.*?</svg>|<[^>]+>", " ", html, flags=re.DOTALL))
    return " ".join(re.sub(r"[\u00a0\u202f]", " ", text).split())


def _fields(mission: str, demo: Evaluation, **changed: str) -> dict[str, str]:
    """The form of a mission with everything going."""
    loads = next(item.loads for item in demo.dossier.missions if item.name == mission)
    going = {f"load.{number}.goes": "yes" for number in range(len(loads))}
    return {"mission": mission, "asked": "1", **going, **changed}


def test_the_answer_is_the_evaluation_s(evaluated: TestClient, demo: Evaluation) -> None:
    """Each mission's page begins with the sentence of its answer, and has the caution."""
    for found in demo.missions:
        text = _plain(evaluated.get(PAGE, params={"mission": found.mission.name}).text)
        first, _, rest = found.sentence.partition(". It takes ")
        assert re.sub(r"[\u00a0\u202f]", " ", first) in text
        assert re.sub(r"[\u00a0\u202f]", " ", rest) in text
        assert "not for dispatch" in text


def test_a_load_left_at_home_changes_the_answer(evaluated: TestClient, demo: Evaluation) -> None:
    """Without the X-ray set both crates go, and nothing is left to help."""
    fields = _fields(CLINIC, demo)
    del fields["load.3.goes"]
    answer = evaluated.get(f"{PAGE}/ask", params=fields)
    text = _plain(answer.text)
    assert text.startswith("Vet, nurse, medicine cooler, two crates and coats and survival bag go")
    assert "X-ray" not in text
    assert 'id="helps"' not in answer.text


def test_fuel_wind_and_cruise_bear_on_it(evaluated: TestClient, demo: Evaluation) -> None:
    """A head wind takes more, a slower cruise less, and fuel at the far strip less at the start."""

    def taken(**changed: str) -> float:
        text = _plain(evaluated.get(f"{PAGE}/ask", params=_fields(PAN, demo, **changed)).text)
        found = re.search(r"It takes (\d+) L", text)
        assert found is not None, text[:300]
        return float(found[1])

    usual = taken()
    assert taken(wind_speed="30") > usual
    assert taken(power="60") < usual
    assert taken(**{"fuel_at.1": "yes"}) < 0.75 * usual


def test_what_is_not_understood_stands_at_its_field(evaluated: TestClient, demo: Evaluation) -> None:
    """Power without sense, a mass in litres, a wind like a jet stream: each is told at its field."""
    answer = evaluated.get(
        f"{PAGE}/ask",
        params=_fields(CLINIC, demo, power="lots", wind_speed="400 kt", **{"load.2.mass": "19 L"}),
    )
    assert answer.headers["HX-Reswap"] == "none"
    for field in ("power", "wind_speed", "load-2-mass"):
        assert re.search(rf'id="says-{field}"[^>]*><p class="fault">', answer.text), field
    unknown = evaluated.get(PAGE, params={"mission": "nobody's"})
    assert "There is no mission 'nobody's'" in _plain(unknown.text)


def test_what_would_help_is_tried_by_its_button(evaluated: TestClient, demo: Evaluation) -> None:
    """The list is the evaluation's, and trying its first lets the load go and moves the controls."""
    number = next(n for n, item in enumerate(demo.missions) if item.mission.name == PAN)
    helps = evaluated.get(f"{PAGE}/changes", params=_fields(PAN, demo)).text
    for words in demo.mission_changes[number]:
        assert re.sub(r"[\u00a0\u202f]", " ", words) in _plain(helps)
    change = json.loads(re.findall(r"hx-vals='([^']+)'", helps)[0])["try"]
    tried = evaluated.get(f"{PAGE}/ask", params={**_fields(PAN, demo), "try": change}).text
    text = _plain(tried)
    assert "feed for the station at the pan go" in text
    assert "stays" not in text.split("It takes")[0]
    assert 'id="controls" hx-swap-oob="true"' in tried
    assert 'value="65 %"' in tried


def test_nothing_described(browser: TestClient, shelf: Path) -> None:
    """A dossier that is not evaluated says what is to do first."""
    (shelf / "mine" / "missions.toml").write_text("")
    assert browser.get("/d/mine/missions").status_code == 200


@pytest.mark.skipif(CHROMIUM is None, reason="no chromium on this machine: apt install chromium")
@pytest.mark.parametrize(("size", "scheme"), [(LARGE, "light"), (TABLET, "dark")])
def test_it_answers_without_a_reload(
    chromium: Browser, served_demo: str, size: tuple[int, int], scheme: str
) -> None:
    """A box unticked changes the sentence, a button tries a change; nothing overflows, axe is content."""
    watched = Watched(chromium, size, scheme)
    page = watched.page
    page.goto(f"{served_demo}{PAGE}?mission={PAN}")
    page.evaluate("window.stays = true")
    page.locator("#helps button").first.click(timeout=SOON)
    page.get_by_role("heading", level=1).filter(has_text="feed for the station at the pan go").wait_for(
        timeout=SOON
    )
    assert page.locator("#v-power").input_value() == "65 %"
    page.locator("input[name='load.3.goes']").uncheck()
    page.get_by_role("heading", level=1).filter(has_text="Vet, nurse and two crates go").wait_for(
        timeout=SOON
    )
    assert page.evaluate("window.stays")
    assert watched.overflow() <= 0
    assert watched.faults() == []
    assert watched.said == []
    watched.context.close()
