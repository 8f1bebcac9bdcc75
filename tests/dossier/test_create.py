"""A new dossier is right, explained, and never written over another."""

from pathlib import Path

import pytest

from wringout.dossier import check, create, load
from wringout.problems import InputError


def test_a_new_dossier_passes_and_loads(tmp_path: Path) -> None:
    """What `create` makes has no problem, says that it is invented, and holds one of everything."""
    files = create(tmp_path / "new" / "dossier")
    root = tmp_path / "new" / "dossier"
    assert all((root / file).is_file() for file in files)
    assert (root / "recordings").is_dir()
    assert check(root) == ()
    dossier = load(root)
    assert dossier.invented
    assert dossier.airplane.invented
    assert dossier.claims
    assert dossier.cards[0].points
    assert dossier.strips
    assert dossier.missions[0].loads
    assert dossier.airplane.electrical
    assert dossier.costs
    assert len(dossier.airplane.configurations) == 2
    assert [file for file, _ in dossier.files] == sorted(files)
    assert all(len(digest) == 64 for _, digest in dossier.files)


def test_the_cautions_stand_on_the_card(tmp_path: Path) -> None:
    """Whoever plans stalls or short fields reads what that needs."""
    create(tmp_path)
    card = (tmp_path / "cards/flight-1.toml").read_text(encoding="utf-8")
    assert "qualified pilot" in card
    assert "flight manual governs" in card


def test_nothing_is_written_over(tmp_path: Path) -> None:
    """One file of a dossier in the folder is enough to leave it alone."""
    (tmp_path / "claims.toml").write_text("mine", encoding="utf-8")
    with pytest.raises(InputError, match=r"already holds claims\.toml"):
        create(tmp_path)
    assert [entry.name for entry in tmp_path.iterdir()] == ["claims.toml"]
    assert (tmp_path / "claims.toml").read_text(encoding="utf-8") == "mine"


def test_a_folder_that_cannot_be_made_is_said(tmp_path: Path) -> None:
    """A file in the way gives one sentence."""
    (tmp_path / "file").write_text("x", encoding="utf-8")
    with pytest.raises(InputError, match="cannot be made"):
        create(tmp_path / "file" / "dossier")
