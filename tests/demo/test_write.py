"""The demo dossier is a clean, complete, repeatable dossier that says that it is invented."""

import filecmp
import shutil
from pathlib import Path

import pytest

from wringout.demo import write_demo
from wringout.demo.setup import AIRPLANES, setup, text
from wringout.demo.write import STATIC_FILES, demo_flight
from wringout.dossier import check, load
from wringout.problems import InputError


def test_the_demo_has_no_problem(demo: Path) -> None:
    """Every file of the demo passes the dossier's own check."""
    assert check(demo) == ()


def test_the_demo_says_that_it_is_invented(demo: Path) -> None:
    """Nobody can take the Shepherd for a real airplane."""
    dossier = load(demo)
    assert dossier.invented
    assert dossier.airplane.invented


def test_the_demo_has_what_an_evaluation_has(demo: Path) -> None:
    """Cards with logs, claims, trips, twelve strips: one steep, one between trees, one a salt pan."""
    dossier = load(demo)
    assert [len(card.recordings) for card in dossier.cards] == [2] * 5
    assert len(dossier.claims) >= 12
    assert len(dossier.missions) >= 4
    assert len(dossier.strips) == 12
    heights = [strip.elevation for strip in dossier.strips]
    assert (min(heights), max(heights)) == (310.0, 1870.0)
    assert max(strip.slope for strip in dossier.strips) == pytest.approx(0.09)
    assert any(strip.obstacle_near > 15.0 and strip.obstacle_far > 15.0 for strip in dossier.strips)
    assert any(strip.surface == "salt pan" for strip in dossier.strips)


def test_the_demo_is_repeatable(demo: Path) -> None:
    """The same seed gives the same bytes, another seed another flight."""
    again = demo_flight(setup(), 3)
    assert (demo / "recordings" / "flight-3a.gpx").read_text(encoding="utf-8") == again.gpx
    assert (demo / "recordings" / "flight-3a-engine.csv").read_text(encoding="utf-8") == again.engine_csv
    assert (demo / "cards" / "flight-3a.toml").read_text(encoding="utf-8") == again.card
    assert demo_flight(setup(), 3, seed=1).gpx != again.gpx


def test_a_folder_with_files_is_left_alone(tmp_path: Path) -> None:
    """Nothing of a person's own is overwritten."""
    mine = tmp_path / "mine.txt"
    mine.write_text("keep me", encoding="utf-8")
    with pytest.raises(InputError, match="something other than the demo"):
        write_demo(tmp_path)
    assert [entry.name for entry in tmp_path.iterdir()] == ["mine.txt"]


def test_a_demo_cut_short_is_completed(demo: Path, tmp_path: Path) -> None:
    """What is missing comes back the same; what a person has changed stays."""
    copy = tmp_path / "copy"
    shutil.copytree(demo, copy)
    (copy / "cards" / "flight-2b.toml").unlink()
    (copy / "strips.csv").unlink()
    (copy / "missions.toml").write_text("# my own trips\n", encoding="utf-8")
    write_demo(copy)
    assert filecmp.cmp(copy / "cards" / "flight-2b.toml", demo / "cards" / "flight-2b.toml", shallow=False)
    assert (copy / "strips.csv").exists()
    assert (copy / "missions.toml").read_text(encoding="utf-8") == "# my own trips\n"


def test_the_written_part_is_copied_unchanged(demo: Path) -> None:
    """What a person wrote for the demo arrives with its comments."""
    for name in STATIC_FILES:
        assert (demo / name).read_text(encoding="utf-8") == text(AIRPLANES[0], name)
