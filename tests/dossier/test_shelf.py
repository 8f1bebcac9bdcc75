"""The folder of dossiers: names that lead out are refused, copies are whole."""

from __future__ import annotations

from pathlib import Path

import pytest

from wringout.dossier import create, examine, load
from wringout.dossier.shelf import copy, dossiers, place
from wringout.problems import InputError

OUTSIDE = [
    "", " ", "..", ".", "../x", "a/b", "/etc", "a\\b", "C:x", ".hidden", "x.", " x", "x ", "a\0b", "a\nb",
    "a\u202eb", "x" * 81, "a*b",
]  # fmt: skip


@pytest.mark.parametrize("name", OUTSIDE)
def test_a_name_that_leads_out_is_refused_in_words(tmp_path: Path, name: str) -> None:
    """Dots, slashes, control characters, names too long: one sentence each."""
    with pytest.raises(InputError) as refused:
        place(tmp_path, name)
    assert len(str(refused.value).splitlines()) == 1


def test_a_link_out_of_the_shelf_is_refused_and_not_listed(tmp_path: Path) -> None:
    """Even where a dossier lies at its end."""
    create(tmp_path / "elsewhere" / "real")
    shelf = tmp_path / "shelf"
    create(shelf / "mine")
    (shelf / "linked").symlink_to(tmp_path / "elsewhere" / "real")
    assert dossiers(shelf) == ("mine",)
    with pytest.raises(InputError, match="link out"):
        place(shelf, "linked")


def test_a_copy_of_an_airplane_has_no_flights(tmp_path: Path) -> None:
    """Airplane, claims, missions and strips; nothing flown, nothing computed; and nothing wrong with it."""
    source = tmp_path / "first"
    create(source)
    (source / "results").mkdir()
    (source / "recordings" / "a.gpx").write_text("log")
    made = copy(tmp_path, "first", "second", "airplane")
    assert {path.name for path in made.iterdir()} == {
        "airplane.toml", "claims.toml", "costs.toml", "dossier.toml", "missions.toml", "recordings",
        "strips.csv",
    }  # fmt: skip
    assert load(made).airplane == load(source).airplane
    assert examine(made)[1] == ()
    whole = copy(tmp_path, "first", "third", "everything")
    assert (whole / "recordings" / "a.gpx").read_text() == "log"
    assert (whole / "cards" / "flight-1.toml").exists()
    assert not (whole / "results").exists()


def test_a_copy_over_a_dossier_is_refused(tmp_path: Path) -> None:
    """Nothing is ever written over."""
    create(tmp_path / "first")
    create(tmp_path / "second")
    with pytest.raises(InputError, match="is there already"):
        copy(tmp_path, "first", "second", "airplane")
    with pytest.raises(InputError, match="no dossier 'third'"):
        copy(tmp_path, "third", "fourth", "airplane")
    assert sorted(path.name for path in tmp_path.iterdir()) == ["first", "second"]
