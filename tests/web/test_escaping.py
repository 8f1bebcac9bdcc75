"""Whatever the files of a dossier say stays text: on every page, in every piece of one, in the report."""

from __future__ import annotations

from collections import deque
from collections.abc import Iterator
from html.parser import HTMLParser
from pathlib import Path
from urllib.parse import urlsplit

import pytest
from starlette.testclient import TestClient

from tests.web.conftest import ORIGIN
from tests.web.hostile import MARK, make_hostile
from wringout.evaluation import evaluate
from wringout.web.app import create_app

DATA = {"application/json", "application/ld+json"}
MOST = 250  # pages; a crawl that goes on for ever is a fault too


class Seen(HTMLParser):
    """What a browser would make of a page: where it leads, what would run, the text that is read."""

    def __init__(self) -> None:
        super().__init__()
        self.links: list[str] = []
        self.runs: list[str] = []
        self.ids: list[str] = []
        self.text: list[str] = []
        self._script = False

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        given = dict(attrs)
        self._script = tag == "script" and given.get("type") not in DATA
        if self._script and not (given.get("src") or "").startswith("/static/"):
            self.runs.append(f"<script> {given}")
        self.runs += [f"<{tag} {key}>" for key in given if key.startswith(("on", "hx-on"))]
        if tag in {"a", "form"} and str(given.get("href") or "").split(":")[0].lower() == "javascript":
            self.runs.append(f"<a href={given['href']}>")
        if tag == "img" and given.get("src") == "x":
            self.runs.append("<img src=x>")
        self.links += [str(given[key]) for key in ("href", "hx-get") if given.get(key)]
        self.ids += [str(given["id"])] if given.get("id") else []
        self.text += [str(given[key]) for key in ("value", "title", "aria-label") if given.get(key)]

    def handle_endtag(self, tag: str) -> None:
        self._script = self._script and tag != "script"

    def handle_data(self, data: str) -> None:
        if self._script and data.strip():
            self.runs.append(f"inline {data[:80]}")
        self.text.append(data)


@pytest.fixture(scope="module")
def hostile(tmp_path_factory: pytest.TempPathFactory, demo_root: Path) -> Iterator[TestClient]:
    """A browser before an evaluated dossier of scripts."""
    shelf: Path = tmp_path_factory.mktemp("hostile")
    make_hostile(demo_root, shelf / "hostile")
    evaluate(shelf / "hostile")
    app = create_app(shelf)
    headers = {"origin": ORIGIN}
    with TestClient(app, base_url=ORIGIN, headers=headers, raise_server_exceptions=False) as client:
        yield client


def crawl(client: TestClient, start: str) -> dict[str, tuple[str, Seen]]:
    """Every HTML answer that can be reached by links and fetched pieces, read as a browser reads it."""
    waiting, met = deque([start]), {start}
    found: dict[str, tuple[str, Seen]] = {}
    while waiting and len(found) < MOST:
        path = waiting.popleft()
        answer = client.get(path)
        assert answer.status_code == 200, (path, answer.status_code)
        if not answer.headers["content-type"].startswith("text/html"):
            continue
        seen = Seen()
        seen.feed(answer.text)
        found[path] = (answer.text, seen)
        for link in seen.links:
            base = urlsplit(path)
            whole = f"{base.path}{link}" if link.startswith("?") else link.split("#")[0]
            if whole.startswith("/") and whole not in met:
                met.add(whole)
                waiting.append(whole)
    return found


def test_nothing_that_a_file_says_runs_on_any_page(hostile: TestClient) -> None:
    """Scripts, pictures, handlers and quotes of the files are text, and escaped once only."""
    pages = crawl(hostile, "/")
    parts = (
        "airplane",
        "loading",
        "machine",
        "machine/electrics",
        "flights",
        "points",
        "model",
        "claims",
        "report",
        "report/preview",
    )
    for part in parts:
        assert f"/d/hostile/{part}" in {path.split("?")[0] for path in pages}, part
    exports = {path for path in pages if path.split("?")[0].endswith("report.html")}
    assert exports
    shown = 0
    for path, (text, seen) in pages.items():
        if path in exports:
            continue  # has scripts of its own; the next test
        assert seen.runs == [], path
        assert "&amp;lt;script" not in text, path
        assert "&amp;#39;" not in text, path
        twice = {key for key in seen.ids if seen.ids.count(key) > 1}
        assert not twice, path
        shown += any(MARK in word for word in seen.text)
    assert shown > 12
    assert len(pages) < MOST


def test_the_reports_own_page_runs_no_script_but_its_own(hostile: TestClient) -> None:
    """The page that stands by itself states by hash which scripts may run; what files say is text in it."""
    answer = hostile.get("/d/hostile/report/report.html")
    seen = Seen()
    seen.feed(answer.text)
    assert not [run for run in seen.runs if "alert" in run or run.startswith(("<img", "<a"))]
    assert not [run for run in seen.runs if " on" in run]
    assert any(MARK in word for word in seen.text)
    policy = answer.headers["content-security-policy"]
    assert "unsafe" not in policy.replace("'wasm-unsafe-eval'", "")
    assert "default-src 'none'" in policy


def test_the_printed_report_holds_the_words_as_they_are(hostile: TestClient) -> None:
    """In print too a script is a line of text."""
    import io

    from pypdf import PdfReader

    data = hostile.get("/d/hostile/report/report.pdf").content
    text = "".join(page.extract_text() for page in PdfReader(io.BytesIO(data)).pages)
    assert "<script>" in text.replace("\n", "")
    assert "&lt;" not in text
