"""Recordings come in whole, under plain names, and never over another; then a card names them."""

from __future__ import annotations

import io
import stat
from dataclasses import replace
from datetime import UTC, date, datetime
from pathlib import Path

import pytest

from wringout.dossier import create, load
from wringout.dossier.attaching import Entry, NewCard, TypedWeather, attach, detach, new_card
from wringout.dossier.history import version_of
from wringout.dossier.receiving import plain_name, receive, recordings_in
from wringout.problems import InputError
from wringout.recordings.proposal import Proposal, propose

CARD = "cards/flight-1.toml"
LARGEST = 1_000_000
WEATHER = TypedWeather(
    datetime(2026, 5, 12, 9, 30, tzinfo=UTC), "120 m", "1016 hPa", "14 °C", "250 °", "6 kt", "2 kt", "10 m"
)


@pytest.fixture
def root(tmp_path: Path) -> Path:
    """A new dossier."""
    create(tmp_path / "dossier")
    return tmp_path / "dossier"


def gpx(height: int = 120) -> bytes:
    """Four fixes."""
    points = "".join(
        f'<trkpt lat="54.0000{k}" lon="-2.5"><ele>{height + k}</ele>'
        f"<time>2026-05-12T09:00:0{k}Z</time></trkpt>"
        for k in range(4)
    )
    return (
        f'<gpx xmlns="http://www.topografix.com/GPX/1/1"><trk><trkseg>{points}</trkseg></trk></gpx>'.encode()
    )


def table() -> bytes:
    """An engine monitor's rows, of a time without its zone."""
    rows = "".join(f"2026-05-12 09:00:0{k},{60 + k},2400,{20 + k}\n" for k in range(5))
    return f"Time,IAS (kt),RPM,Something\n{rows}".encode()


def test_a_recording_is_copied_as_it_is(root: Path) -> None:
    """Byte for byte, readable by others, and its columns are asked for only where it has some."""
    received = receive(root, "C:\\logs\\morning.gpx", io.BytesIO(gpx()), LARGEST)
    assert (received.path, received.known, received.mapped) == ("recordings/morning.gpx", False, False)
    place = root / received.path
    assert place.read_bytes() == gpx()
    assert stat.S_IMODE(place.stat().st_mode) == 0o644
    assert receive(root, "engine.csv", io.BytesIO(table()), LARGEST).mapped
    assert recordings_in(root) == ("recordings/engine.csv", "recordings/morning.gpx")


def test_nothing_is_ever_overwritten(root: Path) -> None:
    """The same bytes are known; other bytes under the same name, in whatever case, get a number."""
    receive(root, "log.gpx", io.BytesIO(gpx()), LARGEST)
    assert receive(root, "log.gpx", io.BytesIO(gpx()), LARGEST).known
    other = receive(root, "LOG.gpx", io.BytesIO(gpx(300)), LARGEST)
    assert (other.path, other.known) == ("recordings/LOG-2.gpx", False)
    assert (root / "recordings/log.gpx").read_bytes() == gpx()
    assert (root / other.path).read_bytes() == gpx(300)


@pytest.mark.parametrize(
    ("name", "data", "words"),
    [
        ("empty.gpx", b"", "empty"),
        ("broken.gpx", gpx()[:-40], "broken.gpx, line 1"),
        ("note.csv", b"dear diary\n", "note.csv"),
        ("large.gpx", gpx() + b" " * LARGEST, "more than 1 MB"),
    ],
)
def test_what_cannot_be_read_leaves_nothing_behind(root: Path, name: str, data: bytes, words: str) -> None:
    """It is refused by its own name, and no part of it stays."""
    with pytest.raises(InputError, match=words):
        receive(root, name, io.BytesIO(data), LARGEST)
    assert list((root / "recordings").iterdir()) == []


@pytest.mark.parametrize("name", ["", ".hidden", "a\nb.gpx", "b?.gpx", "x" * 200 + ".gpx", "dir/", "log."])
def test_names_that_not_every_system_can_keep_are_refused(name: str) -> None:
    """In words that say what to do."""
    with pytest.raises(InputError, match="Rename it"):
        plain_name(name)


def mapped(root: Path) -> Entry:
    """The engine's table in the dossier, its zone told."""
    path = receive(root, "engine.csv", io.BytesIO(table()), LARGEST).path
    proposal: Proposal = propose(root / path)
    assert proposal.asked
    return Entry(path, replace(proposal, mapping=replace(proposal.mapping, zone="+01:00"), asked=()))


def test_a_card_names_a_recording_and_lets_it_go(root: Path) -> None:
    """What is read back is what was chosen; the comments of the card stay; the file stays too."""
    before = (root / CARD).read_text(encoding="utf-8")
    version = attach(root, CARD, version_of(root, CARD), mapped(root))
    text = (root / CARD).read_text(encoding="utf-8")
    (named,) = load(root).cards[0].recordings
    assert named.mapping is not None
    assert named.mapping.zone == "+01:00"
    assert named.mapping.channels["indicated_airspeed"].unit == "kt"
    assert [line for line in before.splitlines() if line not in text.splitlines()] == []
    assert text.index("[[recording]]\npath") < text.index("\n[loading]")
    with pytest.raises(InputError, match="already"):
        attach(root, CARD, version, mapped(root))
    detach(root, CARD, version, 0)
    assert load(root).cards[0].recordings == ()
    assert (root / named.path).exists()


def test_a_header_within_a_note_is_no_place_for_a_recording(root: Path) -> None:
    """The card's own words are never cut in two."""
    text = (
        (root / CARD).read_text(encoding="utf-8").replace('notes = ""', 'notes = """\n[loading]\nheavy\n"""')
    )
    (root / CARD).write_text(text, encoding="utf-8")
    path = receive(root, "log.gpx", io.BytesIO(gpx()), LARGEST).path
    attach(root, CARD, version_of(root, CARD), Entry(path))
    card = load(root).cards[0]
    assert card.notes == "[loading]\nheavy"
    assert card.recordings[0].path == path


def test_a_new_card_takes_over_a_loading(root: Path) -> None:
    """All of it but the fuel left at the other flight's shutdown; a name that is taken is refused."""
    airplane = load(root).airplane
    made = NewCard("flight-2", "Circuits", date(2026, 5, 12), "A. Nobody", "tail wheel", CARD)
    assert new_card(root, airplane, made, mapped(root), WEATHER) == "cards/flight-2.toml"
    first, second = load(root).cards
    assert second.loading == first.loading
    assert second.weather[0].qnh == 101_600.0
    assert second.recordings[0].path == "recordings/engine.csv"
    with pytest.raises(InputError, match="already"):
        new_card(root, airplane, made, mapped(root), WEATHER)


def test_a_new_card_that_contradicts_the_dossier_is_not_made(root: Path) -> None:
    """An unknown configuration, or a name that leads out: nothing is written."""
    airplane = load(root).airplane
    wrong = NewCard("flight-2", "Circuits", date(2026, 5, 12), "A. Nobody", "floats")
    with pytest.raises(InputError, match="floats"):
        new_card(root, airplane, wrong, mapped(root), WEATHER)
    with pytest.raises(InputError, match="leads out"):
        new_card(root, airplane, replace(wrong, name="../x"), mapped(root), WEATHER)
    assert sorted(path.name for path in (root / "cards").iterdir()) == ["flight-1.toml"]
