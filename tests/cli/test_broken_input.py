"""Every file of the folder of broken dossiers and recordings is answered in words, never with a number."""

from __future__ import annotations

import json
import shutil
from collections.abc import Callable
from pathlib import Path

import pytest

from tests.conftest import Ran
from wringout.dossier import create

BROKEN = Path(__file__).parent.parent / "broken"
DOSSIERS = sorted((BROKEN / "dossiers").iterdir())
RECORDINGS = sorted((BROKEN / "recordings").iterdir())
MAPPING = """
time_column = "time"
time_format = "iso"

[recording.columns]
latitude = { column = "lat", unit = "°" }
longitude = { column = "lon", unit = "°" }
indicated_airspeed = { column = "ias", unit = "kt" }
"""
# Commands that stand on the whole dossier; each must refuse.
COMMANDS = ("check", "loading", "flights", "points", "fit", "claims", "report")


@pytest.fixture
def dossier(tmp_path: Path) -> Path:
    """A new dossier in which nothing is wrong yet."""
    root = tmp_path / "dossier"
    create(root)
    return root


def said(ran: Ran) -> list[str]:
    """The sentences with which a command refused; it must have refused, and said nothing else."""
    assert ran.code == 1, ran
    text = ran.err or ran.out
    assert "Traceback" not in text
    return [line for line in text.splitlines() if line and "to mend" not in line]


@pytest.mark.parametrize("case", DOSSIERS, ids=lambda case: case.name)
def test_a_broken_dossier_is_refused_by_every_command(
    wringout: Callable[..., Ran], dossier: Path, case: Path
) -> None:
    """File, what is wrong and what mends it, in one sentence each; exit code 1."""
    shutil.copytree(case, dossier, dirs_exist_ok=True)
    changed = next(path.name for path in case.rglob("*") if path.is_file())
    for command in COMMANDS:
        sentences = said(wringout(command, dossier))
        assert sentences
        assert all(changed in sentence and sentence.endswith((".", "?")) for sentence in sentences), sentences
    answer = json.loads(wringout("fit", dossier, "--json").out)
    assert [problem["file"].endswith(changed) for problem in answer["problems"]] == [True] * len(sentences)


@pytest.mark.parametrize("case", RECORDINGS, ids=lambda case: case.name)
def test_a_broken_recording_is_refused_in_one_sentence(
    wringout: Callable[..., Ran], dossier: Path, case: Path
) -> None:
    """Empty, binary, truncated, backward, repeated, without numbers, columns or zone: one sentence each."""
    (dossier / "recordings").mkdir(exist_ok=True)
    shutil.copy(case, dossier / "recordings" / case.name)
    entry = f'\n[[recording]]\npath = "recordings/{case.name}"\n'
    card = dossier / "cards" / "flight-1.toml"
    card.write_text(card.read_text(encoding="utf-8") + entry + (MAPPING if case.suffix == ".csv" else ""))
    for command in ("check", "flights", "report"):
        sentences = said(wringout(command, dossier))
        assert len(sentences) == 1, sentences
        assert case.name in sentences[0]
    assert not (dossier / "report").exists()
