"""Builds, exchanges and their printed comparison: the numbers, the words and who makes the record."""

import io
import re

import pypdf
import pytest

from wringout.evaluation import Evaluation
from wringout.outfitting import Change, build, change, fitted_options
from wringout.report.exchange_sheet import exchange_content, exchange_pdf
from wringout.report.options import (
    change_sentence,
    comparison_table,
    compatibility_words,
    consequences_tables,
    described_exchanges,
    limits_words,
    options_blocks,
    steps_table,
)


@pytest.fixture(scope="module")
def exchange(demo: Evaluation) -> Change:
    """The nose-wheel kit with a cargo floor, from the airplane as weighed."""
    airplane = demo.dossier.airplane
    fitted = fitted_options(airplane)
    before = build(airplane, "tail wheel", fitted)
    after = build(airplane, "nose wheel", (*fitted, "cargo floor with rails"))
    return change(airplane, before, after)


def _figure(cell: object) -> float:
    text = cell["text"] if isinstance(cell, dict) else str(cell)
    return float(re.sub(r"[\s\u202f\u00a0]", "", text).replace("−", "-"))


def test_the_items_printed_add_up_to_the_empty_mass_after(demo: Evaluation, exchange: Change) -> None:
    """Mass and moment of the rows above the last one sum to it, by the printed figures."""
    rows = steps_table(exchange, demo.dossier.units)["rows"]
    mass, moment = (sum(_figure(row[column]) for row in rows[:-1]) for column in (1, 3))
    assert mass == pytest.approx(_figure(rows[-1][1]), abs=0.06)
    assert moment == pytest.approx(_figure(rows[-1][3]), abs=0.06)
    # From the demo's papers: 51.6 + 19.5 + 8.6 on, 58.0 + 6.2 off.
    assert _figure(rows[-1][1]) - _figure(rows[0][1]) == pytest.approx(15.5, abs=0.11)


def test_before_after_and_change_agree(demo: Evaluation, exchange: Change) -> None:
    """Each row's change is after less before, to the printed digit."""
    for name, before, after, moved in comparison_table(exchange, demo.dossier.units)["rows"]:
        if moved:
            difference = _figure(after) - _figure(before)
            assert _figure(moved) == pytest.approx(difference, abs=1.01 if "mm" in name else 0.11), name


def test_the_sentence_says_what_it_takes(demo: Evaluation, exchange: Change) -> None:
    """9 h for two and 3 h for one are 21 person-hours; 14 800 and 1 450 EUR are 16 250."""
    said = change_sentence(exchange, demo.dossier.units).replace("\u202f", " ")
    assert "empty 15.5 kg heavier" in said
    assert "15.5 kg less useful load" in said
    assert "21 person-hours, 16 250 EUR" in said
    assert "‘nose wheel’ hold instead of ‘tail wheel’" in limits_words(exchange)


def test_the_printed_page_is_one_and_says_who_makes_the_record(demo: Evaluation, exchange: Change) -> None:
    """A PDF of one page on both papers, its caution, its blanks, its figures; equal bytes for equal input."""
    for paper in ("a4", "us-letter"):
        made = exchange_pdf(demo.dossier, exchange, paper=paper)
        pages = pypdf.PdfReader(io.BytesIO(made)).pages
        assert len(pages) == 1
        text = " ".join(pages[0].extract_text().split())
        assert "not a weight-and-balance record" in text
        assert "A licensed mechanic makes the exchange" in text
        assert "mechanic, licence" in text
        assert "castering nose leg" in text
    assert exchange_pdf(demo.dossier, exchange, paper="us-letter") == made
    with pytest.raises(ValueError, match="not known"):
        exchange_pdf(demo.dossier, exchange, paper="a3")


def test_the_longest_exchange_still_fits_one_page(demo: Evaluation) -> None:
    """Every option that the tail wheel can have."""
    airplane = demo.dossier.airplane
    every = [item.name for item in airplane.options if item.name != "hydraulic wheel-skis"]
    found = change(
        airplane,
        build(airplane, "tail wheel", fitted_options(airplane)),
        build(airplane, "tail wheel", every),
    )
    assert len(pypdf.PdfReader(io.BytesIO(exchange_pdf(demo.dossier, found))).pages) == 1
    assert exchange_content(demo.dossier, found)["blanks"]


def test_the_report_s_section_has_sentence_tables_and_caution(demo: Evaluation) -> None:
    """Every configuration, every option with what it goes with, the missions that change."""
    blocks = options_blocks(demo, {})
    assert blocks[0]["type"] == "lead"
    assert blocks[0]["text"].startswith("Useful load: tail wheel")
    titles = [block.get("title", "") for block in blocks]
    assert "Missions, each asked of both builds" in titles
    assert "Claims whose verdict is another" in titles
    options = next(block for block in blocks if block.get("title", "").startswith("Options"))
    assert len(options["rows"]) == len(demo.dossier.airplane.options)
    assert blocks[-1]["type"] == "caution"
    assert "licensed mechanic" in blocks[-1]["text"]
    assert len(described_exchanges(demo)) == len(demo.exchanges) == 1
    assert consequences_tables(demo.exchanges[0].found)[0]["rows"]


def test_compatibility_is_told_in_words(demo: Evaluation) -> None:
    """Needs, exclusions, gear and place, with the reason."""
    options = {item.name: item for item in demo.dossier.airplane.options}
    assert compatibility_words(options["powered cooler mount"]).startswith("needs second battery: ")
    assert "not with nose-wheel kit: its exhaust" in compatibility_words(options["injected engine"])
    assert "on tail wheel only; sits in ‘main wheels’" in compatibility_words(options["31-inch tyres"])
    assert compatibility_words(options["cargo floor with rails"]) == ""
