"""The points page: every point with its origin, its uncertainty and its place against the fit."""

from __future__ import annotations

import json
import re
from html import unescape
from pathlib import Path

import pytest
from starlette.testclient import TestClient

from wringout.evaluation import Evaluation
from wringout.evaluation.point_rows import KINDS, point_rows

PAGE = "/d/demo/points"


def _plain(html: str) -> str:
    return " ".join(unescape(re.sub(r"<[^>]+>", " ", html)).replace("\u00a0", " ").split())


@pytest.mark.parametrize("kind", KINDS)
def test_each_point_has_a_row_that_leads_to_its_span(
    evaluated: TestClient, demo: Evaluation, kind: str
) -> None:
    """A link with the card and the seconds of the recording stands at every point; figures have ± ."""
    answer = evaluated.get(PAGE, params={"kind": kind})
    assert answer.status_code == 200
    rows = {str(name): found for name, found in point_rows(demo.points, demo.fit).items()}[kind]
    assert rows
    for row in rows:
        origin = row.point.origin
        link = f'href="/d/demo/flights/{origin.card}#span={origin.start:.1f}-{origin.end:.1f}"'
        assert answer.text.count(link) == 1
        assert origin.recording in unescape(answer.text)
    assert answer.text.count('<span class="sd"> ±') >= 3 * len(rows)


@pytest.mark.parametrize(
    ("kind", "figures"),
    [
        ("level", 1), ("climb", 2), ("glide", 1), ("stall", 1), ("take-off", 2), ("landing", 3),
        ("position error", 1), ("cameras", 1),
    ],
)  # fmt: skip
def test_each_kind_has_its_figures_in_both_palettes(evaluated: TestClient, kind: str, figures: int) -> None:
    """They read as specifications; the same number stands in light and in dark."""
    html = evaluated.get(PAGE, params={"kind": kind}).text
    data = re.findall(r'class="drawn in-(light|dark)".*?<script type="application/json">(.*?)</script>', html)
    assert [palette for palette, _ in data] == ["light", "dark"] * figures
    for _, spec in data:
        assert json.loads(spec)["layer"]


def test_without_a_kind_the_first_is_shown_and_an_unknown_one_does_no_harm(evaluated: TestClient) -> None:
    """The address alone opens level flight, and so does one with a kind that is none."""
    first = evaluated.get(PAGE).text
    assert 'aria-current="page">Level flight' in first
    assert 'aria-current="page">Level flight' in evaluated.get(PAGE, params={"kind": "<b>"}).text


def test_the_first_sentence_counts_the_points(evaluated: TestClient, demo: Evaluation) -> None:
    """Every kind with its number, and whether any is out of line."""
    words = _plain(evaluated.get(PAGE).text)
    assert f"{len(demo.points.stalls)} stalls" in words
    assert "are reduced; " in words


def test_what_was_left_out_is_told_with_its_reason(evaluated: TestClient, demo: Evaluation) -> None:
    """Each planned point that was not flown, and each manoeuvre that belongs to none."""
    words = _plain(evaluated.get(PAGE, params={"kind": "left out"}).text)
    assert demo.points.left_out
    for item in demo.points.left_out:
        assert " ".join(item.reason.split()) in words


def test_an_outlier_is_named_with_its_reason(demo: Evaluation) -> None:
    """A figure that was set aside is told by card and point, and why."""
    from dataclasses import replace

    from wringout.web.point_words import outlier_rows

    odd = replace(demo.fit.residuals[0], outlier=True, standardised=-5.2)
    rows = outlier_rows([odd, *demo.fit.residuals[1:]])
    assert [row["point"] for row in rows] == [odd.origin.point]
    assert "−5.2 standard deviations" in rows[0]["why"]


def test_a_dossier_that_is_not_evaluated_says_so_with_the_button(browser: TestClient) -> None:
    """One sentence, and the button that evaluates."""
    for part in ("points", "model", "claims", "report"):
        answer = browser.get(f"/d/mine/{part}")
        assert answer.status_code == 200
        assert "yet to be computed." in _plain(answer.text)
        assert 'hx-post="/d/mine/work/evaluate"' in answer.text


def test_a_dossier_with_an_error_says_what_it_waits_for(browser: TestClient, shelf: Path) -> None:
    """The problem stands there with its file instead of the button."""
    (shelf / "mine" / "airplane.toml").write_text("name = ", encoding="utf-8")
    for part in ("points", "model", "claims", "report"):
        answer = browser.get(f"/d/mine/{part}")
        assert answer.status_code == 200
        assert "until the dossier reads without an error" in _plain(answer.text)
        assert "work/evaluate" not in answer.text
