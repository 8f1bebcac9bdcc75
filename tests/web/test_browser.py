"""The workbench in a real browser: from an empty shelf to the demo's answer, without a fault."""

from __future__ import annotations

import re
import shutil
import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING, Any
from urllib.parse import urlsplit

import pytest

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Page

CHROMIUM = shutil.which("chromium") or shutil.which("chromium-browser")
SWITCHES = (
    "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-background-networking",
    "--disable-component-update", "--disable-sync",
)  # fmt: skip
AXE = (Path(__file__).parent / "axe" / "axe.min.js").read_text(encoding="utf-8")
LARGE, TABLET = (1440, 900), (768, 1024)
PATIENCE, SOON = 180_000, 20_000  # ms for what is computed, for what is not; a loaded machine is slow

pytestmark = pytest.mark.skipif(CHROMIUM is None, reason="no chromium on this machine: apt install chromium")


@contextmanager
def running(folder: Path) -> Iterator[str]:
    """The command itself over a folder, behind a free port; its address."""
    command = [sys.executable, "-c", "from wringout.cli import main; main()"]
    server = subprocess.Popen(
        [*command, "workbench", str(folder), "--port", "0", "--no-browser"], stdout=subprocess.PIPE, text=True
    )
    assert server.stdout is not None
    with server.stdout:
        line = server.stdout.readline()
        found = re.search(r"http://127\.0\.0\.1:\d+/", line)
        assert found, line
        yield found[0]
        server.terminate()
        server.wait(30)


@pytest.fixture(scope="module")
def address(tmp_path_factory: pytest.TempPathFactory) -> Iterator[str]:
    """The workbench over an empty folder."""
    with running(tmp_path_factory.mktemp("shelf")) as found:
        yield found


class Watched:
    """A page of which every word on the console and every request is noted."""

    def __init__(self, browser: Browser, size: tuple[int, int], scheme: Any) -> None:
        self.said: list[str] = []
        self.asked: list[str] = []
        viewport: Any = {"width": size[0], "height": size[1]}
        self.context = browser.new_context(viewport=viewport, color_scheme=scheme, has_touch=size == TABLET)
        self.page: Page = self.context.new_page()
        self.page.on("console", lambda word: self.said.append(word.text))
        self.page.on("pageerror", lambda error: self.said.append(str(error)))
        self.page.on("request", lambda request: self.asked.append(request.url))

    def faults(self, rules: list[str] | None = None) -> list[str]:
        """What axe finds that is serious or worse, where it is and why; by some of its rules or by all."""
        self.page.evaluate(AXE)
        asked = {"resultTypes": ["violations"], **({"runOnly": rules} if rules else {})}
        found = self.page.evaluate("asked => axe.run(document, asked)", asked)["violations"]
        return [
            f"{rule['id']}: {node['html'][:120]} {node['failureSummary'][:200]}"
            for rule in found
            if rule["impact"] in {"serious", "critical"}
            for node in rule["nodes"]
        ]

    def overflow(self) -> int:
        """By how many pixels the page is wider than the window."""
        return int(self.page.evaluate("document.documentElement.scrollWidth - innerWidth"))


def test_from_an_empty_shelf_to_the_answer_of_the_demo(chromium: Browser, address: str) -> None:
    """Made, evaluated, read, edited, taken back; nothing on the console, no request to elsewhere."""
    watched = Watched(chromium, LARGE, "light")
    page = watched.page
    page.set_default_timeout(PATIENCE)
    page.goto(address)
    assert "No dossier is here yet" in page.inner_text("main")
    assert watched.faults() == []
    page.fill("#name", "demo")
    page.check("input[value=demo]")
    page.click("text=Make it")
    page.click("table.shelf a")
    page.wait_for_selector("text=Nothing is evaluated yet.")
    assert watched.faults() == []
    page.click("button:has-text('Evaluate')")
    page.wait_for_selector("progress")
    page.reload()
    page.wait_for_selector("progress, .answer")
    page.wait_for_selector("h1.answer")
    page.set_default_timeout(SOON)
    assert re.search(r"It lifts \d+\s?kg", page.inner_text("h1"))
    assert page.locator(".headlines dt").count() == 5
    page.wait_for_selector("#chart-take-off .in-light svg path")
    page.click("#chart-take-off summary")
    assert page.locator("#chart-take-off tbody tr").count() > 5
    assert watched.faults() == []
    page.fill("#f-dossier-toml-place", "Another place")
    page.keyboard.press("Enter")
    page.wait_for_selector("text=Kept.")
    page.fill("#f-dossier-toml-place", "A third place")  # on the version that the first edit brought
    page.keyboard.press("Tab")
    page.wait_for_selector("button:has-text('→ A third place')")
    page.click("button:has-text('Take back')")
    page.wait_for_selector("button:has-text('Do again')")
    assert page.input_value("#f-dossier-toml-place") == "Another place"
    page.fill("#f-dossier-toml-title", " ")
    page.keyboard.press("Enter")
    page.wait_for_selector(".fault")
    assert watched.said[-1:] == [word for word in watched.said if "422" in word]
    assert page.input_value("#f-dossier-toml-title") == " "
    assert [word for word in watched.said if "422" not in word] == []
    assert {urlsplit(asked).netloc for asked in watched.asked} == {urlsplit(address).netloc}
    watched.context.close()


@pytest.mark.parametrize("size", [LARGE, TABLET, (720, 450)], ids=["large", "tablet", "at 200 %"])
@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_every_page_is_sound_in_every_light_and_size(
    chromium: Browser, copied_demo: str, size: tuple[int, int], scheme: str
) -> None:
    """No serious fault, nothing wider than the window, no word on the console."""
    watched = Watched(chromium, size, scheme)
    for path in ("", "d/demo/", "d/demo/text/airplane.toml?line=12#text"):
        watched.page.goto(copied_demo + path)
        watched.page.wait_for_load_state("networkidle")
        assert watched.faults() == [], path
        assert watched.overflow() <= 0, path
    assert watched.said == []
    watched.context.close()


def test_what_a_finger_touches_is_large_enough(chromium: Browser, copied_demo: str) -> None:
    """44 px or more on a tablet, but for links within a sentence."""
    watched = Watched(chromium, TABLET, "light")
    for path in ("", "d/demo/"):
        watched.page.goto(copied_demo + path)
        small = watched.page.evaluate(
            """(touched) => [...document.querySelectorAll(touched)]
            .map(e => [e.outerHTML.slice(0, 80), e.getBoundingClientRect().height])
            .filter(([, height]) => height > 0 && height < 43.5)""",
            "button, input:not([type=hidden], [type=radio]), select, summary, .choice, nav a, table a",
        )
        assert small == [], path
    watched.context.close()


def test_the_keyboard_reaches_the_page_first(chromium: Browser, copied_demo: str) -> None:
    """The first stop is the way past the margin, and it can be seen."""
    watched = Watched(chromium, LARGE, "light")
    watched.page.goto(copied_demo + "d/demo/")
    watched.page.keyboard.press("Tab")
    box = watched.page.locator(".skip:focus").bounding_box()
    assert box is not None
    assert box["y"] >= 0
    watched.page.keyboard.press("Enter")
    assert watched.page.evaluate("document.activeElement.id") == "main"
    watched.context.close()


def test_on_paper_a_page_is_light(chromium: Browser, copied_demo: str) -> None:
    """Printed from a dark screen: the light drawing, no controls."""
    watched = Watched(chromium, LARGE, "dark")
    watched.page.goto(copied_demo + "d/demo/")
    watched.page.wait_for_load_state("networkidle")
    watched.page.wait_for_selector("#chart-take-off .in-light svg", state="attached")
    watched.page.emulate_media(media="print")
    assert watched.page.locator("#chart-take-off .in-light").is_visible()
    assert not watched.page.locator("#chart-take-off .in-dark").is_visible()
    assert not watched.page.locator("nav.parts").is_visible()
    assert (
        watched.page.evaluate("getComputedStyle(document.documentElement).backgroundColor")
        == "rgb(255, 255, 255)"
    )
    watched.context.close()
