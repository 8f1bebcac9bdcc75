"""The whole job in a real browser: from an empty folder through a recording to the printed report."""

from __future__ import annotations

import io
import re
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path
from time import monotonic
from typing import TYPE_CHECKING
from urllib.parse import urlsplit

import pytest

from tests.web.test_browser import CHROMIUM, LARGE, PATIENCE, SOON, TABLET, Watched, running
from tests.web.test_flights_page import as_table
from wringout.dossier import load

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Page

pytestmark = pytest.mark.skipif(CHROMIUM is None, reason="no chromium on this machine: apt install chromium")

NAME, FLOWN, CARD = "first job", "circuits", "flight-1"
CLAIM = {
    "id": "roll, as told at the fence",
    "statement": "She is off the grass in two hundred and fifty metres.",
    "published": "salesman, 11 May 2026",
    "value": "250 m",
    "conditions.surface": "dry grass",
}


@dataclass(frozen=True)
class Journey:
    """Where the workbench answers, its folder, and a recording to drop."""

    address: str
    shelf: Path
    recording: Path


@pytest.fixture(scope="module")
def journey(tmp_path_factory: pytest.TempPathFactory, demo_root: Path) -> Iterator[Journey]:
    """The command over an empty folder; a log of the demo's simulator, as a table without its zone."""
    folder = tmp_path_factory.mktemp("journey")
    recording = folder / f"{FLOWN}.csv"
    table = as_table(demo_root / "recordings/flight-3a.gpx")
    recording.write_text(table.replace("2025-06-17", "2026-05-12"), encoding="utf-8")  # the card's day
    (folder / "shelf").mkdir()
    with running(folder / "shelf") as address:
        yield Journey(address, folder / "shelf", recording)


def until(page: Page, holds: Callable[[], bool]) -> None:
    """Wait until something holds."""
    end = monotonic() + SOON / 1000
    while not holds():
        assert monotonic() < end, "it never came to hold"
        page.wait_for_timeout(30)


def part(page: Page, name: str) -> None:
    """Go to a part of the dossier through the margin."""
    page.click(f"nav.parts a:has-text('{name}')")
    page.wait_for_selector(f"nav.parts a[aria-current=page]:has-text('{name}')")


def keep(page: Page, field: str, text: str) -> None:
    """Type into a field of the airplane and leave it; the step back then names what was typed."""
    page.fill(field, text)
    page.keyboard.press("Tab")
    page.wait_for_selector(f"#steps-airplane-toml button:has-text('Take back'):has-text('{text}')")


def test_the_whole_job_from_an_empty_folder_to_the_printed_report(
    chromium: Browser, journey: Journey
) -> None:
    """Described, loaded, recorded, marked, evaluated, looked at, claimed, printed, and all in plain files."""
    watched = Watched(chromium, LARGE, "light")
    page, root = watched.page, journey.shelf / NAME
    page.set_default_timeout(PATIENCE)

    page.goto(journey.address)
    assert "No dossier is here yet" in page.inner_text("main")
    page.fill("#name", NAME)
    page.click("text=Make it")
    if page.locator("table.shelf a").count():
        page.click("table.shelf a")
    page.wait_for_selector("text=Nothing is evaluated yet.")

    part(page, "Airplane")
    keep(page, "#f-name", "Longstrut 180")
    keep(page, "#f-geometry-span", "10.9 m")
    keep(page, "#f-geometry-wing-area", "17.4 m²")
    page.click("#part-places summary:has-text('Add a station')")
    for field, text in (("name", "aft shelf"), ("arm", "2.6 m"), ("mass-limit", "40 lb")):
        page.fill(f"#f-station-2-{field}", text)
    page.select_option("#f-station-2-holds", "things")
    page.click("button:has-text('Add a station')")
    page.wait_for_selector("#entry-station-2 input[value='aft shelf']")
    airplane = load(root).airplane
    assert (airplane.name, airplane.stations[2].name) == ("Longstrut 180", "aft shelf")
    assert airplane.stations[2].mass_limit == pytest.approx(40 * 0.45359237)  # the pound of 1959, exact

    part(page, "Loading")
    before = page.inner_text("h1 + p, .lead")
    page.click("text=Add a person or thing")
    row = page.locator(".thing-row").last
    row.locator(".called").fill("tent and stove")
    row.locator("select").select_option("aft shelf")
    row.locator("input.figure").fill("12 kg")
    until(page, lambda: page.inner_text("h1 + p, .lead") != before)
    page.click("button:has-text('Keep in the card')")
    page.wait_for_selector("#saved-card:has-text('Kept in cards/flight-1.toml')")
    assert load(root).cards[0].loading.stations["aft shelf"] == pytest.approx(12.0)

    part(page, "Flights")
    page.set_input_files("#files", journey.recording)
    page.click("#received a")
    page.wait_for_selector("text=The zone of its times is to be given")
    page.fill("#zone", "+00:00")
    page.select_option("[name=channel-3]", "height")
    page.fill("[name=unit-3]", "m")
    page.click("text=Read the first rows again")
    page.wait_for_selector("th:has-text('height, ft')")
    page.select_option("#card-chosen", CARD)
    page.click("text=Name it on the card")
    page.wait_for_selector(".bracket")
    assert page.locator("[data-choose]", has_text="take-off").count() >= 3
    page.locator("[data-choose]", has_text="take-off").first.click()
    page.wait_for_selector("#edge-0")
    clock = page.input_value("#edge-0")
    moved = f"{clock[:6]}{(float(clock[6:]) + 1.0) % 60:04.1f}" if float(clock[6:]) < 59 else clock
    page.fill("#mark-time", moved)
    page.select_option("#mark-kind", "start of roll")
    page.select_option("#mark-point", "T1")
    page.fill("#mark-note", "seen from the fence")
    page.click("text=Put the mark")
    page.wait_for_selector(".byhand li:has-text('seen from the fence')")
    assert page.locator("tr:has([data-choose]):has-text('take-off'):has-text('T1')").count() == 1
    marks = next(card for card in load(root).cards if card.name == CARD).marks
    assert [(f"{mark.time:%H:%M:%S.%f}"[:10], mark.note) for mark in marks] == [
        (moved, "seen from the fence")
    ]

    page.click("header a")
    page.click("button:has-text('Evaluate')")
    page.wait_for_selector("progress")
    page.wait_for_selector("h1.answer")
    assert page.locator(".headlines dt").count() == 5

    part(page, "Points")
    page.click("main nav a:has-text('Take-offs')")
    page.wait_for_selector("main svg path")
    assert page.locator("main table tbody tr:has-text('T1')").count() == 1
    part(page, "Model")
    asked = page.inner_text("#answer")
    page.fill("#v-mass", "1900 lb")
    until(page, lambda: page.inner_text("#answer") != asked)
    assert "862 kg" in page.inner_text("#answer").replace("\u202f", "").replace("\u00a0", " ")

    part(page, "Claims")
    claims = page.locator("ol.claims > li").count()
    page.click("#add-claim > summary")
    for field, text in CLAIM.items():
        page.fill(f"#add-claim [name='{field}']", text)
    page.select_option("#add-claim [name=quantity]", "take-off ground roll")
    page.select_option("#add-claim [name=relation]", "at most")
    page.click("button:has-text('Add the claim')")
    page.wait_for_selector("ul.registered li:has-text('two hundred and fifty metres')")
    page.click("button:has-text('Evaluate')")
    page.wait_for_selector("ol.claims")
    assert page.locator("ol.claims > li").count() == claims + 1
    told = page.locator("ol.claims > li", has_text="two hundred and fifty metres")
    assert re.search(r"borne out|leaning|open|not", told.locator(".finding").inner_text())
    told.locator("summary", has_text="Arithmetic and evidence").click()
    told.locator("svg").last.wait_for()

    part(page, "Report")
    page.wait_for_selector(".sheets img")
    page.click("button:has-text('Write it into')")
    page.wait_for_selector("text=is written")
    with page.context.expect_page() as opened:
        page.locator("a:has-text('PDF to print')").click(modifiers=["ControlOrMeta"])
    opened.value.close()
    sent = page.request.get(f"{journey.address}d/{NAME.replace(' ', '%20')}/report/report.pdf")
    written = next((root / "report").glob("*.pdf")).read_bytes()
    for pdf in (sent.body(), written):
        text = printed(pdf)
        for words in ("Longstrut 180", "two hundred and fifty metres", "salesman, 11 May 2026", FLOWN):
            assert words in text, words
    assert watched.said == []
    assert {urlsplit(asked).netloc for asked in watched.asked} == {urlsplit(journey.address).netloc}
    watched.context.close()


def printed(pdf: bytes) -> str:
    """The words of a report, whatever its lines."""
    from pypdf import PdfReader

    pages = PdfReader(io.BytesIO(pdf)).pages
    return re.sub(r"\s+", " ", " ".join(page.extract_text() for page in pages))


# By key and pixel: what a keyboard can stand on, and whether a stop shows itself.
STOPS = """() => {
  const shown = (e) => e.checkVisibility({ visibilityProperty: true }) && e.getClientRects().length > 0;
  const first = new Set();
  return [...document.querySelectorAll(
    'a[href], button, input:not([type=hidden]), select, textarea, summary, [tabindex="0"]')]
    .filter((e) => shown(e) && !e.disabled && e.tabIndex >= 0)
    .filter((e) => {  // of a group of choices one is a stop, the arrows reach the others
      if (e.type !== 'radio') return true;
      const group = e.form?.id + '/' + e.name;
      return first.has(group) ? false : Boolean(first.add(group));
    })
    .map((e) => { e.dataset.stop = e.type === 'radio' ? e.name : (STOP += 1); return e.dataset.stop; });
}""".replace("(STOP += 1)", "String(window.stops = (window.stops ?? 0) + 1)")
STANDS = """() => {
  const e = document.activeElement;
  const look = getComputedStyle(e);
  const ring = look.outlineStyle !== 'none' && parseFloat(look.outlineWidth) >= 2;
  const box = e.getBoundingClientRect();
  const rust = getComputedStyle(document.documentElement).getPropertyValue('--rust').trim();
  const parts = [1, 3, 5].map((at) => parseInt(rust.slice(at, at + 2), 16));
  const drawn = e instanceof SVGElement && [...e.querySelectorAll('*')].some((part) =>
    [getComputedStyle(part).stroke, getComputedStyle(part).fill].includes(`rgb(${parts.join(', ')})`));
  return { stop: e.type === 'radio' ? e.name : e.dataset.stop ?? '', said: e.outerHTML.slice(0, 90),
           seen: (ring || drawn)
             && box.width > 0 && box.bottom > 0 && box.top < innerHeight,
           body: e === document.body };
}"""
SEEN = "flight-3a"
PARTS = ("", "airplane", "loading", "flights", f"flights/{SEEN}", "points", "model", "next", "claims",
         "report", "text/claims.toml", f"recordings/attach?path=recordings/{SEEN}-engine.csv")  # fmt: skip


def home(address: str) -> str:
    """The address of the copy of the demo."""
    return f"{address}d/demo/"


@pytest.mark.parametrize("path", PARTS)
def test_the_keyboard_alone_stands_on_every_control(chromium: Browser, copied_demo: str, path: str) -> None:
    """From the top with Tab: each control is a stop, each stop shows where one stands and is in sight."""
    watched = Watched(chromium, LARGE, "light")
    page = watched.page
    page.goto(home(copied_demo) + path)
    page.wait_for_load_state("networkidle")
    wanted: list[str] = page.evaluate(STOPS)
    assert wanted
    met: list[str] = []
    for _ in range(2 * len(wanted) + 20):
        page.keyboard.press("Tab")
        at = page.evaluate(STANDS)
        if at["body"]:
            break
        assert at["seen"], at["said"]
        met.append(at["stop"])
    lacking = set(wanted) - set(met)
    assert not lacking, [
        page.locator(f'[data-stop="{stop}"]').evaluate("e => e.outerHTML") for stop in lacking
    ]
    assert watched.said == []
    watched.context.close()


@pytest.mark.parametrize("size", [LARGE, TABLET], ids=["large", "tablet"])
def test_every_page_of_the_job_is_sound(chromium: Browser, copied_demo: str, size: tuple[int, int]) -> None:
    """With mouse and finger, light and dark: no serious fault, nothing too wide, nothing on the console."""
    watched = Watched(chromium, size, "light")
    for path in PARTS:
        watched.page.goto(home(copied_demo) + path)
        watched.page.wait_for_load_state("networkidle")
        assert watched.faults() == [], path
        assert watched.overflow() <= 0, path
        watched.page.emulate_media(color_scheme="dark")
        assert watched.faults(rules=["color-contrast"]) == [], path  # all that another light changes
        watched.page.emulate_media(color_scheme="light")
    assert watched.said == []
    asked = {urlsplit(url).netloc for url in watched.asked if not url.startswith("data:")}
    assert asked == {urlsplit(copied_demo).netloc}
    watched.context.close()


def test_the_keyboard_alone_operates_what_it_stands_on(chromium: Browser, copied_demo: str) -> None:
    """Sliders by their keys, evidence opened and closed, a kind of point, a bracket, a part of the margin."""
    watched = Watched(chromium, LARGE, "dark")
    page = watched.page
    page.set_default_timeout(SOON)
    page.goto(home(copied_demo) + "model")
    said = page.inner_text("#answer")
    page.locator("input[type=range][data-of=pressure_altitude]").focus()
    page.keyboard.press("PageUp")
    until(page, lambda: page.inner_text("#answer") != said)
    page.goto(home(copied_demo) + "claims")
    page.locator("summary:has-text('Arithmetic')").first.focus()
    page.keyboard.press("Enter")
    page.locator("#evidence-0 p").first.wait_for()
    page.keyboard.press("Enter")
    page.locator("#evidence-0 p").first.wait_for(state="hidden")
    page.goto(home(copied_demo) + "points")
    page.locator("nav.kinds a:has-text('Left out')").focus()
    page.keyboard.press("Enter")
    page.wait_for_selector("nav.kinds a[aria-current]:has-text('Left out')")
    page.goto(home(copied_demo) + f"flights/{SEEN}")
    page.wait_for_load_state("networkidle")  # with the traces come the keys
    page.locator("#paper").focus()
    page.keyboard.press("PageDown")
    page.wait_for_selector("tr.chosen")
    page.locator("nav.parts a:has-text('Loading')").focus()
    page.keyboard.press("Enter")
    page.wait_for_selector("nav.parts a[aria-current=page]:has-text('Loading')")
    said = page.inner_text("h1")
    page.locator("input[type=range]").first.focus()
    page.keyboard.press("End")
    until(page, lambda: page.inner_text("h1") != said)
    assert watched.said == []
    watched.context.close()


def test_long_work_outlives_a_reload_and_is_stopped(chromium: Browser, copied_demo: str) -> None:
    """The page that is fetched anew still watches; Stop ends the work, and it can be begun again."""
    watched = Watched(chromium, LARGE, "light")
    page = watched.page
    page.set_default_timeout(SOON)
    page.goto(home(copied_demo) + "airplane")
    keep(page, "#f-geometry-wing-area", "17.7 m²")
    page.click("header a")
    page.click("button:has-text('Evaluate')")
    page.wait_for_selector("progress")
    page.reload()
    page.wait_for_selector("progress")
    page.click("button:has-text('Stop')")
    page.wait_for_selector("text=Stopped")
    page.reload()
    page.wait_for_selector("button:has-text('Evaluate')")
    assert not page.locator("progress").count()
    page.goto(home(copied_demo) + "airplane")
    page.click("#steps-airplane-toml button:has-text('Take back')")
    until(page, lambda: page.input_value("#f-geometry-wing-area") == "17.6 m²")
    page.click("header a")  # what was finished before is found again
    page.wait_for_selector("h1.answer")
    assert watched.said == []
    watched.context.close()


EDITED = {
    "the dossier": ("", "#f-dossier-toml-place", "One place", "Another place"),
    "the airplane": ("airplane", "#f-geometry-length", "7.1 m", "7.2 m"),
    "a claim": ("claims", "#f-claims-toml-claim-0-value", "114 kt", "113 kt"),
}


@pytest.mark.parametrize("what", EDITED)
def test_two_tabs_do_not_overwrite_each_other(chromium: Browser, copied_demo: str, what: str) -> None:
    """The second is told at its field, where what it typed stays; what the first kept can be taken back."""
    path, field, first, second = EDITED[what]
    watched = Watched(chromium, LARGE, "light")
    tabs = [watched.page, watched.context.new_page()]
    for tab in tabs:
        tab.set_default_timeout(SOON)
        tab.goto(home(copied_demo) + path)
        if what == "a claim":
            tab.locator("summary:has-text('Change it')").first.click()
        tab.wait_for_selector(field)
    before = tabs[0].input_value(field)
    for tab, text in zip(tabs, (first, second), strict=True):
        tab.fill(field, text)
        tab.keyboard.press("Tab")
        if tab is tabs[0]:
            tab.wait_for_selector(f".steps button:has-text('Take back'):has-text('{first}')")
    tabs[1].wait_for_selector("text=changed elsewhere")
    assert tabs[1].input_value(field) == second
    tabs[0].click(f".steps button:has-text('Take back'):has-text('{first}')")
    tabs[0].wait_for_selector(f".steps button:has-text('Do again'):has-text('{first}')")
    if what == "a claim":
        tabs[0].locator("summary:has-text('Change it')").first.click()
        tabs[0].wait_for_selector(field)
    assert tabs[0].input_value(field) == before
    watched.context.close()
