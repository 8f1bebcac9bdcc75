"""What the report says of the handling: the pilots' words, their ratings, the forces as read."""

from dataclasses import replace

import pytest

from wringout.charts import PAGE
from wringout.dossier.card import Rating
from wringout.dossier.handling import HandlingNotes
from wringout.evaluation import Evaluation
from wringout.evaluation.handling import HandlingRecord, handling_record
from wringout.report.handling import (
    NOTHING,
    handling_blocks,
    handling_figures,
    handling_sentence,
    handling_tables,
    scale_rows,
)


def _rated(demo: Evaluation, *ratings: Rating) -> HandlingRecord:
    card = replace(demo.dossier.cards[0], points=(), ratings=ratings, handling=HandlingNotes())
    return handling_record((card,))


def test_the_sentence_tells_the_range_and_quotes_the_worst(demo: Evaluation) -> None:
    """The worst rating with what its pilot wrote; what has no number is counted apart."""
    record = _rated(demo, Rating("taxi", 3, ""), Rating("flare", 5, "heavy"), Rating("noise", None, "loud"))
    said = handling_sentence(record)
    assert said.startswith("Two tasks rated from 3 to 5 on the ten-point scale; the worst is ‘flare’")
    assert "rated 5: ‘heavy’" in said
    assert said.endswith("One task noted without a number.")
    assert "none is made up here" in handling_sentence(_rated(demo, Rating("noise", None, "loud")))


def test_no_average_stands_anywhere(demo: Evaluation) -> None:
    """Of 3, 4, 5 and 5 the table says '4 or 5; 3 to 5', never 4.25."""
    ratings = [Rating("flare", rating, "") for rating in (3, 5, 4, 5)]
    record = _rated(demo, *ratings)
    (block,) = handling_tables(record, demo.dossier.units, "ratings")
    assert block["rows"][0][1] == "4 or 5; 3 to 5"
    assert "4.25" not in str(handling_blocks(_with(demo, *ratings), {}))


def _with(demo: Evaluation, *ratings: Rating) -> Evaluation:
    card = replace(demo.dossier.cards[0], points=(), ratings=ratings, handling=HandlingNotes())
    return replace(demo, dossier=replace(demo.dossier, cards=(card,)))


def test_ratings_of_seven_and_worse_stand_in_the_accent(demo: Evaluation) -> None:
    """Where improvement is required or mandatory."""
    record = _rated(demo, Rating("flare", 7, ""), Rating("taxi", 6, ""))
    (block,) = handling_tables(record, demo.dossier.units, "ratings")
    assert block["rows"][0][2] == {"text": "7", "fail": True}
    assert block["rows"][1][2] == "6"


def test_forces_are_printed_with_the_reading_s_uncertainty(demo: Evaluation) -> None:
    """17 N of pull on a scale of 1 N: 17.0 ± 0.3; a push is negative; a slope per knot."""
    record = handling_record(demo.dossier.cards)
    (block,) = handling_tables(record, demo.dossier.units, "forces")
    assert block["rows"][0][4] == {"text": "17.0", "sd": "± 0.3"}
    assert any(row[4]["text"].startswith(("-", "−")) for row in block["rows"])
    assert "N/kt" in block["rows"][0][6]


def test_the_figures_show_every_rating_and_reading(demo: Evaluation) -> None:
    """As many dots as ratings; every force of a series with three readings."""
    record = handling_record(demo.dossier.cards)
    drawn = {key: draw() for key, draw in handling_figures(record, demo.dossier.units, PAGE)}
    ratings, forces = drawn["handling ratings"], drawn["stick forces"]
    dots = [
        row
        for layer in ratings["layer"][0]["layer"]
        if layer["mark"]["type"] == "point"
        for row in layer["data"]["values"]
    ]
    given = [item.rating for task in record.tasks for item in task.given if item.rating is not None]
    assert sorted(int(row["x"]) for row in dots) == sorted(given)
    bars = {
        (row["x"], row["y"])
        for layer in forces["layer"][0]["layer"]
        if layer["mark"]["type"] == "point"
        for row in layer["data"]["values"]
    }
    assert len(bars) == sum(len(item.readings) for item in record.forces if item.control == "stick")
    assert "best" in ratings["layer"][0]["encoding"]["x"]["axis"]["title"]


def test_without_notes_the_report_says_so(demo: Evaluation) -> None:
    """One sentence and no table."""
    card = replace(demo.dossier.cards[0], points=(), ratings=(), handling=HandlingNotes())
    bare = replace(demo, dossier=replace(demo.dossier, cards=(card,)))
    (block,) = handling_blocks(bare, {})
    assert block["text"] == NOTHING


@pytest.mark.parametrize("rating", range(1, 11))
def test_the_scale_is_printed_whole(rating: int) -> None:
    """Ten rows, each with the answers that lead to it."""
    row = scale_rows()[rating - 1]
    assert row[0] == str(rating)
    assert row[1].split(", ")[0] == ("controllable no" if rating == 10 else "controllable yes")
