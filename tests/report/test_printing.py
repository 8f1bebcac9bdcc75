"""The printed report: complete, accessible, the same every time, nothing over the edge."""

import re
import subprocess
import sys
from dataclasses import replace
from io import BytesIO
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from tests.charts.picture import ink, pixels
from tests.report.sample import evaluation
from wringout.charts.typefaces import FONT_DIRECTORY
from wringout.model.fit import Fit
from wringout.reduction.points import Points
from wringout.report import content, figures, pdf, write_report
from wringout.report.appendix import CAUTIONS
from wringout.report.drawing import drawn_figures
from wringout.report.printing import sources

WHOLE = evaluation()
DRAWN = drawn_figures(WHOLE)
A4, LETTER = (595, 842), (612, 792)


def tidy(text: str) -> str:
    """Text as a reader takes it in: kinds of spaces and of apostrophes, and line ends, are one."""
    return " ".join(re.sub("[\u00a0\u202f\u2009]", " ", text).replace("’", "'").replace("\u00ad", "").split())


@pytest.fixture(scope="module")
def printed() -> bytes:
    """The sample's report."""
    return pdf(WHOLE)


@pytest.fixture(scope="module")
def reader(printed: bytes) -> Any:
    """The report opened by an independent reader of PDF."""
    from pypdf import PdfReader

    return PdfReader(BytesIO(printed))


@pytest.fixture(scope="module")
def pages(reader: Any) -> list[str]:
    """The text of each page."""
    return [tidy(page.extract_text()) for page in reader.pages]


@pytest.fixture(scope="module")
def text(pages: list[str]) -> str:
    """The whole report's text, its hyphens at line ends kept."""
    return " ".join(pages)


def test_first_page_answers(pages: list[str]) -> None:
    """Page 1 holds the answer in its three sentences, the five numbers with intervals, and every verdict."""
    first = pages[0]
    assert "What can you really do with it?" in first
    for sentence in WHOLE.answer:
        assert tidy(sentence) in first
    for headline in WHOLE.headlines:
        assert headline.label in first
    assert "nine in ten: 285 to 328 m" in first
    for verdict in WHOLE.verdicts:
        assert tidy(verdict.claim.statement) in first
        assert verdict.finding in first


def test_invented_is_said_plainly(pages: list[str]) -> None:
    """A report of an invented airplane says so on every page, and one of a real airplane never does."""
    assert "An invented demonstration" in pages[0]
    assert all("invented demonstration" in page for page in pages)
    real = content(replace(WHOLE, dossier=replace(WHOLE.dossier, invented=False)), DRAWN)
    assert "invented demonstration" not in repr(real).lower()


def test_each_claim_shows_its_arithmetic(text: str) -> None:
    """Each claim's arithmetic stands in the report, with card, point and span of its evidence."""
    for verdict in WHOLE.verdicts:
        for row in verdict.evidence:
            assert tidy(row.arithmetic) in text
    assert "flight-2, S9: 18:20–18:45" in text


def test_loading_adds_up_in_print(text: str) -> None:
    """Each configuration's empty mass and each loading's finding stand in the report."""
    assert "How the empty mass adds up: nose wheel" in text
    for report in WHOLE.loadings.values():
        assert tidy(report.sentence()).rstrip(".")[1:] in text


def test_ratings_are_not_made_up(text: str) -> None:
    """The pilot's ratings and words stand as given; the note without a number gets none."""
    given = [rating for card in WHOLE.dossier.cards for rating in card.ratings]
    assert all(tidy(rating.note) in text for rating in given)
    assert re.search(r"visibility over the nose, three-point, [a-z ]+ – ", text)


def test_every_figure_can_be_traced(text: str) -> None:
    """What was left out and why, outliers, file hashes and the software stand in the appendix."""
    for left in WHOLE.points.left_out:
        assert tidy(left.reason) in text
    assert "take-off ground roll is an outlier" in text
    for path, digest in WHOLE.dossier.files:
        assert path in text
        assert digest in text.replace(" ", "")
    assert WHOLE.software in text
    assert "positions jump by 140 m and back" in text


def test_each_film_has_its_line(text: str) -> None:
    """What a camera saw stands beside what the recording says, with what was used of either."""
    assert "Cameras beside the strip" in text
    assert "131–780 at 50/s, main wheel past 7 marks" in text
    assert "roll: weighted; speed: they disagree" in text


def test_cautions_are_given_once(text: str) -> None:
    """Each caution stands in the report; the one that governs also on page 1."""
    for caution in CAUTIONS:
        assert tidy(caution) in text
    assert text.count(tidy(CAUTIONS[1])) == 1


def test_every_page_is_numbered_and_dated(pages: list[str]) -> None:
    """Each page carries its number of all and the dossier's date; the count is sane."""
    assert 8 <= len(pages) <= 30
    for number, page in enumerate(pages, start=1):
        assert f"{number} / {len(pages)}" in page
        assert "14 May 2026" in page


def test_headings_do_not_end_a_page(pages: list[str]) -> None:
    """No page ends with a heading whose text stands on the next."""
    titles = [section["title"] for section in content(WHOLE, DRAWN)["sections"]]
    for page in pages:
        body = page.rsplit("Fellside Shepherd 200 · 14 May 2026", 1)[0].strip()
        assert not any(body.endswith(tidy(title)) for title in titles)


def test_pdf_is_accessible(reader: Any) -> None:
    """Tagged PDF/UA with title and language; each figure in its tree has alternative text."""
    root = reader.trailer["/Root"]
    assert root["/MarkInfo"]["/Marked"]
    assert root["/Lang"].startswith("en")
    assert reader.metadata.title == WHOLE.dossier.title
    assert "pdfuaid:part" in root["/Metadata"].get_data().decode()
    alternatives = [
        node.get("/Alt", "") for node in tagged(root["/StructTreeRoot"]) if node.get("/S") == "/Figure"
    ]
    expected = {tidy(item.alt) for item in DRAWN}
    assert {tidy(str(words)) for words in alternatives} == expected


def tagged(node: Any) -> list[Any]:
    """Every element of the structure tree."""
    found, open_nodes = [], [node]
    while open_nodes:
        here = open_nodes.pop().get_object()
        if isinstance(here, list):
            open_nodes.extend(here)
        elif isinstance(here, dict):
            found.append(here)
            if "/K" in here:
                open_nodes.append(here["/K"])
    return found


def test_only_shipped_typefaces(reader: Any) -> None:
    """Every typeface in the file is one that the package ships, embedded."""
    names = set()
    for page in reader.pages:
        for font in page["/Resources"].get("/Font", {}).values():
            names.add(font.get_object()["/BaseFont"].split("+")[-1])
    assert names
    assert all(name.startswith(("SourceSans3", "SourceSerif4")) for name in names)


def test_same_bytes_in_another_process(printed: bytes, tmp_path: Path) -> None:
    """Printed by a process of its own, the report has the same bytes."""
    script = (
        "import sys, pathlib\nfrom tests.report.sample import evaluation\nfrom wringout.report import pdf\n"
    )
    script += "pathlib.Path(sys.argv[1]).write_bytes(pdf(evaluation()))\n"
    place = tmp_path / "again.pdf"
    home = Path(__file__).parents[2]
    subprocess.run([sys.executable, "-c", script, str(place)], check=True, cwd=home)
    assert place.read_bytes() == printed


@pytest.mark.parametrize(("paper", "size"), [("a4", A4), ("us-letter", LETTER)])
def test_nothing_runs_over_the_margins(paper: str, size: tuple[int, int]) -> None:
    """On both papers the outer margins stay white: no table, word or figure runs over them."""
    import typst

    made = typst.compile(  # type: ignore[call-overload]  # its types leave out the files in memory it takes
        sources(WHOLE, DRAWN, paper),
        format="png",
        ppi=36,
        font_paths=[str(FONT_DIRECTORY)],
        ignore_system_fonts=True,
    )
    for page in made:
        marks = ink(pixels(page), "#FFFFFF")
        assert marks.shape == pytest.approx((size[1] / 2, size[0] / 2), abs=1)
        rows, columns = np.flatnonzero(marks.any(axis=1)), np.flatnonzero(marks.any(axis=0))
        assert columns[0] >= 27
        assert columns[-1] <= size[0] / 2 - 24
        assert rows[0] >= 25
        assert rows[-1] <= size[1] / 2 - 12


def test_other_paper_is_refused() -> None:
    """A paper that is not known is refused with those that are."""
    with pytest.raises(ValueError, match="use 'a4' or 'us-letter'"):
        pdf(WHOLE, paper="a5")


def test_nothing_flown_still_prints() -> None:
    """A dossier with an airplane only, nothing flown and nothing claimed, prints and says so."""
    from pypdf import PdfReader

    bare = replace(
        WHOLE,
        dossier=replace(WHOLE.dossier, cards=(), claims=(), missions=(), strips=(), files=()),
        loadings={},
        flights=(),
        health={},
        points=Points((), (), (), (), (), (), (), ()),
        fit=Fit((), np.empty(0), np.empty((0, 0)), np.empty((0, 0)), (), {}, ()),
        headlines=WHOLE.headlines[:1],
        predictions=(),
        curves=(),
        payload_range={},
        missions=(),
        verdicts=(),
    )
    said = tidy(" ".join(page.extract_text() for page in PdfReader(BytesIO(pdf(bare))).pages))
    assert "No recording was read" in said
    assert "No claims were registered" in said
    assert "No handling ratings were given, and none are made up here" in said


def test_figures_are_named_svg() -> None:
    """Every figure of the report is there as SVG by name, with its title inside."""
    made = figures(WHOLE)
    assert {
        "airplane",
        "loading-flight-1",
        "flight-flight-3",
        "stall",
        "take-off-distance",
        "learning",
    } <= set(made)
    assert all(
        drawing.startswith(b"<svg") and drawing.rstrip().endswith(b"</svg>") for drawing in made.values()
    )


def test_figure_that_cannot_be_drawn_is_named() -> None:
    """A line of gaps only costs its own figure, and the appendix says which and why; the rest is printed."""
    line = next(curve for curve in WHOLE.curves if curve.name == "landing distance against elevation")
    gap = np.full_like(line.x, np.nan)
    curves = tuple(
        replace(curve, median=gap, low=gap, high=gap) if curve.name == line.name else curve
        for curve in WHOLE.curves
    )
    holed = replace(WHOLE, curves=curves, dossier=replace(WHOLE.dossier, claims=()))
    drawn = drawn_figures(holed)
    assert [item.key for item in drawn if item.reason] == ["landing distance"]
    assert "landing-distance" not in figures(holed)
    said = repr(content(holed, drawn))
    assert "Figures not drawn" in said
    assert "nothing to show on the axis" in said
    assert pdf(holed).startswith(b"%PDF")


def test_fifth_configuration_gets_a_figure_of_its_own() -> None:
    """More lines than a figure holds go on in a further figure; none is left out."""
    name = "take-off distance against elevation"
    line = next(curve for curve in WHOLE.curves if curve.name == name)
    five = tuple(replace(line, configuration=f"gear {number}") for number in range(5))
    drawn = [
        item
        for item in drawn_figures(replace(WHOLE, curves=five))
        if item.key.startswith("take-off distance")
    ]
    assert [item.name for item in drawn] == ["take-off-distance", "take-off-distance-2"]
    said = " ".join(item.alt for item in drawn)
    assert all(f"gear {number}" in said for number in range(5))


def test_card_of_any_name_keeps_its_figures() -> None:
    """A card's figures are found by its name, whatever signs that holds, and get files of their own."""
    card = replace(WHOLE.dossier.cards[0], name="Flight 1/A")
    flown = replace(WHOLE.flights[0], card=card)
    other = replace(WHOLE.flights[1], card=replace(WHOLE.flights[1].card, name="flight 1 a"))
    named = replace(WHOLE, flights=(flown, other), loadings={"Flight 1/A": WHOLE.loadings["flight-1"]})
    drawn = drawn_figures(named)
    assert len({item.name for item in drawn}) == len(drawn)
    said = repr(content(named, drawn)["sections"])
    assert all(
        f"'{name}'" in said for name in ("flight-flight-1-a", "flight-flight-1-a-2", "loading-flight-1-a")
    )


def test_report_is_written_into_the_dossier(tmp_path: Path) -> None:
    """The report, its twin and its figures are written under report/ of the dossier, in that order."""
    placed = replace(WHOLE, dossier=replace(WHOLE.dossier, root=tmp_path))
    written = write_report(placed)
    assert written[0] == "report/report.pdf"
    assert (tmp_path / written[0]).read_bytes().startswith(b"%PDF-1.7")
    assert all((tmp_path / name).is_file() for name in written)
    assert written[1] == "report/report.html"
    assert len(written) == 2 + len(DRAWN)
