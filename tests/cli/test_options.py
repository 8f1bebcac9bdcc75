"""`options` and `handling`: the answer first, table and caution, JSON that is whole, refusals in words."""

import json
import shutil
from collections.abc import Callable
from pathlib import Path

import pypdf
import pytest

from tests.conftest import Ran
from wringout.evaluation import Evaluation

Run = Callable[..., Ran]


def test_the_overview_names_every_build_and_option(wringout: Run, demo_root: Path) -> None:
    """The sentence, both tables, the caution; the same as JSON."""
    said = wringout("options", demo_root)
    assert said.code == 0
    assert said.out.startswith("Useful load: tail wheel 422 kg")
    for words in ("nose wheel", "skis", "injected engine", "not with nose-wheel kit", "licensed mechanic"):
        assert words in " ".join(said.out.split())
    plain = json.loads(wringout("options", demo_root, "--json").out)
    assert [item["configuration"] for item in plain["builds"]] == ["tail wheel", "nose wheel", "skis"]
    assert len(plain["options"]) == 9


def test_an_impossible_build_is_refused_with_every_reason(wringout: Run, demo_root: Path) -> None:
    """Exit code 1, a sentence for each reason, as JSON too."""
    wanted = ("--with", "injected engine", "--with", "powered cooler mount")
    asked = ("options", demo_root, "--gear", "nose wheel", *wanted)
    said = wringout(*asked)
    assert said.code == 1
    assert "exclude each other: its exhaust crosses over where the nose leg is bolted on" in said.err
    assert "Add 'second battery', or leave out 'powered cooler mount'." in said.err
    problems = json.loads(wringout(*asked, "--json").out)["problems"]
    assert len(problems) == 2


def test_an_exchange_answers_and_prints(wringout: Run, demo: Evaluation, tmp_path: Path) -> None:
    """What it does, what it changes, and the page; by hand 51.6 + 19.5 − 58.0 − 6.2 = 6.9 kg."""
    root = tmp_path / "demo"
    shutil.copytree(demo.dossier.root, root)
    said = json.loads(wringout("options", root, "--gear", "nose wheel", "--print", "--json").out)
    assert said["mass"] == pytest.approx(6.9, abs=1e-9)
    assert said["labour"] == 9 * 3600 * 2
    assert said["prices"] == [{"currency": "EUR", "amount": 14800.0}]
    assert said["changes"]["missions"]
    assert any(item["changed"] for item in said["changes"]["claims"])
    assert len(pypdf.PdfReader(root / said["file"]).pages) == 1
    words = " ".join(wringout("options", root, "--gear", "nose wheel").out.split())
    assert words.startswith("Nose wheel with survival rack: empty 6.9 kg heavier")
    assert "licensed mechanic" in words


@pytest.mark.parametrize(
    ("more", "wanted"),
    [
        (("--gear", "nose weel"), "nose wheel"),
        (("--with", "cargo flor with rails"), "cargo floor with rails"),
        (("--without", "belly pod"), "survival rack"),
        (("--print",), "--gear"),
        (("--gear", "skis", "--paper", "a3"), "a4 or us-letter"),
    ],
)
def test_what_is_asked_wrongly_is_told_with_the_mend(
    wringout: Run, demo_root: Path, more: tuple[str, ...], wanted: str
) -> None:
    """The nearest name, or what can be asked."""
    said = wringout("options", demo_root, *more)
    assert said.code == 1
    assert wanted in said.err


def test_a_dossier_without_options_still_tells_its_kits(wringout: Run, tmp_path: Path) -> None:
    """The template's two configurations; nothing flown, so that what changes is not known, and why."""
    root = tmp_path / "new"
    assert wringout("new", root).code == 0
    assert "No option is described" in wringout("options", root).out
    said = wringout("options", root, "--gear", "nose wheel")
    assert said.code == 0
    assert "8.5 kg heavier" in said.out


def test_handling_is_told_in_the_pilots_words(wringout: Run, demo_root: Path) -> None:
    """Sentence, tables, caution; every force and its uncertainty as JSON in newtons."""
    said = wringout("handling", demo_root)
    words = " ".join(said.out.split())
    assert words.startswith(
        "Nine tasks rated from 2 to 5 on the ten-point scale; the worst is ‘stall, flap 45"
    )
    for part in ("4; 3 to 5", "17.0 ± 0.3", "N/kt", "ratings are not averaged", "the whole strip"):
        assert part in words
    record = json.loads(wringout("handling", demo_root, "--json").out)["record"]
    assert record["forces"][0]["readings"][0]["signed"]["value"] == 17.0


@pytest.mark.parametrize(
    ("answers", "wanted"),
    [
        ("", "Is it controllable?"),
        ("yes", "Is adequate performance attainable with a tolerable pilot workload?"),
        ("yes,yes", "Is it satisfactory without improvement?"),
        ("no", [10]),
        ("yes,no", [7, 8, 9]),
        ("yes,yes,no", [4, 5, 6]),
        ("yes, yes, yes", [1, 2, 3]),
    ],
)
def test_the_scale_is_walked_question_by_question(
    wringout: Run, answers: str, wanted: str | list[int]
) -> None:
    """In the published order, to each of the four ends."""
    said = json.loads(wringout("handling", "--answers", answers, "--json").out)
    found = said["question"] or [item["rating"] for item in said["choices"]]
    assert found == wanted


def test_wrong_answers_are_refused(wringout: Run) -> None:
    """Beyond an end, or no answer at all."""
    assert "the tree ends" in wringout("handling", "--answers", "no,yes").err
    assert "yes,yes,no" in wringout("handling", "--answers", "perhaps").err
    assert len(json.loads(wringout("handling", "--scale", "--json").out)["ratings"]) == 10
