"""The page of next points: its answer is the model's own, and its button makes a card that can be printed."""

from __future__ import annotations

import re
import shutil
from collections.abc import Iterator
from html import unescape
from io import BytesIO
from pathlib import Path
from typing import TYPE_CHECKING

import pytest
from pypdf import PdfReader
from starlette.testclient import TestClient

from tests.web.conftest import ORIGIN
from tests.web.test_browser import CHROMIUM, LARGE, SOON, TABLET, Watched
from wringout.claims import question_of
from wringout.dossier import load
from wringout.evaluation import Evaluation, next_flight
from wringout.evaluation.next_flight import claims_to_settle
from wringout.evaluation.next_words import next_sentence
from wringout.web.app import create_app

if TYPE_CHECKING:
    from playwright.sync_api import Browser

PAGE = "/d/demo/next"


def _plain(html: str) -> str:
    return " ".join(unescape(re.sub(r"<[^>]+>", " ", html)).replace("\u00a0", " ").split())


@pytest.fixture
def planning(tmp_path: Path, demo: Evaluation) -> Iterator[tuple[TestClient, Path]]:
    """A browser on a copy of the evaluated demo, which may be changed, and its folder."""
    root = tmp_path / "shelf" / "demo"
    shutil.copytree(demo.dossier.root, root)
    with TestClient(
        create_app(root.parent), base_url=ORIGIN, headers={"origin": ORIGIN}, follow_redirects=False
    ) as client:
        yield client, root


def test_the_answer_is_the_model_s_own(evaluated: TestClient, demo: Evaluation) -> None:
    """The sentence carries what the model says of a claim, and the table begins with what it flies."""
    claim = "take-off distance"
    question = question_of(demo.dossier, demo.points, demo.fit, claim)
    flight = next_flight(demo.dossier, demo.fit, question, 1500.0)
    words = _plain(evaluated.get(PAGE, params={"what": f"claim:{claim}", "minutes": "25"}).text)
    assert (
        _plain(next_sentence(flight, demo.dossier.units, f"the {question.quantity} of the claim ‘{claim}’"))
        in words
    )
    first = max(flight.offers, key=lambda offer: offer.per_minute)
    assert flight.steps[0][0].kind == first.candidate.kind
    assert first.places[0] == 1


def test_a_claim_that_is_settled_is_not_asked_first(evaluated: TestClient, demo: Evaluation) -> None:
    """The page opens at the first claim that points could settle and have not; the page of claims leads to
    each."""
    open_ones = claims_to_settle(demo.dossier, demo.points, demo.fit, demo.verdicts)
    assert open_ones
    first = demo.verdicts[open_ones[0].number].claim.id
    page = evaluated.get(PAGE).text
    assert f'<option value="claim:{first}" selected>' in page
    claims = evaluated.get("/d/demo/claims").text
    for item in open_ones:
        assert demo.verdicts[item.number].finding not in ("borne out", "not borne out")
        assert f'What to fly to settle it<span class="unseen">: claim {item.number + 1}<' in claims


def test_the_model_leads_to_the_flight_that_would_mend_it(evaluated: TestClient, demo: Evaluation) -> None:
    """From the figure that is shown, and from each parameter that the flights leave to its prior."""
    page = evaluated.get("/d/demo/model", params={"figure": "stall speed", "flap": "45"}).text
    silent = [result.parameter.name for result in demo.fit.parameters if result.taught < 0.1]
    links = dict(re.findall(r'href="(/d/demo/next\?[^"]*)">([^<]+)<', page))
    better = unescape(next(link for link, words in links.items() if words == "What to fly to know it better"))
    assert "flaps 45" in _plain(evaluated.get(better).text)
    named = [words for words in links.values() if words in silent]
    assert named
    for link, words in links.items():
        if words in named:
            assert 'class="fault"' not in evaluated.get(unescape(link)).text


def test_what_is_not_understood_is_told_at_its_field(evaluated: TestClient) -> None:
    """What was typed stays, nothing is answered, and no card can be made of it."""
    page = evaluated.get(
        PAGE, params={"figure": "stall speed", "minutes": "<b>soon", "highest": "-3 ft", "mass": "heavy"}
    )
    assert page.status_code == 200
    for field in ("minutes", "highest", "mass"):
        assert re.search(rf'id="says-{field}" role="status"><p class="fault">', page.text)
    assert "<b>soon" not in page.text
    assert 'value="&lt;b&gt;soon"' in page.text
    assert "Make the card" not in page.text


def test_what_is_left_out_is_not_flown(evaluated: TestClient) -> None:
    """Without landings no landing is offered for a landing roll."""
    asked = {"figure": "landing ground roll"}
    assert "Landing ‘" in evaluated.get(PAGE, params=asked).text
    without = evaluated.get(PAGE, params={**asked, "without": ["landing", "stall"]}).text
    assert "Landing ‘" not in without
    assert 'value="landing" checked' in without


def test_the_points_become_a_card_that_is_printed_and_taken_back(
    planning: tuple[TestClient, Path],
) -> None:
    """A new card has its points and the loading of a flown one; its page and its PDF have each point. A
    second sortie goes onto a card that is there, whose comments stay, and is taken back."""
    client, root = planning
    given = {"what": "figure:landing ground roll", "technique": "short field", "minutes": "16"}
    made = client.post(
        PAGE, data={**given, "name": "more-landings", "day": "2026-05-02", "pilot": "A. Nother"}
    )
    assert (made.status_code, made.headers["location"]) == (303, f"{PAGE}/more-landings")
    dossier = load(root)
    card = next(card for card in dossier.cards if card.name == "more-landings")
    assert [point.kind for point in card.points] == ["landing"] * 4
    assert {point.technique for point in card.points} == {"short field"}
    assert sum(card.loading.fuel.values()) > 0.0
    text = (root / "cards/more-landings.toml").read_text()
    assert "# Fly four landings" in text
    shown = client.get(made.headers["location"]).text
    assert all(point.id in shown for point in card.points)
    assert "expect roll" in _plain(shown)
    printed = client.get(f"{PAGE}/more-landings/card.pdf", params={"paper": "us-statement"})
    assert printed.headers["content-type"] == "application/pdf"
    assert "more-landings.4" in PdfReader(BytesIO(printed.content)).pages[-1].extract_text()

    own = "# A remark of the pilot's own.\n"
    (root / "cards/more-landings.toml").write_text(text.replace("[loading]", f"{own}[loading]"))
    again = client.post(PAGE, data={"what": "figure:stall speed", "minutes": "6", "card": "more-landings"})
    assert again.status_code == 303
    after = (root / "cards/more-landings.toml").read_text()
    assert own in after
    kinds = [point.kind for card in load(root).cards if card.name == "more-landings" for point in card.points]
    assert kinds == ["landing"] * 4 + ["stall"] * (len(kinds) - 4)
    assert len(kinds) > 4
    version = re.search(r'id="version-[^"]*" value="([^"]+)"', client.get(f"{PAGE}/more-landings").text)
    assert version
    back = {"file": "cards/more-landings.toml", "version": version[1]}
    assert client.post("/d/demo/undo", data=back).status_code < 400
    assert len(next(card for card in load(root).cards if card.name == "more-landings").points) == 4
    refused = client.post(PAGE, data={**given, "name": "../out"})
    assert refused.status_code == 422
    assert "problems" in refused.text
    assert not (root.parent / "out.toml").exists()


@pytest.mark.skipif(CHROMIUM is None, reason="no chromium on this machine: apt install chromium")
@pytest.mark.parametrize(("size", "scheme"), [(LARGE, "light"), (TABLET, "dark")])
def test_asked_by_keyboard_in_a_browser(
    chromium: Browser, copied_demo: str, size: tuple[int, int], scheme: str
) -> None:
    """The question changes and the answer follows; only what bears is asked for; the card is made."""
    watched = Watched(chromium, size, scheme)
    page = watched.page
    page.set_default_timeout(SOON)
    page.goto(f"{copied_demo}d/demo/next")
    page.select_option("#v-what", "figure:landing ground roll")
    page.wait_for_selector("#v-head_wind")
    assert "landing ground roll" in page.inner_text("#answer")
    page.focus("#v-minutes")
    page.keyboard.type("8")
    page.keyboard.press("Tab")
    page.wait_for_function("() => document.getElementById('answer').textContent.includes('in 8')")
    assert page.input_value("#v-minutes") == "8"
    page.check("input[value=landing]")
    page.wait_for_function("() => !document.getElementById('answer').textContent.includes('landings ‘')")
    page.uncheck("input[value=landing]")
    page.wait_for_function("() => document.getElementById('answer').textContent.includes('landings ‘')")
    assert watched.overflow() <= 0
    assert watched.faults() == []
    page.fill("#c-name", f"by-hand-{scheme}")
    page.click("button:has-text('Make the card')")
    page.wait_for_selector("text=The card for the knee, A5")
    assert f"by-hand-{scheme}.1" in page.inner_text("main")
    assert watched.overflow() <= 0
    assert watched.faults() == []
    assert watched.said == []
    watched.context.close()
