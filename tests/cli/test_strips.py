"""`strips` and `survey`: sentences, tables and JSON from the same answer; what cannot be is told."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path

import pytest

from tests.conftest import Ran
from wringout.evaluation import Evaluation
from wringout.evaluation.strip_words import found_sentence, opening_sentence
from wringout.evaluation.strips import strips_of

TABLE = (
    "ident,length_m,surface,le_elevation_m,he_elevation_m,le_heading_degT\n"
    "AAAA,420,TURF,300,304,238\nBBBB,700,UNK,300,304,238\nCCCC,900,GRVL,800,804,90\n"
)


@pytest.fixture(autouse=True)
def _is_evaluated(demo: Evaluation) -> None:
    """The demo is evaluated before a command asks for it."""


def test_every_strip_has_its_sentence(wringout: Callable[..., Ran], demo: Evaluation) -> None:
    """The sentence over all first, then each strip's, the table, what was asked, the caution."""
    ran = wringout("strips", demo.dossier.root)
    answer = strips_of(demo)
    assert ran.code == 0
    assert answer is not None
    units = demo.dossier.units
    assert ran.out.startswith(opening_sentence(answer, units))
    for found in answer.found:
        assert found_sentence(found, answer, units) in ran.out
    assert "Caution: Cloud" in ran.out


def test_one_strip_tells_its_months_and_what_to_look_at(
    wringout: Callable[..., Ran], demo: Evaluation
) -> None:
    """Wires, length, surface, slope, way out; the wheels against a step."""
    ran = wringout("strips", demo.dossier.root, "--strip", "Corbie Shelf", "--step", "20 cm")
    assert ran.code == 0
    words = ("Wires", "Length", "Surface", "Slope", "Way out", "downhill only", "Jun", "200 mm", "Density")
    for word in words:
        assert word in ran.out


def test_json_says_the_same_in_si(wringout: Callable[..., Ran], demo: Evaluation) -> None:
    """Shares, distances and the year of each strip; hours of night are null."""
    told = json.loads(wringout("strips", demo.dossier.root, "--json").out)
    answer = strips_of(demo)
    assert answer is not None
    for item, found in zip(told["strips"], answer.found, strict=True):
        assert found.answer is not None
        assert item["share"] == pytest.approx(found.answer.share)
        assert item["binding"] == found.answer.binding
        assert item["heat"][0][0] is None
        assert sum(item["reasons"].values()) + item["share"] == pytest.approx(1.0)


@pytest.mark.parametrize(
    ("options", "word"),
    [
        (("--strip", "nowhere"), "nowhere"),
        (("--load", "9 t"), "at most"),
        (("--method", "hope"), "hope"),
        (("--landing-factor", "0.5"), "one or more"),
        (("--cross-wind", "fast"), "--cross-wind"),
        (("--configuration", "wings"), "wings"),
    ],
)
def test_what_cannot_be_is_told_in_words(
    wringout: Callable[..., Ran], demo: Evaluation, options: tuple[str, str], word: str
) -> None:
    """Exit code 1 and one sentence."""
    ran = wringout("strips", demo.dossier.root, *options)
    assert ran.code == 1
    assert word in ran.err


def test_a_survey_is_kept_as_parquet_and_told_in_a_table(
    wringout: Callable[..., Ran], demo: Evaluation, tmp_path: Path
) -> None:
    """Two strips of three rows, the third told with its line; the file holds a row each."""
    import polars as pl

    (tmp_path / "three.csv").write_text(TABLE, encoding="utf-8")
    options = ("survey", demo.dossier.root, "--runways", tmp_path / "three.csv", "--samples", "2")
    told = json.loads(wringout(*options, "--json").out)
    frame = pl.read_parquet(told["file"])
    assert frame["strip"].to_list() == ["AAAA", "CCCC"]
    assert told["left_out"] == {"surface": 1}
    assert told["rows"][0]["nine_in_ten"] == frame.filter(pl.col("usable_share") >= 0.9).height
    ran = wringout(*options)
    told_words = " ".join(ran.out.split())
    assert "1 of unknown surface, the first on line 3: the surface 'UNK' is not known" in told_words
    missing = wringout("survey", demo.dossier.root, "--runways", tmp_path / "none.csv")
    assert missing.code == 1
