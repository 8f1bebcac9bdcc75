"""What is said by hand of a recording stands in the card as a person would have written it."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta, timezone
from pathlib import Path

import pytest

from wringout.dossier import create, load
from wringout.dossier.card import Mark, NamedManoeuvre
from wringout.dossier.history import StaleError, steps, undo, version_of
from wringout.dossier.marking import MARKS, SPANS, name_span, put_mark, take_out
from wringout.problems import InputError

CARD = "cards/flight-1.toml"


@pytest.fixture
def root(tmp_path: Path) -> Path:
    """A new dossier."""
    create(tmp_path / "dossier")
    return tmp_path / "dossier"


def at(minute: int, second: float) -> datetime:
    """A moment of the card's day."""
    return datetime(2026, 5, 12, 9, minute, tzinfo=UTC) + timedelta(seconds=second)


def text(root: Path) -> str:
    return (root / CARD).read_text(encoding="utf-8")


def test_marks_and_spans_are_added_moved_and_taken_out_again(root: Path) -> None:
    """The card reads back what was said; nothing else of its text changes, and at the end nothing is left."""
    before = text(root)
    lift_off = Mark(at(20, 7.04), "lift-off", "T1", note="from the fence post")
    version = put_mark(root, CARD, version_of(root, CARD), lift_off)
    version = name_span(root, CARD, version, NamedManoeuvre(at(30, 0), at(31, 0), "climb", "C1"))
    assert text(root).startswith(before.rstrip("\n"))
    card = load(root).cards[0]
    assert card.marks == (Mark(at(20, 7.0), "lift-off", "T1", 0.5, "from the fence post"),)
    assert card.manoeuvres == (NamedManoeuvre(at(30, 0), at(31, 0), "climb", "C1"),)
    version = put_mark(root, CARD, version, Mark(at(20, 8.36), "lift-off", "T1"), 0)
    version = name_span(root, CARD, version, NamedManoeuvre(at(30, 5), at(31, 0), "climb", "C1"), 0)
    card = load(root).cards[0]
    assert card.marks[0].time == at(20, 8.4)  # a tenth of a second is written, the note stays
    assert card.marks[0].note == "from the fence post"
    assert card.manoeuvres[0].start == at(30, 5)
    version = take_out(root, CARD, version, (MARKS, 0))
    take_out(root, CARD, version, (SPANS, 0))
    assert text(root).strip() == before.strip()


def test_an_edit_can_be_taken_back_in_its_own_words(root: Path) -> None:
    """The button says what was done; undo gives the very bytes of before."""
    before = text(root)
    version = put_mark(root, CARD, version_of(root, CARD), Mark(at(20, 7), "touchdown"))
    assert steps(root, CARD).undo == "touchdown at 09:20:07.0"
    undo(root, CARD, version)
    assert text(root) == before


def test_a_zone_is_kept_and_a_moment_without_one_refused(root: Path) -> None:
    """A person's own zone stands in the file; a moment that may be any is not written."""
    zone = timezone(timedelta(hours=1))
    put_mark(root, CARD, version_of(root, CARD), Mark(datetime(2026, 5, 12, 10, 5, tzinfo=zone), "obstacle"))
    assert "time = 2026-05-12T10:05:00+01:00" in text(root)
    with pytest.raises(InputError, match="no zone"):
        put_mark(root, CARD, version_of(root, CARD), Mark(datetime(2026, 5, 12, 10, 5), "obstacle"))  # noqa: DTZ001


@pytest.mark.parametrize(
    ("span", "words"),
    [
        (NamedManoeuvre(at(31, 0), at(30, 0), "climb"), "not after its start"),
        (NamedManoeuvre(at(30, 0), at(31, 0), "level leg", "C1"), "which is a climb point"),
        (NamedManoeuvre(at(30, 0), at(31, 0), "none", "C1"), "no point is made of"),
        (NamedManoeuvre(at(30, 0), at(31, 0), "climb", "C9"), "C9"),
    ],
)
def test_what_contradicts_the_card_is_refused_and_changes_nothing(
    root: Path, span: NamedManoeuvre, words: str
) -> None:
    """The check of the whole dossier stands before the file is written."""
    before = text(root)
    with pytest.raises(InputError, match=words):
        name_span(root, CARD, version_of(root, CARD), span)
    assert text(root) == before


def test_two_pages_do_not_overwrite_each_other(root: Path) -> None:
    """A mark put on an older version of the card is refused; so is a place that is not there."""
    version = version_of(root, CARD)
    put_mark(root, CARD, version, Mark(at(20, 7), "lift-off"))
    with pytest.raises(StaleError):
        put_mark(root, CARD, version, Mark(at(20, 8), "lift-off"))
    with pytest.raises(InputError, match=r"no 'mark\.5'"):
        put_mark(root, CARD, version_of(root, CARD), Mark(at(20, 8), "lift-off"), 5)
    with pytest.raises(InputError, match="cannot be taken out"):
        take_out(root, CARD, version_of(root, CARD), ("point", 0))
