"""Edits: the version they were made on, taken back and done again, whatever happens in between."""

from __future__ import annotations

import json
import os
import random
import re
import subprocess
import sys
import time
from pathlib import Path

import pytest

from wringout.dossier import create, set_value
from wringout.dossier.editing import with_item, without_item
from wringout.dossier.history import (
    FOLDER,
    MOST_STATES,
    StaleError,
    edit_text,
    edit_value,
    redo,
    steps,
    undo,
    version_of,
)
from wringout.problems import InputError

FILE = "airplane.toml"
SPAN = ("geometry", "span")


@pytest.fixture
def root(tmp_path: Path) -> Path:
    """A new dossier."""
    create(tmp_path / "dossier")
    return tmp_path / "dossier"


def text(root: Path) -> str:
    return (root / FILE).read_text(encoding="utf-8")


def span(root: Path, value: str) -> str:
    """The version after one edit of the span, made on the file as it is."""
    return edit_value(root, FILE, version_of(root, FILE), SPAN, value)


def test_an_edit_leaves_comments_and_can_be_taken_back_and_done_again(root: Path) -> None:
    """Undo gives the very bytes of before, redo those of after; the buttons say what they do."""
    before = text(root)
    version = span(root, "10.4 m")
    after = text(root)
    assert after == before.replace('span = "10.2 m"', 'span = "10.4 m"')
    assert steps(root, FILE).undo == "span: 10.2 m → 10.4 m"
    version = undo(root, FILE, version)
    assert text(root) == before
    assert (steps(root, FILE).undo, steps(root, FILE).redo) == (None, "span: 10.2 m → 10.4 m")
    redo(root, FILE, version)
    assert text(root) == after


def test_an_edit_made_on_another_version_is_refused(root: Path) -> None:
    """Two people, two pages: the second is told, and nothing of the first is lost."""
    opened = version_of(root, FILE)
    span(root, "10.4 m")
    with pytest.raises(StaleError, match="changed elsewhere") as refused:
        edit_value(root, FILE, opened, SPAN, "9.9 m")
    assert '"10.4 m"' in text(root)
    assert refused.value.version == version_of(root, FILE)
    with pytest.raises(StaleError):
        undo(root, FILE, opened)


def test_edits_of_different_values_do_not_disturb_one_another(root: Path) -> None:
    """Two pages, or two fields left one after the other: both count, and so does the same edit sent twice."""
    opened = version_of(root, FILE)
    edit_value(root, FILE, opened, SPAN, "10.4 m")
    once = edit_value(root, FILE, opened, ("station", 1, "arm"), "1.55 m")
    assert edit_value(root, FILE, opened, ("station", 1, "arm"), "1.55 m") == once
    assert 'span = "10.4 m"' in text(root)
    assert 'arm = "1.55 m"' in text(root)


def test_a_place_in_a_list_that_is_another_table_now_is_refused(root: Path) -> None:
    """The second station's limit was meant; the second station is another one meanwhile."""
    opened = version_of(root, FILE)
    data = (
        text(root).replace('name = "front seats"', 'name = "x"').replace('name = "cargo bay"', 'name = "y"')
    )
    edit_text(root, FILE, opened, data)
    with pytest.raises(StaleError):
        edit_value(root, FILE, opened, ("station", 1, "arm"), "1.55 m")


def test_an_edit_that_would_break_the_dossier_is_refused_in_the_words_of_check(root: Path) -> None:
    """The file is as it was, and the sentence names the place and the mend."""
    before = text(root)
    with pytest.raises(InputError, match=r"span.*unit") as refused:
        span(root, "10.4")
    assert refused.value.problems[0].line is not None
    assert text(root) == before
    assert steps(root, FILE).undo is None


def test_text_half_done_is_kept(root: Path) -> None:
    """Whoever edits the whole text may stop in the middle of it."""
    edit_text(root, FILE, version_of(root, FILE), "name = ")
    assert text(root) == "name = "
    undo(root, FILE, version_of(root, FILE))
    assert "[geometry]" in text(root)


def test_a_new_edit_after_undo_forgets_what_was_undone(root: Path) -> None:
    """History is one line."""
    undo(root, FILE, span(root, "10.4 m"))
    span(root, "10.6 m")
    assert steps(root, FILE).redo is None
    assert steps(root, FILE).undo == "span: 10.2 m → 10.6 m"


def test_what_another_hand_wrote_is_never_taken_back(root: Path) -> None:
    """After a change in an editor the history begins anew."""
    span(root, "10.4 m")
    set_value(root, FILE, SPAN, "10.7 m")
    assert steps(root, FILE).undo is None
    version = span(root, "10.8 m")
    undo(root, FILE, version)
    assert '"10.7 m"' in text(root)
    assert steps(root, FILE).undo is None


def test_going_there_and_back_is_two_edits(root: Path) -> None:
    """Two states with equal bytes are told apart by the order in which they were written."""
    span(root, "10.4 m")
    span(root, "10.2 m")
    undo(root, FILE, version_of(root, FILE))
    assert '"10.4 m"' in text(root)
    undo(root, FILE, version_of(root, FILE))
    assert steps(root, FILE).undo is None


def test_a_stop_between_index_and_file_loses_nothing(root: Path) -> None:
    """The index knows one state more than the file has reached: it can be done again."""
    before = text(root)
    span(root, "10.4 m")
    after = text(root)
    (root / FILE).write_text(before, encoding="utf-8")  # as if the power had failed before this write
    assert (steps(root, FILE).undo, steps(root, FILE).redo) == (None, "span: 10.2 m → 10.4 m")
    redo(root, FILE, version_of(root, FILE))
    assert text(root) == after


KILLED = """
import sys
from itertools import count
from pathlib import Path
from wringout.dossier.history import edit_value, version_of
root, file, span = Path(sys.argv[1]), "airplane.toml", ("geometry", "span")
for number in count(int(sys.argv[2])):
    edit_value(root, file, version_of(root, file), span, f"{number} mm")
    print(number, flush=True)
"""
FIRST, PATIENCE = 9_000, 3  # mm; edits that are sure to be over before the writer is killed


def test_killed_at_any_moment_the_file_is_whole_and_its_history_leads_back(root: Path) -> None:
    """kill -9 amid edits: no edit that was saved is lost, and each step back is a whole file of before."""
    before, start, chance = text(root), FIRST, random.Random(20260512)
    for _ in range(4):
        writer = subprocess.Popen(
            [sys.executable, "-c", KILLED, str(root), str(start)], stdout=subprocess.PIPE, text=True
        )
        assert writer.stdout is not None
        for _ in range(PATIENCE):
            assert writer.stdout.readline().strip()
        time.sleep(chance.uniform(0.0, 0.05))
        writer.kill()
        saved = [start + PATIENCE - 1, *(int(line) for line in writer.stdout if line.strip())]
        writer.stdout.close()
        writer.wait()
        written = re.search(r'span = "(\d+) mm"', text(root))
        assert written
        # The edit that was under way is there or not; each that was told as saved is there.
        assert int(written[1]) - saved[-1] in {0, 1}
        start = int(written[1]) + 1
    taken_back = 0
    while steps(root, FILE).undo:
        undo(root, FILE, version_of(root, FILE))
        assert "[geometry]" in text(root)
        taken_back += 1
    assert taken_back == min(start - FIRST, MOST_STATES - 1)
    assert text(root) == before or start - FIRST > MOST_STATES - 1


def test_history_is_bounded(root: Path) -> None:
    """A hundred states of a file, no more, and no kept state that the index does not name."""
    version = version_of(root, FILE)
    for number in range(MOST_STATES + 5):
        version = edit_text(root, FILE, version, f"# {number}\n")
    kept = list((root / FOLDER / FILE).iterdir())
    assert len(kept) == MOST_STATES + 1
    index = json.loads((root / FOLDER / FILE / "index.json").read_text())
    assert {state[0] for state in index["states"]} == {path.name for path in kept} - {"index.json"}


def test_a_damaged_history_takes_nothing_back(root: Path) -> None:
    """The file itself is whole, and edits go on."""
    span(root, "10.4 m")
    (root / FOLDER / FILE / "index.json").write_text("{")
    assert steps(root, FILE).undo is None
    span(root, "10.6 m")
    assert steps(root, FILE).undo == "span: 10.4 m → 10.6 m"


@pytest.mark.parametrize(
    "file",
    ["recordings/a.csv", "results/fit/a.npz", ".history/a", "report/report.pdf", "../a.toml", "/etc/hosts"],
)
def test_what_is_not_for_editing_is_refused(root: Path, file: str) -> None:
    """Raw logs, results, the history itself, and whatever lies outside."""
    with pytest.raises(InputError):
        edit_text(root, file, "0", "x")


@pytest.mark.skipif(os.geteuid() == 0, reason="the superuser may write anywhere")
def test_a_folder_that_cannot_be_written_is_told(root: Path) -> None:
    """Permissions in one sentence; the file is as it was."""
    root.chmod(0o500)
    try:
        with pytest.raises(InputError, match="cannot be written"):
            span(root, "10.4 m")
    finally:
        root.chmod(0o700)


def test_a_table_is_added_to_a_list_and_taken_out(root: Path) -> None:
    """The rest of the file, comments too, stays as it was."""
    data = (root / FILE).read_bytes()
    added = with_item(FILE, data, ("station",), {"name": "nose box", "arm": "0.20 m", "holds": "things"})
    assert b'name = "nose box"' in added
    lines = iter(added.splitlines())
    assert all(line in lines for line in data.splitlines())
    taken = without_item(FILE, added, ("station", 2))
    assert b"nose box" not in taken
    assert b"# Arms are measured aft of the datum" in taken
    with pytest.raises(InputError, match="there is no 'station"):
        without_item(FILE, taken, ("station", 7))
