"""The report page: its pages as pictures, its files to take along, and the page with live figures."""

from __future__ import annotations

import io
import re
from html import unescape
from pathlib import Path
from typing import TYPE_CHECKING

import pytest
from pypdf import PdfReader
from starlette.testclient import TestClient

from tests.charts.picture import pixels
from tests.web.test_browser import CHROMIUM, LARGE, SOON, TABLET, Watched
from wringout.evaluation import Evaluation

if TYPE_CHECKING:
    from playwright.sync_api import Browser

PAGE = "/d/demo/report"


def _plain(html: str) -> str:
    return " ".join(unescape(re.sub(r"<[^>]+>", " ", html)).replace("\u00a0", " ").split())


def test_the_page_says_whether_the_report_is_written(evaluated: TestClient, demo: Evaluation) -> None:
    """Not yet written, it offers to write; the title is the dossier's."""
    answer = evaluated.get(PAGE)
    assert demo.dossier.title in _plain(answer.text)
    assert "it is not yet written into its folder" in _plain(answer.text)
    assert 'hx-post="/d/demo/work/report"' in answer.text


def test_as_many_pictures_as_the_pdf_has_pages(evaluated: TestClient) -> None:
    """Each page is a PNG of the paper's shape, and the preview names all of them."""
    pdf = PdfReader(io.BytesIO(evaluated.get(f"{PAGE}/report.pdf").content))
    preview = evaluated.get(f"{PAGE}/preview").text
    pages = re.findall(r'src="(/d/demo/report/pages/\d+\.png[^"]*)"', preview)
    assert len(pages) == len(pdf.pages)
    picture = evaluated.get(unescape(pages[0]))
    assert picture.headers["content-type"] == "image/png"
    height, width = pixels(picture.content).shape[:2]
    assert height / width == pytest.approx(297 / 210, rel=0.002)  # A4 by ISO 216
    assert evaluated.get(f"{PAGE}/pages/{len(pages) + 1}.png").status_code == 404


def test_letter_paper_has_its_own_size(evaluated: TestClient) -> None:
    """8.5 by 11 inches, 72 points to the inch."""
    answer = evaluated.get(f"{PAGE}/report.pdf", params={"paper": "us-letter"})
    box = PdfReader(io.BytesIO(answer.content)).pages[0].mediabox
    assert (float(box.width), float(box.height)) == pytest.approx((612.0, 792.0))
    assert evaluated.get(PAGE, params={"paper": "foolscap"}).status_code == 422


def test_each_figure_is_had_as_svg_and_png(evaluated: TestClient) -> None:
    """The links of the preview give what their endings say."""
    links = re.findall(r'href="(/d/demo/report/figures/[^"]+)"', evaluated.get(f"{PAGE}/preview").text)
    assert sum(link.endswith(".svg") for link in links) > 20
    chosen = [link for link in links if "take-off-distance" in link or "airplane" in link]
    assert [link.rsplit(".", 1)[1] for link in chosen] == ["svg", "svg", "png"]
    for link in chosen:
        answer = evaluated.get(link)
        assert answer.status_code == 200
        if link.endswith(".png"):
            assert pixels(answer.content).shape[1] > 800
        else:
            assert answer.text.startswith("<svg")
    assert evaluated.get(f"{PAGE}/figures/airplane.png").status_code == 404
    assert evaluated.get(f"{PAGE}/figures/..%2Fsecret.svg").status_code == 404


def test_the_live_page_is_sent_under_its_own_policy(evaluated: TestClient) -> None:
    """The header is the page's own policy; saved, it is a file."""
    shown = evaluated.get(f"{PAGE}/report.html")
    policy = shown.headers["content-security-policy"]
    assert policy.startswith("default-src 'none'; script-src 'sha256-")
    assert "unsafe" not in policy
    assert shown.headers["content-disposition"].startswith("inline")
    saved = evaluated.get(f"{PAGE}/report.html", params={"save": "true"})
    assert saved.headers["content-disposition"] == 'attachment; filename="demo report.html"'
    assert saved.content == shown.content


@pytest.mark.skipif(CHROMIUM is None, reason="no chromium on this machine: apt install chromium")
@pytest.mark.parametrize(("size", "scheme"), [(LARGE, "light"), (TABLET, "dark")])
def test_the_report_in_a_browser(
    chromium: Browser, served_demo: str, size: tuple[int, int], scheme: str
) -> None:
    """The sheets come by themselves; nothing runs over, nothing is wrong for a screen reader."""
    watched = Watched(chromium, size, scheme)
    page = watched.page
    page.set_default_timeout(60_000)
    page.goto(f"{served_demo}{PAGE}")
    page.wait_for_selector(".sheets img")
    page.wait_for_function("() => document.querySelector('.sheets img').naturalWidth > 500")
    assert watched.overflow() <= 0
    assert watched.faults() == []
    assert watched.said == []
    watched.context.close()


@pytest.fixture
def live_page(evaluated: TestClient, tmp_path: Path) -> Path:
    """The page with live figures, saved as a file."""
    file = tmp_path / "report.html"
    file.write_bytes(evaluated.get(f"{PAGE}/report.html").content)
    return file


@pytest.mark.skipif(CHROMIUM is None, reason="no chromium on this machine: apt install chromium")
@pytest.mark.parametrize(("size", "scheme"), [(LARGE, "dark"), (TABLET, "light")])
def test_the_live_page_draws_every_figure_and_asks_nothing(
    chromium: Browser, served_demo: str, live_page: Path, size: tuple[int, int], scheme: str
) -> None:
    """From a file, without a server: one request in all, every figure drawn, in the colours of the light."""
    for address in (live_page.as_uri(), f"{served_demo}{PAGE}/report.html"):
        watched = Watched(chromium, size, scheme)
        page = watched.page
        page.set_default_timeout(60_000)
        page.goto(address)
        page.wait_for_function(
            "() => [...document.querySelectorAll('[data-figure]')].every((one) => one.querySelector('svg'))"
        )
        page.set_default_timeout(SOON)
        asked = [one for one in watched.asked if not one.endswith("/favicon.ico")]
        assert asked == [address]
        ground = page.evaluate("getComputedStyle(document.documentElement).backgroundColor")
        drawn = page.evaluate("document.querySelector('[data-figure] svg').outerHTML")
        assert ground == {"dark": "rgb(22, 25, 27)", "light": "rgb(251, 249, 244)"}[scheme]
        assert {"dark": "#E9E5DA", "light": "#20282C"}[scheme] in drawn.upper()
        assert {"dark": "#20282C", "light": "#E9E5DA"}[scheme] not in drawn.upper()
        assert watched.overflow() <= 0
        assert watched.faults() == []
        assert watched.said == []
        watched.context.close()
