"""`gear` and `electrics` answer people in words and tables and programs in JSON."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path

import pytest

from tests.conftest import Ran
from wringout.evaluation import Evaluation
from wringout.evaluation.electrics import answer_electrics
from wringout.evaluation.gear import answer_gear

Command = Callable[..., Ran]


def test_gear_in_words_and_in_json(wringout: Command, demo: Evaluation) -> None:
    """The sentence first, every table, the caution; the same answer in SI for programs."""
    root = demo.dossier.root
    told = wringout(
        "gear", root, "--configuration", "nose wheel", "--cg", "1060 mm", "--ground", "sandy loam, moist"
    )
    assert (told.code, told.err) == (0, "")
    assert told.out.startswith("As nose wheel, 14 to 29 % of the weight stands on the nose wheel")
    assert "On soft ground: sandy loam, moist" in told.out
    assert "Caution: " in told.out
    plain = json.loads(wringout("gear", root, "--json").out)
    answer = answer_gear(demo.dossier, fit=demo.fit)
    assert plain["thrust"]["value"] == pytest.approx(answer.thrust.value)
    assert plain["standing"]["tip_angle"]["unit"] == "rad"
    assert plain["report"]["rules"][0]["holds"] is True
    assert plain["caution"]
    assert plain["sentences"]


def test_electrics_in_words_and_in_json(wringout: Command, demo: Evaluation) -> None:
    """A cold battery is asked with its hyphen; the trip and the half hour are told."""
    root = demo.dossier.root
    told = wringout("electrics", root, "--temperature", "-10 °C", "--age", "70 %", "--shed", "to the engine")
    assert (told.code, told.err) == (0, "")
    assert told.out.startswith(
        "If the alternator stops, with the batteries at −10 °C, the engine stops after"
    )
    assert "What runs, and until when" in told.out
    assert "from the nearer landing" in told.out
    plain = json.loads(wringout("electrics", root, "--json").out)
    answer = answer_electrics(demo.dossier, None, demo.fit)
    assert answer.found.engine is not None
    assert plain["found"]["engine"]["value"] == pytest.approx(answer.found.engine.value)
    assert plain["found"]["engine"]["unit"] == "s"
    assert plain["trip"]["mission"]
    assert len(plain["sensitivity"]) == len(plain["temperatures"])


def test_what_cannot_be_asked_is_told_in_a_sentence(
    wringout: Command, demo: Evaluation, tmp_path: Path
) -> None:
    """Unknown configuration, failure and CG: exit code 1 and what mends it; no dossier likewise."""
    root = demo.dossier.root
    for arguments, says in (
        (("gear", root, "--configuration", "hover skirt"), "hover skirt"),
        (("gear", root, "--cg", "9 m"), "between the wheels"),
        (("electrics", root, "--failure", "gremlins"), "the alternator stops"),
        (("electrics", root, "--age", "0 %"), "more than nothing"),
        (("gear", tmp_path), "dossier.toml"),
    ):
        ran = wringout(*arguments)
        assert ran.code == 1
        assert says in ran.err
        assert ran.out == ""


def test_a_new_dossier_is_answered_before_it_was_flown(wringout: Command, tmp_path: Path) -> None:
    """The template's airplane tells its wheels and its failure with nothing fitted."""
    assert wringout("new", tmp_path / "mine").code == 0
    told = wringout("gear", tmp_path / "mine")
    assert (told.code, told.err) == (0, "")
    assert "nothing fitted yet" in told.out
    dark = wringout("electrics", tmp_path / "mine")
    assert (dark.code, dark.err) == (0, "")
    assert "goes dark" in dark.out or "go dark" in dark.out
