"""The claims page: verdicts in words, evidence down to the seconds of a recording, changed claims."""

from __future__ import annotations

import re
import shutil
import tomllib
from collections.abc import Iterator
from html import unescape
from pathlib import Path
from typing import TYPE_CHECKING
from xml.etree.ElementTree import fromstring

import pytest
from starlette.testclient import TestClient

from tests.web.test_browser import CHROMIUM, LARGE, SOON, TABLET, Watched
from wringout.dossier.history import version_of
from wringout.evaluation import Evaluation
from wringout.web.app import create_app

if TYPE_CHECKING:
    from playwright.sync_api import Browser

PAGE = "/d/demo/claims"
ORIGIN = "http://127.0.0.1"


def _plain(html: str) -> str:
    return " ".join(unescape(re.sub(r"<[^>]+>", " ", html)).replace("\u00a0", " ").split())


def test_each_claim_stands_there_with_its_verdict(evaluated: TestClient, demo: Evaluation) -> None:
    """Its words, where it was published, finding and reason, and the rule with its probability in words."""
    answer = evaluated.get(PAGE)
    words = _plain(answer.text)
    assert answer.status_code == 200
    assert f"Of {len(demo.verdicts)} claims:" in words
    for verdict in demo.verdicts:
        assert " ".join(verdict.claim.statement.split()) in words
        assert verdict.claim.published in words
        assert verdict.finding in words
        assert " ".join(verdict.reason.split())[1:] in words
        spoken = "not tested"
        if verdict.probability is not None:
            spoken = f"probability that the claim holds: {verdict.probability:.2f}"
        assert f'aria-label="{spoken}"' in answer.text


def test_evidence_is_shown_with_its_arithmetic_and_its_seconds(
    evaluated: TestClient, demo: Evaluation
) -> None:
    """Every line of arithmetic, every origin as a link to its span, and a trace of it that is sound SVG."""
    for number, verdict in enumerate(demo.verdicts):
        answer = evaluated.get(f"{PAGE}/{number}/evidence")
        assert answer.status_code == 200
        words = _plain(answer.text)
        for row in verdict.evidence:
            assert " ".join(row.arithmetic.split())[1:] in words
        for assumption in verdict.assumptions:
            assert " ".join(assumption.split())[1:] in words
        origins = [origin for row in verdict.evidence for origin in row.origins]
        for origin in origins:
            assert f"/flights/{origin.card}#span={origin.start:.1f}-{origin.end:.1f}" in answer.text
        drawings = re.findall(r"<svg.*?</svg>", answer.text, re.DOTALL)
        assert len(drawings) == len(origins)
        for drawing in drawings:
            assert "height" in fromstring(drawing).attrib["aria-label"]


def test_a_claim_that_is_not_there_is_told(evaluated: TestClient) -> None:
    """A number beyond the last is answered in words."""
    for part in ("evidence", "fields"):
        assert evaluated.get(f"{PAGE}/99/{part}").status_code == 404


@pytest.fixture
def changed(demo: Evaluation, tmp_path: Path) -> Iterator[tuple[TestClient, Path]]:
    """A copy of the evaluated demo that a test may change."""
    root = tmp_path / "demo"
    shutil.copytree(demo.dossier.root, root)
    with TestClient(create_app(tmp_path), base_url=ORIGIN, headers={"origin": ORIGIN}) as client:
        yield client, root


def test_a_changed_claim_waits_to_be_judged_anew(changed: tuple[TestClient, Path]) -> None:
    """Its figure is edited in its field; claims are then stale, while points and model stand."""
    client, root = changed
    assert "41 kt" in client.get(f"{PAGE}/0/fields").text
    sent = client.post(
        "/d/demo/edit",
        data={
            "file": "claims.toml",
            "version": version_of(root, "claims.toml"),
            "path": '["claim", 0, "value"]',
            "value": "40 kt",
        },
    )
    assert sent.status_code == 200
    assert tomllib.loads((root / "claims.toml").read_text(encoding="utf-8"))["claim"][0]["value"] == "40 kt"
    assert "are to be computed anew" in _plain(client.get(PAGE).text)
    assert client.get(f"{PAGE}/0/evidence").status_code == 422
    assert "are reduced; " in _plain(client.get("/d/demo/points").text)
    assert "Take-off over 15 m takes" in _plain(client.get("/d/demo/model").text)


def test_a_dossier_without_claims_says_what_to_do(changed: tuple[TestClient, Path]) -> None:
    """The empty state is one sentence that names the file."""
    from wringout.evaluation import evaluate

    client, root = changed
    (root / "claims.toml").unlink()
    evaluate(root)
    words = _plain(client.get(PAGE).text)
    assert "No claims were registered." in words
    assert "Write what the maker says" in words


@pytest.mark.skipif(CHROMIUM is None, reason="no chromium on this machine: apt install chromium")
@pytest.mark.parametrize(("size", "scheme"), [(LARGE, "dark"), (TABLET, "light")])
def test_evidence_opens_in_place(
    chromium: Browser, served_demo: str, size: tuple[int, int], scheme: str
) -> None:
    """By key the evidence opens under its claim and leads to the flight at its span, the manoeuvre chosen."""
    watched = Watched(chromium, size, scheme)
    page = watched.page
    page.set_default_timeout(SOON)
    page.goto(f"{served_demo}{PAGE}")
    page.locator("#claim-0 summary").first.focus()
    page.keyboard.press("Enter")
    page.wait_for_selector("#claim-0 .span svg")
    assert page.locator("#claim-0 .span svg").count() == 3
    assert watched.overflow() <= 0
    assert watched.faults() == []
    page.locator("#claim-0 .span a").first.click()
    page.wait_for_selector("#reading h2, #reading .moments, #reading input")
    assert "#span=" in page.url
    assert page.locator(".list tr.chosen").count() == 1
    assert watched.said == []
    watched.context.close()
