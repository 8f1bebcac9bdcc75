"""Flights in the workbench: seen, corrected by hand, recordings dropped and mapped; also in a browser."""

from __future__ import annotations

import io
import json
import re
import shutil
import threading
from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING, Any

import pytest
from starlette.testclient import TestClient

from tests.web.test_browser import CHROMIUM, LARGE, PATIENCE, SWITCHES, TABLET, Watched
from wringout.dossier import load
from wringout.dossier.history import version_of
from wringout.web.app import create_app

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Page

ORIGIN = "http://127.0.0.1"
CARD = "flight-2a"
FILE = f"cards/{CARD}.toml"
HERE = f"/d/demo/flights/{CARD}"
ENGINE = "".join(f"2025-06-17 09:00:{k:02d};{60 + k};24{k:02d};{15 + k / 10}\n" for k in range(40))
TABLE = f"Time;IAS;RPM;OAT (°C)\n{ENGINE}"


@pytest.fixture(scope="module")
def found(tmp_path_factory: pytest.TempPathFactory, demo_root: Path) -> Path:
    """A shelf with the demo's first stall flight alone, found once."""
    root = tmp_path_factory.mktemp("flights") / "demo"
    shutil.copytree(demo_root, root, ignore=shutil.ignore_patterns("results", "report"))
    for card in (root / "cards").iterdir():
        if card.stem != CARD:
            card.unlink()
    with TestClient(create_app(root.parent), base_url=ORIGIN) as client:
        assert client.get(f"{HERE}/found").status_code == 200
    return root.parent


@pytest.fixture
def shelf(found: Path, tmp_path: Path) -> Path:
    """A copy of it that a test may change."""
    shutil.copytree(found, tmp_path / "shelf")
    return tmp_path / "shelf"


def card_text(shelf: Path) -> str:
    return (shelf / "demo" / FILE).read_text(encoding="utf-8")


def rows(html: str) -> list[dict[str, Any]]:
    """The manoeuvres as the page hands them to its script."""
    data = re.search(r'id="flight-data">(.*?)</script>', html, re.DOTALL)
    assert data, html
    found: list[dict[str, Any]] = json.loads(data[1])["rows"]
    return found


def row_of(html: str, kind: str) -> dict[str, Any]:
    """The first manoeuvre of a kind."""
    return next(row for row in rows(html) if row["kind"] == kind)


def test_the_list_says_what_is_recorded_and_what_is_to_be_read(browser: TestClient) -> None:
    """A card with recordings leads to its flight, and the part stands in the margin."""
    page = browser.get("/d/demo/flights").text
    assert "One flight is recorded." in page
    assert f'href="{HERE}"' in page
    assert 'aria-current="page"' in page
    assert "on no card yet" in page  # the recordings of the flights whose cards are gone


def test_a_flight_shows_every_manoeuvre_with_its_figures(browser: TestClient) -> None:
    """Drawn, listed, and read off one by one with the reason of each boundary."""
    html = browser.get(HERE).text
    assert len(rows(html)) > 8
    stall = row_of(html, "stall")
    reading = browser.get(f"{HERE}/reading?at={stall['at']}").text
    assert "least indicated airspeed" in reading
    assert "entry rate" in reading
    assert "stall speed" in reading
    assert "Health of the recording" in html
    assert browser.get(f"{HERE}/reading?at=999").status_code == 404
    assert browser.get("/d/demo/flights/flight-9").status_code == 404


def test_a_flight_that_is_yet_to_be_read_says_so_at_once(browser: TestClient, shelf: Path) -> None:
    """The page does not wait for the finder; it fetches what it finds."""
    shutil.rmtree(shelf / "demo" / "results")
    html = browser.get(HERE).text
    assert "some seconds" in html
    assert f'hx-get="{HERE}/found"' in html
    assert rows(browser.get(f"{HERE}/found").text)


def test_traces_come_at_the_detail_that_is_asked_for(browser: TestClient) -> None:
    """A window in about as many samples, its ends one sample beyond; nonsense is refused in words."""
    whole = browser.get(
        f"{HERE}/traces", params={"names": ["height", "indicated airspeed"], "most": 400}
    ).json()
    assert [trace["unit"] for trace in whole["traces"]] == ["ft", "kt"]
    assert all(200 < len(trace["time"]) <= 640 for trace in whole["traces"])
    assert set(whole["usual"]) <= set(whole["names"])
    part = browser.get(
        f"{HERE}/traces", params={"names": "height", "start": 300.1, "end": 330.1, "most": 400}
    ).json()
    times = part["traces"][0]["time"]
    assert times[0] < 300.1 < times[1]
    assert times[-2] < 330.1 < times[-1]
    assert len(part["track"]["time"]) == len(part["track"]["east"])
    assert browser.get(f"{HERE}/traces", params={"names": "cabin"}).status_code == 404
    for wrong in ("names=height&most=1", "names=height&start=x", ""):
        assert browser.get(f"{HERE}/traces?{wrong}").status_code == 422


def test_a_moved_moment_is_saved_found_again_and_shown_beside_what_it_was(
    browser: TestClient, shelf: Path
) -> None:
    """The card has the mark; the answer has the new figures, the old ones and the way back."""
    before = card_text(shelf)
    landing = row_of(browser.get(HERE).text, "landing")
    reading = browser.get(f"{HERE}/reading?at={landing['at']}").text
    clock = re.search(r'value="(\d\d:\d\d:\d\d\.\d)" data-edge="1"', reading)
    assert clock
    earlier = f"{clock[1][:6]}{(float(clock[1][6:]) - 1.5) % 60:04.1f}"
    sent = {
        "version": version_of(shelf / "demo", FILE),
        "reading": str(landing["at"]),
        "kind": "touchdown",
        "time": earlier,
    }
    answer = browser.post(f"{HERE}/mark", data=sent)
    assert answer.status_code == 200
    marks = load(shelf / "demo").cards[0].marks
    assert f"{marks[-1].time:%H:%M:%S.%f}"[:10] == earlier
    assert "observer&#39;s mark" in answer.text
    assert re.search(r'class="figure was">[^<]+→', answer.text)
    assert "touchdown at" in answer.text
    back = browser.post(f"{HERE}/step/undo", data={"version": version_of(shelf / "demo", FILE)})
    assert back.status_code == 200
    assert card_text(shelf) == before
    again = browser.post(f"{HERE}/step/redo", data={"version": version_of(shelf / "demo", FILE)})
    assert again.status_code == 200
    out = {"version": version_of(shelf / "demo", FILE), "what": "mark", "at": str(len(marks) - 1)}
    assert browser.post(f"{HERE}/take-out", data=out).status_code == 200
    assert load(shelf / "demo").cards[0].marks == marks[:-1]


def test_a_span_is_named_or_left_out(browser: TestClient, shelf: Path) -> None:
    """What lies in a span that does not count is found no more, and is back when the span is taken out."""
    stall = row_of(browser.get(HERE).text, "stall")
    reading = rows(browser.get(HERE).text)
    sent = {
        "version": version_of(shelf / "demo", FILE),
        "start": stall["from"],
        "end": stall["to"],
        "kind": "none",
    }
    left = rows(browser.post(f"{HERE}/span", data=sent).text)
    assert not [row for row in left if row["kind"] == "stall" and row["start"] == stall["start"]]
    assert load(shelf / "demo").cards[0].manoeuvres[0].kind == "none"
    out = {"version": version_of(shelf / "demo", FILE), "what": "manoeuvre", "at": "0"}
    assert rows(browser.post(f"{HERE}/take-out", data=out).text) == reading


def test_what_cannot_be_is_refused_at_its_field(browser: TestClient, shelf: Path) -> None:
    """In words, and the card is as it was; an older version of the card is told apart."""
    before = card_text(shelf)
    version = version_of(shelf / "demo", FILE)
    sent = {"version": version, "kind": "touchdown", "time": "ten past", "says": "says-1"}
    answer = browser.post(f"{HERE}/mark", data=sent)
    assert (answer.status_code, answer.headers["HX-Reswap"]) == (422, "none")
    assert 'id="says-1"' in answer.text
    assert "is no time of day" in answer.text
    backwards = {"version": version, "kind": "climb", "start": "07:10:00", "end": "07:09:00"}
    assert "not after its start" in browser.post(f"{HERE}/span", data=backwards).text
    stale = browser.post(f"{HERE}/mark", data=sent | {"version": "0" * 32, "time": "07:10:00"})
    assert stale.status_code == 409
    assert "changed elsewhere" in stale.text
    assert rows(stale.text)
    for wrong in ({"says": '"><b>'}, {"kind": "tea"}, {"reading": "x"}):
        assert browser.post(f"{HERE}/mark", data=sent | wrong).status_code == 422
    assert card_text(shelf) == before


def test_a_dropped_table_is_mapped_and_named_on_a_new_card(browser: TestClient, shelf: Path) -> None:
    """Copied, its columns proposed and corrected, its rows shown, and then it stands on its card."""
    files = [
        ("files", ("engine.csv", io.BytesIO(TABLE.encode()), "text/csv")),
        ("files", ("../../evil.gpx", io.BytesIO(b"<gpx"), "text/xml")),
    ]
    dropped = browser.post("/d/demo/recordings", files=files)
    assert dropped.status_code == 200
    assert "recordings/engine.csv is in the dossier" in dropped.text
    assert "evil.gpx" in dropped.text
    assert "It was not copied." in dropped.text
    assert (shelf / "demo/recordings/engine.csv").read_bytes() == TABLE.encode()
    address = "/d/demo/recordings/attach"
    page = browser.get(address, params={"path": "recordings/engine.csv"}).text
    assert "the zone of its times is to be given" in page.lower()
    assert re.search(r'name="channel-1".*?<option value="indicated_airspeed" selected>', page, re.DOTALL)
    chosen = {
        "path": "recordings/engine.csv", "time_column": "Time", "time_format": "iso", "zone": "+01:00",
        "track": "true", "channel-1": "indicated_airspeed", "unit-1": "kt", "channel-2": "engine_speed",
        "unit-2": "rpm", "channel-3": "outside_air_temperature", "unit-3": "°C",
    }  # fmt: skip
    shown = browser.post(address, data=chosen | {"do": "look"}).text
    assert "08:00:00.00" in shown  # an hour earlier, in UTC
    assert "60.0" in shown
    card = {
        "do": "attach", "name": "engine", "title": "Engine run", "day": "2025-06-17", "like": CARD,
        "configuration": "tail wheel", "weather_time": "2025-06-17T09:00+01:00", "elevation": "310 m",
        "qnh": "30.1 inHg", "temperature": "13", "wind_direction": "240", "wind_speed": "7",
        "wind_speed_sd": "1", "wind_height": "10",
    }  # fmt: skip
    lacking = browser.post(address, data=chosen | card | {"qnh": ""})
    assert lacking.status_code == 422
    assert "lacks: QNH" in lacking.text
    assert 'value="Engine run"' in lacking.text  # what was typed stays
    twice = browser.post(address, data=chosen | card | {"channel-3": "engine_speed"})
    assert "two columns are the engine speed" in twice.text.lower()
    made = browser.post(address, data=chosen | card)
    assert (made.status_code, made.headers["location"]) == (303, "/d/demo/flights/engine")
    new = next(one for one in load(shelf / "demo").cards if one.name == "engine")
    assert new.recordings[0].mapping is not None
    assert new.recordings[0].mapping.zone == "+01:00"
    assert new.weather[0].temperature == pytest.approx(286.15)


def test_a_missing_recording_can_be_dropped_where_it_is_missed(browser: TestClient, shelf: Path) -> None:
    """A dossier that does not read for want of a log takes the log, and reads again."""
    log = shelf / "demo/recordings" / f"{CARD}.gpx"
    data = log.read_bytes()
    log.unlink()
    page = browser.get("/d/demo/flights").text
    assert "does not read yet" in page
    assert "is missing" in page
    assert browser.get(HERE).status_code == 422
    files = [("files", (log.name, io.BytesIO(data), "application/gpx+xml"))]
    assert browser.post("/d/demo/recordings", files=files).status_code == 200
    assert log.read_bytes() == data
    assert rows(browser.get(HERE).text)


def test_a_log_that_says_itself_what_it_holds_is_named_on_a_card_that_is_there(
    browser: TestClient, shelf: Path
) -> None:
    """No column is asked for; a recording that is not in the folder, or leads out of it, is none."""
    path = "recordings/flight-3a.gpx"
    address = "/d/demo/recordings/attach"
    page = browser.get(address, params={"path": path}).text
    assert "says itself what it holds" in page
    assert browser.post(address, data={"path": path, "do": "attach", "card": CARD}).status_code == 303
    assert path in [item.path for item in load(shelf / "demo").cards[0].recordings]
    again = browser.post(address, data={"path": path, "do": "attach", "card": CARD})
    assert again.status_code == 422
    assert "already" in again.text
    for wrong in ("recordings/../dossier.toml", "dossier.toml", "/etc/passwd", "recordings/none.gpx"):
        assert browser.get(address, params={"path": wrong}).status_code == 404


# ── In a real browser ──────────────────────────────────────────────────────────────────────────────


@pytest.fixture(scope="module")
def chromium() -> Iterator[Browser]:
    """One browser for the whole module."""
    if CHROMIUM is None:
        pytest.skip("no chromium on this machine: apt install chromium")
    from playwright.sync_api import sync_playwright

    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=CHROMIUM, args=SWITCHES)
        yield browser
        browser.close()


@pytest.fixture
def address(shelf: Path) -> Iterator[str]:
    """The workbench behind a free port."""
    import uvicorn

    from wringout.web.serving import listening

    with listening("127.0.0.1", 0) as door:
        server = uvicorn.Server(uvicorn.Config(create_app(shelf), log_level="error"))
        thread = threading.Thread(target=server.run, kwargs={"sockets": [door]}, daemon=True)
        thread.start()
        yield f"http://127.0.0.1:{door.getsockname()[1]}"
        server.should_exit = True
        thread.join(20)


def opened(watched: Watched, address: str) -> Page:
    """The flight's page with its traces drawn."""
    page = watched.page
    page.set_default_timeout(PATIENCE)
    page.goto(address + HERE)
    page.wait_for_selector(".bracket")
    return page


def choose(page: Page, kind: str) -> None:
    """Choose the first manoeuvre of a kind from the list; its ends can then be taken hold of."""
    page.locator("[data-choose]", has_text=kind).first.click()
    page.wait_for_selector("#edge-0")
    page.wait_for_selector("[data-handle='0']")


def test_an_edge_is_dragged_and_typed_and_both_are_taken_back(
    chromium: Browser, address: str, shelf: Path
) -> None:
    """By pointer, by keyboard and by typing; each saved at once, and undone to the very bytes of before."""
    before = card_text(shelf)
    watched = Watched(chromium, LARGE, "light")
    page = opened(watched, address)
    choose(page, "climb")
    page.locator("#paper").scroll_into_view_if_needed()
    was = page.input_value("#edge-1")
    grip = page.locator("[data-handle='1'] rect").last.bounding_box()
    assert grip is not None
    x, y = grip["x"] + grip["width"] / 2, grip["y"] + grip["height"] / 2
    page.mouse.move(x, y)
    page.mouse.down()
    page.mouse.move(x - 60, y, steps=6)
    dragged = page.input_value("#edge-1")
    page.mouse.up()
    assert dragged < was
    page.wait_for_selector("#undo:has-text('climb')")
    named = load(shelf / "demo").cards[0].manoeuvres
    assert [f"{one.end:%H:%M:%S.%f}"[:10] for one in named] == [dragged]
    page.wait_for_selector("#reading .changed .was:has-text('→')")

    typed = f"{was[:6]}{(float(was[6:]) + 59) % 60:04.1f}" if was[6:8] != "00" else was
    page.fill("#edge-1", typed)
    page.keyboard.press("Enter")
    page.wait_for_function(
        "typed => document.querySelector('#undo .what').textContent.endsWith(typed)", arg=typed
    )
    assert [f"{one.end:%H:%M:%S.%f}"[:10] for one in load(shelf / "demo").cards[0].manoeuvres] == [typed]

    page.locator("[data-handle='0']").focus()
    start = page.input_value("#edge-0")
    page.keyboard.press("ArrowRight")
    page.keyboard.press("ArrowRight")
    page.wait_for_function(
        "start => !document.querySelector('#undo .what').textContent.includes(start)", arg=start
    )
    assert load(shelf / "demo").cards[0].manoeuvres[0].start.second == (int(start[6:8]) + 2) % 60

    for left in (2, 1, 0):
        page.click("#undo")
        page.wait_for_function(
            "left => document.querySelectorAll('#undo').length === Math.min(left, 1)"
            " && document.querySelector('#redo') !== null"
            " && document.querySelector('#card-version').value !== window.before",
            arg=left,
        )
        page.evaluate("window.before = document.querySelector('#card-version').value")
    assert card_text(shelf) == before
    assert watched.faults() == []
    assert watched.said == []
    watched.context.close()


def test_traces_are_moved_and_scaled_by_mouse_and_keys(chromium: Browser, address: str) -> None:
    """The wheel with Ctrl, the arrows, plus and nought; and a click sets the time of a mark."""
    watched = Watched(chromium, LARGE, "dark")
    page = opened(watched, address)
    box = page.locator("#paper").bounding_box()
    assert box is not None
    first = page.locator("#brackets").inner_html()
    page.mouse.move(box["x"] + 400, box["y"] + 300)
    page.keyboard.down("Control")
    page.mouse.wheel(0, -600)
    page.keyboard.up("Control")
    page.wait_for_function("first => document.querySelector('#brackets').innerHTML !== first", arg=first)
    assert re.match(r"\d\d:\d\d:\d\d\.\d +height [\d\u202f]+ ft", page.inner_text("#readout"))
    page.mouse.click(box["x"] + 400, box["y"] + 300)
    assert page.input_value("#mark-time") == page.inner_text("#readout")[:10]
    page.locator("#paper").focus()
    page.keyboard.press("0")
    page.wait_for_function("first => document.querySelector('#brackets').innerHTML === first", arg=first)
    page.keyboard.press("PageDown")
    page.wait_for_selector("tr.chosen")
    assert page.locator(".bracket.chosen").count() == 1
    assert watched.said == []
    watched.context.close()


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("size", [LARGE, TABLET, (720, 450)], ids=["large", "tablet", "at 200 %"])
def test_the_pages_are_sound_in_every_light_and_size(
    chromium: Browser, address: str, size: tuple[int, int], scheme: str
) -> None:
    """No serious fault, nothing wider than the window, fingers find what they touch."""
    watched = Watched(chromium, size, scheme)
    page = opened(watched, address)
    choose(page, "stall")
    assert watched.faults() == []
    assert watched.overflow() <= 0
    asked = "/d/demo/recordings/attach?path=recordings/flight-3a-engine.csv"
    for path in ("", "/d/demo/flights", asked):
        if path:
            page.goto(address + path)
            assert watched.faults() == [], path
            assert watched.overflow() <= 0, path
        if size == TABLET:
            small = page.evaluate(
                """(touched) => [...document.querySelectorAll(touched)]
                .map(e => [e.outerHTML.slice(0, 80), e.getBoundingClientRect().height])
                .filter(([, height]) => height > 0 && height < 43.5)""",
                "button, input:not([type=hidden], [type=radio]), select, summary, .choice, nav a, table a",
            )
            assert small == [], path
    assert watched.said == []
    watched.context.close()


def test_a_table_is_dropped_mapped_and_seen_as_a_flight(
    chromium: Browser, address: str, shelf: Path, tmp_path: Path
) -> None:
    """A log with positions as CSV: chosen, its zone told, named on a new card, its manoeuvres found."""
    recording = tmp_path / "circuits.csv"
    recording.write_text(as_table(shelf / "demo/recordings/flight-3a.gpx"), encoding="utf-8")
    watched = Watched(chromium, LARGE, "light")
    page = watched.page
    page.set_default_timeout(PATIENCE)
    page.goto(address + "/d/demo/flights")
    page.set_input_files("#files", recording)
    page.click("#received a")
    page.wait_for_selector("text=The zone of its times is to be given")
    page.fill("#zone", "+00:00")
    page.select_option("[name=channel-3]", "height")
    page.fill("[name=unit-3]", "m")
    page.click("text=Read the first rows again")
    page.wait_for_selector("th:has-text('height, ft')")
    assert page.input_value("#zone") == "+00:00"
    page.fill("#title", "Circuits as a table")
    page.select_option("#like", CARD)
    page.fill("#weather_time", "2025-06-17T12:00Z")
    reading = {
        "elevation": "310 m", "qnh": "1018", "temperature": "14", "wind_direction": "240", "wind_speed": "7",
        "wind_speed_sd": "1", "wind_height": "10",
    }  # fmt: skip
    for field, value in reading.items():
        page.fill(f"#{field}", value)
    page.click("text=Name it on the card")
    page.wait_for_selector(".bracket")
    assert "Circuits as a table" in page.inner_text("h1")
    assert page.locator("[data-choose]", has_text="take-off").count() >= 3
    assert watched.said == []
    watched.context.close()


def as_table(gpx: Path) -> str:
    """A GPX track as rows of time, place and a height under a name that says nothing."""
    fixes = re.findall(
        r'<trkpt lat="([^"]+)" lon="([^"]+)">\s*<ele>([^<]+)</ele>\s*<time>([^<]+)Z</time>',
        gpx.read_text("utf-8"),
    )
    lines = [f"{time},{lat},{lon},{height}" for lat, lon, height, time in fixes]
    assert len(lines) > 1000
    return "\n".join(("Time,Latitude,Longitude,Z (m)", *lines, ""))
