"""What was written down by hand reaches the report: readings, ratings and notes of single points."""

from dataclasses import replace
from datetime import datetime, timedelta, timezone

from tests.report.test_printing import tidy
from wringout.dossier.card import FlightTimes, HandReadings
from wringout.evaluation import Evaluation
from wringout.report.appendix import appendix_blocks
from wringout.report.hand import hand_blocks, read_words
from wringout.report.handling import handling_blocks

KNOT, FOOT = 1852 / 3600, 0.3048


def test_readings_stand_in_the_readers_units(demo: Evaluation) -> None:
    """In the order of the printed card, each with its unit as read."""
    read = HandReadings(
        warning_speed=49 * KNOT,
        break_speed=43 * KNOT,
        height_lost=180 * FOOT,
        wing="left",
        outside_air_temperature=284.15,
        wind_direction=4.18879,
        wind_speed=7 * KNOT,
        charge=0.71,
    )
    words = tidy(read_words(read, demo.dossier.units))
    assert words == (
        "air 11 °C, warning 49 kt, break 43 kt, lost 180 ft, wind from 240°, at 7 kt, charge 71%, "
        "the left wing dropped"
    )


def test_hand_readings_ratings_and_notes_are_printed(demo: Evaluation) -> None:
    """A point read and rated, one matched by elimination: each in its table; nothing where nobody wrote."""
    assert hand_blocks(demo) == []
    card = demo.dossier.cards[1]
    first = replace(card.points[0], rating=4, read=HandReadings(break_speed=43 * KNOT))
    start = datetime(2025, 6, 17, 9, 5, tzinfo=timezone(timedelta(hours=1)))
    cards = (
        replace(demo.dossier.cards[0], times=FlightTimes(start, shut_down=start + timedelta(hours=1))),
        replace(card, points=(first, *card.points[1:])),
        *demo.dossier.cards[2:],
    )
    stall = demo.points.stalls[0]
    noted = replace(stall, origin=replace(stall.origin, notes=("matched by elimination",)))
    said = replace(
        demo,
        dossier=replace(demo.dossier, cards=cards),
        points=replace(demo.points, stalls=(noted, *demo.points.stalls[1:])),
    )
    assert f"{card.name}, {first.id}" in str(hand_blocks(said))
    assert "start-up 08:05, shut-down 09:05 UTC" in str(hand_blocks(said))
    rated = next(block for block in handling_blocks(said, {}) if block.get("title") == "Ratings")
    assert next(row for row in rated["rows"] if first.id in row[4])[2] == "4"
    titles = {block.get("title"): block for block in appendix_blocks(said)}
    assert "matched by elimination" in str(titles["Notes on single points"])
    assert "Read by hand" in titles
