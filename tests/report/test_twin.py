"""The report as a page by itself: the same words as in print, live figures, nothing from anywhere else."""

from __future__ import annotations

import base64
import hashlib
import json
import re
from dataclasses import replace
from html import unescape
from html.parser import HTMLParser
from typing import Any

import pytest

from tests.report.sample import evaluation
from wringout.charts.theme import DARK, LIGHT
from wringout.report import content, html
from wringout.report.drawing import drawn_figures
from wringout.report.twin import policy_of

WHOLE = evaluation()


class Read(HTMLParser):
    """Scripts, styles and addresses of a page, and its words."""

    def __init__(self, page: str) -> None:
        super().__init__(convert_charrefs=True)
        self.inside = ""
        self.kinds: list[str] = []
        self.held: dict[str, list[str]] = {"script": [], "style": []}
        self.addresses: list[str] = []
        self.attributes: list[str] = []
        self.words: list[str] = []
        self.feed(page)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        """Note where it leads and what it holds."""
        given = dict(attrs)
        self.attributes += given
        self.addresses += [given[name] or "" for name in ("src", "href", "action", "data") if name in given]
        if tag in self.held:
            self.inside = tag
            self.held[tag].append("")
            if tag == "script":
                self.kinds.append(given.get("type") or "")

    def handle_endtag(self, tag: str) -> None:
        """Scripts and styles hold no elements."""
        if tag == self.inside:
            self.inside = ""

    def handle_data(self, data: str) -> None:
        """Words, or what a script holds."""
        if self.inside:
            self.held[self.inside][-1] += data
        else:
            self.words.append(data)


@pytest.fixture(scope="module")
def page() -> bytes:
    """The sample's report."""
    return html(WHOLE)


@pytest.fixture(scope="module")
def read(page: bytes) -> Read:
    """Its parts."""
    return Read(page.decode())


def _strings(part: Any) -> list[str]:
    if isinstance(part, str):
        return [part]
    if isinstance(part, dict):
        return [
            one
            for name, value in part.items()
            if name not in {"type", "name", "kind", "alt"}
            for one in _strings(value)
        ]
    return [one for item in part for one in _strings(item)] if isinstance(part, list) else []


def test_it_says_what_the_print_says(read: Read) -> None:
    """Every word of front page and sections that is printed stands on the page too."""
    said = content(WHOLE)
    wanted = _strings([said[part] for part in ("over", "title", "answer", "headlines", "front", "sections")])
    words = " ".join(" ".join(read.words).split())
    missing = [one for one in wanted if " ".join(one.split()) not in words]
    assert missing == []
    assert len(wanted) > 500


def test_it_asks_nothing_of_anyone(read: Read) -> None:
    """All addresses lie on the page itself; no style stands in an attribute, no script in a handler."""
    assert read.addresses
    assert [one for one in read.addresses if not one.startswith("#")] == []
    assert not [name for name in read.attributes if name == "style" or name.startswith("on")]
    for style in read.held["style"]:
        assert re.findall(r"url\((?!data:font/ttf;base64,)|@import", style) == []


def test_its_policy_lets_in_its_own_scripts_and_style_alone(read: Read, page: bytes) -> None:
    """Its hashes are SHA-256 of each element's text in base64 (Content Security Policy, from memory)."""
    policy = unescape(policy_of(page))
    assert "default-src 'none'" in policy
    assert "unsafe" not in policy
    code = [text for text, kind in zip(read.held["script"], read.kinds, strict=True) if kind == "module"]
    assert len(code) == 2
    for text in (*code, *read.held["style"]):
        digest = base64.b64encode(hashlib.sha256(text.encode()).digest()).decode()
        assert f"'sha256-{digest}'" in policy


def test_every_figure_is_there_to_be_drawn_in_both_palettes(read: Read) -> None:
    """Each specification reads as JSON; each of its colours has its like in the dark."""
    data = [
        json.loads(text) for text, kind in zip(read.held["script"], read.kinds, strict=True) if "json" in kind
    ]
    specs = [one for one in data if "$schema" in one]
    colours = next(one for one in data if "$schema" not in one)
    drawings = {item.name for item in drawn_figures(WHOLE) if item.svg and item.spec is None}
    figures = [block for block in _blocks(content(WHOLE)["sections"]) if block["type"] == "figure"]
    assert len(specs) == len([block for block in figures if block["name"] not in drawings])
    used = set(re.findall(r"#[0-9A-F]{6}", json.dumps(specs)))
    assert used <= set(colours)
    assert colours[LIGHT.paper] == DARK.paper
    assert colours[LIGHT.series[0].mark] == DARK.series[0].mark


def _blocks(part: Any) -> list[dict[str, Any]]:
    if isinstance(part, list):
        return [one for item in part for one in _blocks(item)]
    if not isinstance(part, dict):
        return []
    mine = [part] if "type" in part else []
    return mine + [one for value in part.values() for one in _blocks(value)]


def test_words_of_a_dossier_stay_words() -> None:
    """A title that would end a script or begin one is only shown."""
    bad = '</script><script>alert("x")</script>'
    page = html(replace(WHOLE, dossier=replace(WHOLE.dossier, title=bad, evaluator=bad)))
    found = Read(page.decode())
    assert found.kinds.count("module") == 2
    assert "" not in found.kinds
    assert bad in "".join(found.words)


def test_equal_evaluations_give_equal_bytes(page: bytes) -> None:
    """Made again, it is the same file."""
    assert html(WHOLE) == page
