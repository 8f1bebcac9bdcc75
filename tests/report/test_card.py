"""The card for the knee: complete, on A5, accessible, the same every time."""

from dataclasses import replace
from io import BytesIO
from typing import Any

import pytest

from tests.report.test_printing import tidy
from wringout.dossier import create, load
from wringout.dossier.dossier import Dossier
from wringout.evaluation import Evaluation, fit_model
from wringout.evaluation.planned import PlannedFlight, planned_flight
from wringout.model.fit import Fit
from wringout.quantity import convert
from wringout.report.card import card_content, card_pdf

A5 = (148 / 25.4 * 72, 210 / 25.4 * 72)


@pytest.fixture(scope="module")
def new(tmp_path_factory: pytest.TempPathFactory) -> tuple[Dossier, Fit]:
    """A dossier before its first flight, and what is known of its airplane."""
    root = tmp_path_factory.mktemp("card") / "new"
    create(root)
    dossier, _, fit = fit_model(root)
    return dossier, fit


@pytest.fixture(scope="module")
def flight(new: tuple[Dossier, Fit]) -> PlannedFlight:
    """Its first card, planned."""
    dossier, fit = new
    return planned_flight(dossier, dossier.cards[0], fit)


@pytest.fixture(scope="module")
def reader(new: tuple[Dossier, Fit], flight: PlannedFlight) -> Any:
    """The printed card opened by an independent reader of PDF."""
    from pypdf import PdfReader

    return PdfReader(BytesIO(card_pdf(new[0], flight)))


@pytest.fixture(scope="module")
def pages(reader: Any) -> list[str]:
    """The text of each page."""
    return [tidy(page.extract_text()) for page in reader.pages]


def test_two_pages_of_a5(reader: Any) -> None:
    """Both sides of one sheet."""
    assert len(reader.pages) == 2
    for page in reader.pages:
        size = (float(page.mediabox.width), float(page.mediabox.height))
        assert size == pytest.approx(A5, abs=1.0)


def test_first_page_is_for_before_the_flight(pages: list[str], flight: PlannedFlight) -> None:
    """Title, pilot, build, ballast with its place, mass and CG at take-off and landing, limits, caution."""
    first = pages[0]
    for words in (flight.card.title, flight.card.pilot, "tail wheel", "12 May 2026", "Example 100"):
        assert words in first
    assert flight.loading.ballast is not None
    assert f"ballast, cargo bay {flight.loading.ballast:.1f} 1 800" in first
    assert "Wanted at take-off: CG 940 mm" in first
    for name in ("take-off", "landing"):
        state = flight.loading.report.state(name)
        fuel, mass, cg = 1000 * state.fuel, state.mass.value, 1000 * state.cg.value
        assert f"{name} {fuel:.0f} {mass:.0f} {cg:.0f} {1000 * state.forward:.0f}" in first
    for words in (
        "recovered by 3 000 ft above ground",
        "up to 10 kt, across up to 5 kt",
        "land with 30 L or more",
        "take-off to 80 kt, landing to 70 kt",
        "140 kt",
        "QNH",
        "The approved flight manual and the weight-and-balance record govern",
    ):
        assert words in first


def test_every_point_with_its_target_and_tolerance(pages: list[str]) -> None:
    """Each point stands in build-up order with its target, tolerance, setting, height and note."""
    points = pages[1]
    places = [points.index(f"{name} ") for name in ("L1", "C1", "S1", "D1", "T1")]
    assert places == sorted(places)
    for words in (
        "100 kt ± 2 kt",
        "held ± 100 ft",
        "65 kt ± 2 kt",
        "2 500 ft to 3 500 ft pressure altitude",
        "flap landing · idle · slow down 1 kt/s",
        "three legs or more, on headings well apart",
        "home field, 640 m, dry grass",
        "Take-off, short field",
        "warning",
        "break",
    ):
        assert words in points


def test_what_to_expect_is_the_model_s(pages: list[str], flight: PlannedFlight) -> None:
    """The stall speed printed is the median that the model gives at the take-off mass, with its interval."""
    at = next(index for index, item in enumerate(flight.points) if item.point.kind == "stall")
    stall = flight.expected[at][0]
    assert stall.quantity == "stall speed"
    middle, low, high = (convert(v, "kt") for v in (stall.estimate.value, stall.low, stall.high))
    assert f"expect {middle:.0f} kt CAS ({low:.0f} to {high:.0f})" in pages[1]
    assert "nothing is flown yet" in pages[1]


def test_cautions_stand_once_beside_their_points(pages: list[str]) -> None:
    """The consent that test flying needs is said once, above the stalls; what is particular at each."""
    text = " ".join(pages)
    assert text.count("the consent of insurer and authority") == 1
    assert pages[1].index("the consent of insurer") > pages[1].index("Stalls")
    assert "go around outside a tolerance" in text


def test_a_wish_that_cannot_be_reached_is_said(new: tuple[Dossier, Fit]) -> None:
    """No ballast row, and the reason with the reachable range on the card."""
    dossier, fit = new
    card = replace(dossier.cards[0], plan=replace(dossier.cards[0].plan, wanted_cg=1.10))
    flight = planned_flight(dossier, card, fit)
    loading = card_content(dossier, flight)["loading"]
    assert loading["ballast"] is None
    assert "cannot be reached with ballast at cargo bay" in loading["reason"]


def test_aft_cg_brings_its_caution(new: tuple[Dossier, Fit]) -> None:
    """Near the aft limit the card says to fly the points at a mid CG first; in the middle it does not."""
    dossier, _ = new
    card = dossier.cards[0]
    assert card_content(dossier, planned_flight(dossier, card, None))["loading"]["caution"] == ""
    aft = replace(
        dossier.airplane,
        envelopes=tuple(
            replace(item, vertices=((0.72, 550.0), (0.72, 950.0), (0.97, 950.0), (0.97, 550.0)))
            for item in dossier.airplane.envelopes
        ),
    )
    tight = replace(dossier, airplane=aft)
    said = card_content(tight, planned_flight(tight, card, None))["loading"]["caution"]
    assert said.startswith("Aft CG")


def test_without_a_fit_nothing_is_expected(new: tuple[Dossier, Fit]) -> None:
    """A card is printed all the same, with no figure made up."""
    dossier, _ = new
    flight = planned_flight(dossier, dossier.cards[0], None)
    assert card_pdf(dossier, flight).startswith(b"%PDF")
    said = card_content(dossier, flight)
    assert said["expected"] == ""
    assert all(row["expect"] == [] for group in said["groups"] for row in group["rows"])


def test_same_bytes_again(new: tuple[Dossier, Fit], flight: PlannedFlight) -> None:
    """Planned and printed once more, the card has the same bytes."""
    dossier, fit = new
    again = planned_flight(load(dossier.root), load(dossier.root).cards[0], fit)
    assert card_pdf(dossier, again) == card_pdf(dossier, flight)


def test_accessible(reader: Any) -> None:
    """Tagged PDF/UA with a title and a language."""
    root = reader.trailer["/Root"]
    assert root["/MarkInfo"]["/Marked"]
    assert root["/Lang"].startswith("en")
    assert "pdfuaid:part" in root["/Metadata"].get_data().decode()
    assert reader.metadata.title == "Level legs, climbs and stalls"


def test_half_a_letter_and_no_other_paper(new: tuple[Dossier, Fit], flight: PlannedFlight) -> None:
    """Half a US Letter for those who have no A5; another paper is refused."""
    from pypdf import PdfReader

    page = PdfReader(BytesIO(card_pdf(new[0], flight, paper="us-statement"))).pages[0]
    assert (float(page.mediabox.width), float(page.mediabox.height)) == pytest.approx((396, 612), abs=1)
    with pytest.raises(ValueError, match="'a6' is not known"):
        card_pdf(new[0], flight, paper="a6")


def test_a_long_card_goes_on(new: tuple[Dossier, Fit]) -> None:
    """Forty points with long notes run over to further pages, none of them lost."""
    from pypdf import PdfReader

    dossier, _ = new
    card = dossier.cards[0]
    points = tuple(
        replace(point, id=f"{point.id}.{run}", note="a note that goes on for a while, as notes do " * 3)
        for run in range(8)
        for point in card.points
    )
    flight = planned_flight(dossier, replace(card, points=points), None)
    pages = PdfReader(BytesIO(card_pdf(dossier, flight))).pages
    text = tidy(" ".join(page.extract_text() for page in pages))
    assert len(pages) > 2
    assert all(f"{point.id} " in text for point in points)


def test_limits_are_rounded_to_the_safe_side(new: tuple[Dossier, Fit]) -> None:
    """70 kt are 80.6 mph, told as 80; 30 L are 6.6 imperial gallons, told as 7; arms in tenths of an inch."""
    dossier, _ = new
    abroad = replace(dossier, units=replace(dossier.units, speed="mph", fuel="imp gal", arm="in"))
    said = card_content(abroad, planned_flight(abroad, dossier.cards[0], None))
    limits = {tidy(row["name"]): tidy(row["limit"]) for row in said["limits"]}
    assert limits["flaps"] == "take-off to 92 mph, landing to 80 mph"
    assert limits["fuel"] == "land with 7 imp gal or more"
    assert limits["wind on the strip"] == "up to 11 mph, across up to 5 mph"
    assert said["loading"]["wanted"].endswith("37.0\u00a0in")


def test_the_front_of_the_sheet_holds_all_of_the_loading(demo: Evaluation) -> None:
    """Five stations, two tanks, ballast, aft-CG caution, every limit: one page; the points begin the next."""
    from pypdf import PdfReader

    dossier = demo.dossier
    card = next(each for each in dossier.cards if each.plan.wanted_cg is not None)
    for paper in ("a5", "us-statement"):
        pdf = card_pdf(dossier, planned_flight(dossier, card, demo.fit), paper=paper)
        pages = [tidy(page.extract_text()) for page in PdfReader(BytesIO(pdf)).pages]
        for words in ("ballast, cargo bay", "Aft CG:", "never exceed", "QNH", "recorders run", "govern"):
            assert words in pages[0], paper
        for words in ("Expected from the points flown so far", "Level legs", "expect", "Stalls"):
            assert words in pages[1], paper
        assert len(pages) == 3
        for words in ("Take-offs and landings", "Rate", "in a few words"):
            assert words in pages[2], paper
