"""The commands of cost and comparison, for people and for programs."""

from __future__ import annotations

import json
import shutil
from collections.abc import Callable
from pathlib import Path

import pytest

from tests.conftest import Ran
from wringout.evaluation import Evaluation

Command = Callable[..., Ran]


def test_what_it_costs_in_words(wringout: Command, demo: Evaluation) -> None:
    """The sentence, the hour by its parts, every assumption with its source, the break-even, the caution."""
    ran = wringout("cost", demo.dossier.root)
    assert (ran.code, ran.err) == (0, "")
    assert ran.out.startswith("An hour with the tail wheel costs")
    for part in ("reserves for what comes due", "insurance", "two brokers' offers", "By the nautical mile"):
        assert part in ran.out
    assert "Caution: A sum of assumptions" in ran.out
    assert "nan" not in ran.out.lower().replace("maintenance", "")


def test_what_it_costs_for_programs(wringout: Command, demo: Evaluation) -> None:
    """SI and the dossier's currency; parts that add up; assumptions with their sources."""
    answer = json.loads(wringout("cost", demo.dossier.root, "--json").out)
    assert answer["currency"] == "EUR"
    first = answer["configurations"][0]
    assert sum(part["value"] for part in first["parts"].values()) == pytest.approx(first["second"]["value"])
    assert first["second"]["value"] * 180 * 3600 == pytest.approx(first["year"]["value"])
    assert all(item["source"] for item in first["assumptions"])
    assert first["hangs_on"][0]["key"] == "hours_per_year"
    assert {mission["mission"] for mission in first["missions"]}
    assert answer["break_even"][0]["same_hours"]["flown_per_year"] is None
    assert answer["break_even"][0]["same_distance"]["flown_per_year"] > 0


def test_an_assumption_is_tried(wringout: Command, demo: Evaluation) -> None:
    """It changes the answer and not the file; one that is none is refused in words."""
    root = demo.dossier.root
    before = (root / "costs.toml").read_bytes()
    ran = wringout("cost", root, "--assume", "hours_per_year=360 h", "--configuration", "nose wheel")
    assert ran.out.startswith("An hour with the nose wheel costs")
    assert "at 360 h a year" in ran.out
    assert (root / "costs.toml").read_bytes() == before
    wrong = wringout("cost", root, "--assume", "hours_per_year=dear")
    assert wrong.code == 1
    assert "costs.toml" in wrong.err
    assert wringout("cost", root, "--assume", "hours").code == 1
    assert "no assumption 'hour'" in wringout("cost", root, "--assume", "hour=3").err


def test_configurations_compared_in_words(wringout: Command, demo: Evaluation) -> None:
    """The missions first, then who gains and gives up what, tables, caution."""
    ran = wringout("compare", demo.dossier.root)
    assert (ran.code, ran.err) == (0, "")
    assert ran.out.startswith("Of 5 missions")
    assert "Against the tail wheel the nose wheel gives up" in ran.out
    assert "clinic day at High Rannel" in ran.out
    assert "Caution: Each airplane as its own flights taught it" in ran.out


def test_configurations_compared_for_programs(wringout: Command, demo: Evaluation) -> None:
    """Medians, intervals, differences and probabilities of each against each."""
    answer = json.loads(wringout("compare", demo.dossier.root, "--json").out)
    assert [item["name"] for item in answer["contenders"]] == ["tail wheel", "nose wheel"]
    cruise = next(item for item in answer["measures"] if item["measure"] == "cruise")
    assert cruise["unit"] == "m/s"
    figures, difference = cruise["figures"], cruise["differences"][1]
    assert figures[1]["median"] - figures[0]["median"] == pytest.approx(difference["median"], abs=0.2)
    assert cruise["probability_better_than_each"][1][0] > 0.9
    assert len(answer["missions"]) == 5
    assert {"payload", "strip", "cost"} <= {
        item["measure"].rpartition(": ")[2] for item in answer["missions"][0]["measures"]
    }


def test_what_cannot_be_compared_is_refused(wringout: Command, demo: Evaluation, tmp_path: Path) -> None:
    """One alone, a configuration that is none, and a dossier without costs asked for them."""
    root = demo.dossier.root
    assert "Name two to 4" in wringout("compare", root, "--configurations", "tail wheel").err
    assert "no configuration 'floats'" in wringout("compare", root, "--configurations", "floats").err
    shutil.copytree(root, tmp_path / "demo")
    (tmp_path / "demo" / "costs.toml").unlink()
    ran = wringout("cost", tmp_path / "demo")
    assert ran.code == 1
    assert "costs.toml" in ran.err
