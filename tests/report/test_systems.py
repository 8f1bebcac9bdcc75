"""The report's section on the machine: drawings, tables, timeline and cautions of the evaluated demo."""

from __future__ import annotations

from wringout.charts.theme import PRINT
from wringout.evaluation import Evaluation
from wringout.report.drawing import HALF, WIDE
from wringout.report.systems import PLAN, SIDE, TIMELINE, system_drawings, systems_blocks


def test_the_section_says_it_all(demo: Evaluation) -> None:
    """Sentence, drawing, rules, floats, timeline, trip, cautions, in the order of the work."""
    figures = {key: {"type": "figure", "name": key} for key in (SIDE, PLAN, TIMELINE)}
    blocks = systems_blocks(demo, figures)
    kinds = [block["type"] for block in blocks]
    assert kinds[:4] == ["heading", "lead", "figure", "figure"]
    assert kinds.count("caution") == 2
    words = " ".join(str(block.get("text", "")) for block in blocks)
    for said in (
        "As tail wheel, ",
        "As nose wheel, ",
        "On snow the skis press",
        "On straight floats",
        "If the alternator stops",
        "from the nearer landing",
    ):
        assert said in words
    titles = {block["title"] for block in blocks if block["type"] == "table"}
    assert {
        "Rules of the trade and of the regulations, at the worst CG",
        "What runs, and until when",
    } <= titles
    failing = [
        cell["text"]
        for block in blocks
        if block["type"] == "table"
        for row in block["rows"]
        for cell in row
        if isinstance(cell, dict) and cell.get("fail")
    ]
    assert "does not hold" in failing
    assert not any(text.startswith("!") for text in failing)


def test_three_drawings_with_their_words(demo: Evaluation) -> None:
    """Side, plan and timeline: as wide as they are given room, each with a title and words."""
    found = {key: (title, alt, svg) for key, title, alt, svg in system_drawings(demo, WIDE, PRINT)}
    assert list(found) == [SIDE, PLAN, TIMELINE]
    assert f'width="{WIDE.width:g}"' in found[SIDE][2]
    assert f'width="{PRINT.width:g}"' in found[PLAN][2]
    assert all(title and alt for title, alt, _ in found.values())
    narrow = {key: svg for key, _, _, svg in system_drawings(demo, HALF, HALF)}
    assert f'width="{HALF.width:g}"' in narrow[TIMELINE]
