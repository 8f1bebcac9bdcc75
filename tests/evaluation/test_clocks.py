"""Logs of one flight on one clock: what the card says is kept, what it leaves open is measured and told."""

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest

from tests.conftest import Ran
from wringout.dossier import load
from wringout.dossier.card import Card
from wringout.evaluation.clocks import on_one_clock, with_reference_notes
from wringout.recordings import Recording, merge, read
from wringout.recordings.alignment import clock_offset


@pytest.fixture(scope="module", params=["flight-2a", "flight-2b"])
def flown(request: pytest.FixtureRequest, demo_root: Path) -> tuple[Card, list[Recording]]:
    """A card of the demo whose engine monitor was 3 s fast, and its two logs as written."""
    dossier = load(demo_root)
    card = next(card for card in dossier.cards if card.name == request.param)
    return card, [read(demo_root / item.path, item.mapping) for item in card.recordings]


def test_a_fast_clock_is_measured_without_the_cards_word(flown: tuple[Card, list[Recording]]) -> None:
    """Three seconds fast: found within the stated uncertainty, which is small."""
    _, (gps, engine) = flown
    measured = clock_offset(gps, engine)
    assert measured is not None
    assert measured.sd is not None
    assert measured.sd < 0.5
    assert abs(measured.value + 3.0) < measured.sd


def test_a_measured_offset_is_applied_where_the_card_says_nothing(
    flown: tuple[Card, list[Recording]],
) -> None:
    """The engine log's start moves, nothing else, and the note says by how much."""
    _, (gps, engine) = flown
    kept, moved = on_one_clock([gps, engine], [None, None])
    assert kept is gps
    assert (moved.start - engine.start).total_seconds() == pytest.approx(-3.0, abs=0.4)
    assert moved.time is engine.time
    (note,) = moved.notes
    assert note.startswith("its clock is moved by -3.")
    assert merge([kept, moved]).notes == (f"{engine.name}: {note}",)


@pytest.mark.parametrize(("stated", "words"), [(-3.0, "as the card says"), (2.0, "look at it again")])
def test_the_cards_word_is_kept_and_compared(
    flown: tuple[Card, list[Recording]], stated: float, words: str
) -> None:
    """Right or wrong, it is applied; a wrong one is told."""
    _, (gps, engine) = flown
    _, moved = on_one_clock([gps, engine], [None, stated])
    assert (moved.start - engine.start).total_seconds() == stated
    assert words in moved.notes[0]


def test_a_right_clock_is_left_alone(demo_root: Path) -> None:
    """Instruments lag a little; that moves no clock."""
    card = next(card for card in load(demo_root).cards if card.name == "flight-3b")
    logs = [read(demo_root / item.path, item.mapping) for item in card.recordings]
    _, engine = on_one_clock(logs, [None, None])
    assert engine.start == logs[1].start
    assert "agrees with that of flight-3b.gpx" in engine.notes[0]


def test_logs_without_anything_in_common_are_told(flown: tuple[Card, list[Recording]]) -> None:
    """An engine log of revolutions alone tells no time."""
    _, (gps, engine) = flown
    alone = replace(engine, channels={"engine_speed": engine.channels["engine_speed"]})
    _, moved = on_one_clock([gps, alone], [None, None])
    assert moved.start == engine.start
    assert moved.notes == (
        f"its clock could not be held against that of {gps.name}: no height or speed tells",
    )


def test_heights_from_the_ellipsoid_are_told_and_not_changed(flown: tuple[Card, list[Recording]]) -> None:
    """The demo's heights raised by a geoid of 47 m, against its QNH and elevation; untouched they agree."""
    card, logs = flown
    recording = merge(on_one_clock(logs, [item.clock_offset for item in card.recordings]))
    assert with_reference_notes(recording, card).notes == recording.notes
    raised = replace(recording, channels={**recording.channels, "height": recording.channels["height"] + 47})
    told = with_reference_notes(raised, card)
    assert told.channels["height"] is raised.channels["height"]
    assert "they rather count from the ellipsoid" in told.notes[-1]
    quiet = with_reference_notes(raised, replace(card, height_reference="ellipsoid"))
    assert quiet.notes == raised.notes


def test_the_command_tells_the_notes(wringout: Callable[..., Ran], demo_root: Path) -> None:
    """In words and in JSON."""
    assert "its clock is moved by -3.0 s as the card says" in " ".join(
        wringout("flights", demo_root, "--card", "flight-2a").out.split()
    )
    assert '"notes": [' in wringout("flights", demo_root, "--card", "flight-2a", "--json").out
