"""One value changes, and nothing else."""

import difflib
from datetime import UTC, datetime
from pathlib import Path

import pytest

from tests.dossier.broken import patient
from wringout.dossier import load, set_value
from wringout.problems import InputError

CARD = "cards/flight-1.toml"


def _changed(before: str, after: str) -> list[str]:
    return [
        line
        for line in difflib.unified_diff(before.split("\n"), after.split("\n"), lineterm="", n=0)
        if line[0] in "+-" and not line.startswith(("+++", "---"))
    ]


def test_a_value_is_changed_and_its_comment_stays(tmp_path: Path) -> None:
    """Only the value's own line differs, with its comment where it was."""
    dossier = patient(tmp_path)
    before = (tmp_path / CARD).read_text(encoding="utf-8")
    set_value(tmp_path, CARD, ("weather", 0, "qnh"), "29.85 inHg")
    removed, added = _changed(before, (tmp_path / CARD).read_text(encoding="utf-8"))
    assert removed.startswith('-qnh = "1016 hPa"')
    assert added.startswith('+qnh = "29.85 inHg"')
    assert added.endswith('# or "30.00 inHg"')
    assert dossier.problems() == ()


def test_a_moment_is_added_and_taken_away_again(tmp_path: Path) -> None:
    """The boundary of a point is set, read back, and removed: the file is as it was."""
    patient(tmp_path)
    before = (tmp_path / CARD).read_text(encoding="utf-8")
    moment = datetime(2026, 5, 12, 9, 2, tzinfo=UTC)
    set_value(tmp_path, CARD, ("point", 1, "start"), moment)
    assert load(tmp_path).cards[0].points[1].start == moment
    set_value(tmp_path, CARD, ("point", 1, "start"), None)
    assert load(tmp_path).cards[0].points[1].start is None
    assert _changed(before, (tmp_path / CARD).read_text(encoding="utf-8")) == []


def test_line_ends_stay(tmp_path: Path) -> None:
    """A file with carriage returns keeps them."""
    patient(tmp_path)
    whole = (tmp_path / CARD).read_bytes().replace(b"\n", b"\r\n")
    (tmp_path / CARD).write_bytes(whole)
    set_value(tmp_path, CARD, ("title",), "Another title")
    after = (tmp_path / CARD).read_bytes()
    assert after.count(b"\r\n") == after.count(b"\n") == whole.count(b"\n")


@pytest.mark.parametrize(
    "path", [("point", 99, "start"), ("nothing", "start"), ("title", "x"), (), ("point", 0)]
)
def test_what_is_not_there_is_not_changed(tmp_path: Path, path: tuple[str | int, ...]) -> None:
    """A place that the file does not have is refused, and the file stays."""
    patient(tmp_path)
    before = (tmp_path / CARD).read_bytes()
    with pytest.raises(InputError):
        set_value(tmp_path, CARD, path, "x")
    assert (tmp_path / CARD).read_bytes() == before


def test_a_damaged_file_is_not_changed(tmp_path: Path) -> None:
    """What is not TOML is told with its line, not rewritten."""
    dossier = patient(tmp_path)
    line = dossier.replace(CARD, 'title = "', "title = ")
    with pytest.raises(InputError, match=f"line {line}"):
        set_value(tmp_path, CARD, ("title",), "x")
