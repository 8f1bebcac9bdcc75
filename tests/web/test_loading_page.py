"""The loading page: what it answers when something moves, what it keeps, and how hand and keys move it."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Callable
from html import unescape
from pathlib import Path
from time import monotonic
from typing import TYPE_CHECKING

import pytest
from starlette.testclient import TestClient

from tests.web.test_browser import CHROMIUM, LARGE, SOON, TABLET, Watched
from wringout.charts.theme import DARK, LIGHT
from wringout.dossier import load
from wringout.dossier.history import version_of
from wringout.dossier.trial import Thing, Trial
from wringout.evaluation.trials import tried
from wringout.loading import loading_report

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Page

PAGE = "/d/mine/loading"
CARD = "cards/flight-1.toml"
FIELDS = {
    "configuration": "tail wheel",
    "thing.0.name": "pilot",
    "thing.0.mass": "84 kg",
    "thing.0.station": "front seats",
    "thing.1.name": "crate",
    "thing.1.mass": "70.5 lb",
    "thing.1.station": "cargo bay",
    "thing.1.arm": "2000 mm",
    "fuel.left": "40 L",
    "fuel.right": "40 L",
    "taxi_fuel": "2 L",
    "landing_fuel": "20 L",
}


def _plain(html: str) -> str:
    return unescape(re.sub(r"<[^>]+>", " ", html)).replace("\u00a0", " ")


def test_the_page_says_what_the_card_says(browser: TestClient, shelf: Path) -> None:
    """The first card's loading stands there with its own finding as the first sentence."""
    dossier = load(shelf / "mine")
    card = dossier.cards[0]
    report = loading_report(
        dossier.airplane, card.configuration, card.loading, card.plan.taxi_fuel, card.plan.landing_fuel
    )
    answer = browser.get(PAGE)
    assert answer.status_code == 200
    assert report.sentence() in _plain(answer.text)
    assert report.caution in _plain(answer.text)


def test_a_moved_loading_is_tested_at_once(browser: TestClient, shelf: Path) -> None:
    """The answer is what the loading package finds, in the reader's units, and no page around it."""
    airplane = load(shelf / "mine").airplane
    things = (
        Thing("pilot", 84.0, "front seats"),
        Thing("crate", 70.5 * 0.45359237, "cargo bay", 2.0),  # pound, exact by definition
    )
    found = tried(airplane, Trial("tail wheel", things, {"left": 0.04, "right": 0.04}, 0.002, 0.02))
    answer = browser.post(f"{PAGE}/try", data=FIELDS)
    assert answer.status_code == 200
    assert found.report.sentence() in _plain(answer.text)
    assert "<html" not in answer.text
    for state in found.report.states:
        assert re.search(
            rf">{state.name}</th>.*?{state.mass.value:.0f}<", answer.text.replace("\u202f", ""), re.DOTALL
        )


def test_a_field_that_is_not_understood_is_told_where_it_stands(browser: TestClient) -> None:
    """Only the fields' lines come back: figure and sentence stay as they were."""
    answer = browser.post(f"{PAGE}/try", data={**FIELDS, "thing.1.mass": "heavy", "fuel.left": "500 L"})
    assert answer.headers["hx-reswap"] == "none"
    assert re.search(r'id="says-thing-1-mass"[^>]*>.*?does not start with a number', answer.text)
    assert "<svg" not in answer.text
    full = browser.post(f"{PAGE}/try", data={**FIELDS, "fuel.left": "500 L"})
    assert re.search(r'id="says-fuel-left"[^>]*>.*?holds 70.0', full.text)
    taxi = browser.post(f"{PAGE}/try", data={**FIELDS, "taxi_fuel": "90 L"})
    assert re.search(r'id="says-taxi_fuel"[^>]*>.*?aboard', taxi.text)


def test_words_out_of_a_form_stay_words(browser: TestClient) -> None:
    """A name with marks in it is shown and is no part of the page."""
    answer = browser.post(f"{PAGE}/try", data={**FIELDS, "thing.0.name": "<script>alert(1)</script>"})
    assert "<script>alert" not in answer.text
    assert "&lt;script&gt;alert(1)&lt;/script&gt;" in answer.text


def test_it_is_kept_in_a_card_and_taken_back(browser: TestClient, shelf: Path) -> None:
    """What was typed stands in the card; the way back leads to the file as it was."""
    root = shelf / "mine"
    before = (root / CARD).read_bytes()
    fields = {**FIELDS, "save.card": "flight-1", f"version.{CARD}": version_of(root, CARD)}
    answer = browser.post(f"{PAGE}/save/card", data=fields)
    assert answer.status_code == 200
    assert "Kept in" in answer.text
    loading = tomllib.loads((root / CARD).read_text(encoding="utf-8"))["loading"]
    assert loading["stations"] == {"front seats": "84 kg", "cargo bay": "70.5 lb"}
    assert loading["fuel"] == {"left": "40 L", "right": "40 L"}
    version = re.search(rf'name="version.{CARD}"[^>]* value="(\w+)"', answer.text)
    assert version is not None
    back = browser.post(f"{PAGE}/back/card", data={**fields, f"version.{CARD}": version[1]})
    assert back.status_code == 200
    assert (root / CARD).read_bytes() == before


def test_it_is_kept_in_a_mission(browser: TestClient, shelf: Path) -> None:
    """The mission carries what was tried, the rest of the mission stays."""
    root = shelf / "mine"
    mission = load(root).missions[0]
    fields = {
        **FIELDS,
        "configuration": mission.configuration,
        "save.mission": mission.name,
        "version.missions.toml": version_of(root, "missions.toml"),
    }
    assert browser.post(f"{PAGE}/save/mission", data=fields).status_code == 200
    kept = load(root).missions[0]
    assert [(item.name, item.stations[0]) for item in kept.loads] == [
        ("pilot", "front seats"),
        ("crate", "cargo bay"),
    ]
    assert (kept.distance, kept.question) == (mission.distance, mission.question)


def test_a_card_changed_elsewhere_is_not_overwritten(browser: TestClient, shelf: Path) -> None:
    """An edit on an old version is refused in words, and the file is as the other hand left it."""
    root = shelf / "mine"
    old = version_of(root, CARD)
    (root / CARD).write_bytes((root / CARD).read_bytes() + b"\n# another hand\n")
    now = (root / CARD).read_bytes()
    fields = {**FIELDS, "save.card": "flight-1", f"version.{CARD}": old}
    answer = browser.post(f"{PAGE}/save/card", data=fields)
    assert answer.status_code == 422
    assert "changed elsewhere" in answer.text
    assert (root / CARD).read_bytes() == now


def test_a_dossier_that_is_not_whole_says_what_keeps_it(browser: TestClient, shelf: Path) -> None:
    """There is no loading without an airplane; the page says what to mend."""
    file = shelf / "mine" / "airplane.toml"
    file.write_text(
        file.read_text(encoding="utf-8").replace('arm = "0.95 m"', 'arm = "much"'), encoding="utf-8"
    )
    answer = browser.get(PAGE)
    assert answer.status_code == 200
    assert "does not start with a number" in answer.text


# --- in a real browser ---


needs_chromium = pytest.mark.skipif(
    CHROMIUM is None, reason="no chromium on this machine: apt install chromium"
)


def _opened(watched: Watched, served: str) -> Page:
    page = watched.page
    page.set_default_timeout(SOON)
    page.emulate_media(reduced_motion="reduce")  # what glides cannot be taken hold of by its place
    page.goto(f"{served}{PAGE}")
    page.locator("#stowage").wait_for()
    return page


def _middle(page: Page, part: str) -> tuple[float, float]:
    box = page.locator(part).bounding_box()
    assert box is not None
    return box["x"] + box["width"] / 2, box["y"] + box["height"] / 2


def _until(page: Page, holds: Callable[[], bool]) -> None:
    """Wait until something holds; the page forbids to evaluate words, so it is asked from here."""
    end = monotonic() + SOON / 1000
    while not holds():
        assert monotonic() < end, "it never came to hold"
        page.wait_for_timeout(20)


def test_the_pages_colours_are_those_of_the_charts(browser: TestClient) -> None:
    """A figure in the colours of the page looks like one in its own, in light and in dark."""
    css = browser.get("/static/field_book.css").text
    names = ("lake", "ochre", "moss", "plum", "stone")
    for number, palette in enumerate((LIGHT, DARK)):
        wanted = {name: getattr(palette, name) for name in ("paper", "ink", "rule", "muted", "rust")}
        wanted |= {name: series.mark for name, series in zip(names, palette.series, strict=True)}
        found = {name: re.findall(rf"--{name}: (#[0-9A-F]{{6}});", css)[number] for name in wanted}
        assert {name: wanted[name] for name in found} == found


@needs_chromium
def test_sliders_figures_and_the_figure_follow_each_other(chromium: Browser, served: str) -> None:
    """A slider by keys, a mass in pounds, a mass that is none; nothing on the console, no page anew."""
    watched = Watched(chromium, LARGE, "light")
    page = _opened(watched, served)
    slider, figure = page.locator('input[data-of="thing.0.mass"]'), page.locator('input[name="thing.0.mass"]')
    figure.fill("100 kg")
    _until(page, lambda: slider.input_value() == "100")
    lead = page.locator("#loading-lead").inner_text()
    slider.focus()
    for _ in range(5):
        page.keyboard.press("ArrowRight")
    _until(page, lambda: page.locator("#loading-lead").inner_text() != lead)
    assert figure.input_value() == "105 kg"
    figure.fill("200 lb")
    _until(page, lambda: slider.input_value() == "91")  # 200 lb = 90.7 kg
    figure.fill("heavy")
    page.locator("#says-thing-0-mass .fault").wait_for()
    assert figure.input_value() == "heavy"
    figure.fill("91 kg")
    page.locator("#says-thing-0-mass .fault").wait_for(state="detached")
    assert not watched.said
    assert sum("/loading" in asked and asked.endswith(PAGE) for asked in watched.asked) == 1  # never anew
    watched.context.close()


@needs_chromium
def test_only_one_request_is_under_way(chromium: Browser, served: str) -> None:
    """However fast a hand is, the next request waits for the answer, and the last state is the one shown."""
    watched = Watched(chromium, LARGE, "light")
    page = _opened(watched, served)
    page.evaluate(
        """() => { window.most = 0; let now = 0; const real = window.fetch;
        window.fetch = (...all) => { now += 1; window.most = Math.max(window.most, now);
        return real(...all).finally(() => { now -= 1; }); }; }"""
    )
    slider = page.locator('input[data-of="fuel.left"]')
    slider.focus()
    page.keyboard.press("Home")
    for _ in range(30):
        page.keyboard.press("ArrowRight")
    level = page.locator("#board-level-left")
    _until(page, lambda: level.get_attribute("aria-valuenow") == "15")
    assert page.evaluate("window.most") == 1
    assert page.input_value('input[name="fuel.left"]') == "15 L"
    watched.context.close()


@needs_chromium
@pytest.mark.parametrize(("size", "scheme"), [(LARGE, "light"), (TABLET, "dark")])
def test_things_and_fuel_are_moved_by_hand_and_by_keys(
    chromium: Browser, served: str, size: tuple[int, int], scheme: str
) -> None:
    """A square from place to place and along the floor, a level along its tank; the same with keys alone."""
    watched = Watched(chromium, size, scheme)
    page = _opened(watched, served)
    page.click("text=Add a person or thing")
    page.locator("[data-row]").last.locator(".called:focus").wait_for()
    number = page.locator("[data-row]").count() - 1
    page.keyboard.type("dog")
    page.fill(f'input[name="thing.{number}.mass"]', "40 kg")
    page.locator(f'#board-thing-{number}[aria-label*="dog, 40"]').wait_for()
    square, place, arm = (
        f"#board-thing-{number}",
        f'select[name="thing.{number}.station"]',
        f'input[name="thing.{number}.arm"]',
    )

    def seen() -> None:
        page.evaluate("document.querySelector('#stowage').scrollIntoView({block: 'end'})")

    def drag(part: str, to: tuple[float, float]) -> None:
        page.mouse.move(*_middle(page, part))
        page.mouse.down()
        page.mouse.move(*to, steps=6)
        page.mouse.up()

    seen()
    drag(square, _middle(page, '.place[data-station=""] .under'))
    page.locator(f'{square}[aria-label*="stays behind"]').wait_for()
    assert page.input_value(place) == ""
    row = page.locator('.place[data-station="cargo bay"] .under').bounding_box()
    assert row is not None
    drag(square, (row["x"] + 0.55 * row["width"], row["y"] + row["height"] / 2))
    page.locator(f'{square}[aria-label*="cargo bay"]').wait_for()
    before = float(page.input_value(arm).split()[0])
    page.locator(square).focus()
    page.keyboard.press("ArrowLeft")
    assert float(page.input_value(arm).split()[0]) == before - 10
    page.keyboard.press("ArrowUp")
    page.locator(f'{square}[aria-label*="front seats"]:focus').wait_for()
    assert page.input_value(place) == "front seats"

    page.fill('input[name="fuel.left"]', "30 L")
    page.locator('#board-level-left[aria-valuenow="30"]').wait_for()
    seen()
    x, y = _middle(page, "#board-level-left .hand")
    drag("#board-level-left .hand", (x - 60, y))
    page.locator('#board-level-left:not([aria-valuenow="30"])').wait_for()
    assert 0 <= float(page.input_value('input[name="fuel.left"]').split()[0]) < 30
    page.locator("#board-level-left").focus()
    with page.expect_response("**/loading/try"):
        page.keyboard.press("End")
    page.locator('#board-level-left[aria-valuenow="70"]:focus').wait_for()
    page.keyboard.press("PageDown")
    page.locator('#board-level-left[aria-valuenow="60"]').wait_for()

    page.locator(f'[data-row="{number}"] [data-away]').click()
    page.locator(square).wait_for(state="detached")
    assert page.locator("[data-row]").count() == number
    assert watched.overflow() <= 0
    assert not watched.faults()
    assert not watched.said
    watched.context.close()


@needs_chromium
def test_a_finger_moves_the_square_and_not_the_page(chromium: Browser, served: str) -> None:
    """On a tablet a level is pushed along its tank, and the page stays where it is."""
    watched = Watched(chromium, TABLET, "light")
    page = _opened(watched, served)
    page.fill('input[name="fuel.left"]', "60 L")
    page.locator('#board-level-left[aria-valuenow="60"]').wait_for()
    page.evaluate("document.querySelector('#stowage').scrollIntoView({block: 'end'})")
    stood = page.evaluate("scrollY")
    x, y = _middle(page, "#board-level-left .hand")
    fingers = watched.context.new_cdp_session(page)
    fingers.send("Input.dispatchTouchEvent", {"type": "touchStart", "touchPoints": [{"x": x, "y": y}]})
    for step in range(1, 9):
        point = {"x": x - 15 * step, "y": y - 4 * step}
        fingers.send("Input.dispatchTouchEvent", {"type": "touchMove", "touchPoints": [point]})
    fingers.send("Input.dispatchTouchEvent", {"type": "touchEnd", "touchPoints": []})
    level = page.locator("#board-level-left")
    length = float(level.get_attribute("data-length") or 0)
    scale = page.evaluate("document.querySelector('#stowage').getBoundingClientRect().width / 640")
    wanted = round((60 / 70 * length - 120 / scale) / length * 70)  # where the finger was lifted
    _until(page, lambda: abs(float(level.get_attribute("aria-valuenow") or 0) - wanted) <= 1)
    assert page.evaluate("scrollY") == stood
    watched.context.close()
