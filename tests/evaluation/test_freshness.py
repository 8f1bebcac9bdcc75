"""Which results still stand is told before anything is computed, and told truly."""

from __future__ import annotations

import re
import shutil
from pathlib import Path

import pytest

from wringout.dossier import load
from wringout.evaluation import Evaluation, evaluate
from wringout.evaluation.freshness import freshness, kept_evaluation
from wringout.evaluation.keys import stage_keys


@pytest.fixture
def root(demo: Evaluation, tmp_path: Path) -> Path:
    """A copy of the evaluated demo, its results too."""
    copy = tmp_path / "copy"
    shutil.copytree(demo.dossier.root, copy)
    return copy


LATER = ("claims", "answers", "exchanges", "costs", "compared")


def stale(root: Path) -> list[str]:
    """The stages that would be computed."""
    return [state.stage for state in freshness(load(root)) if not state.fresh]


def change(root: Path, file: str, old: str, new: str) -> None:
    """Edit a file as a person would."""
    place = root / file
    text = place.read_text(encoding="utf-8")
    assert len(re.findall(old, text)) > 0
    place.write_text(re.sub(old, new, text, count=1), encoding="utf-8")


def test_an_evaluated_dossier_is_fresh_wherever_it_lies(root: Path, demo: Evaluation) -> None:
    """Every stage, and the whole evaluation comes from the store, equal to the first."""
    assert stale(root) == []
    kept = kept_evaluation(load(root))
    assert kept is not None
    assert kept.key == demo.key
    assert kept.answer == demo.answer


def test_a_changed_claim_leaves_the_fit_fresh(root: Path) -> None:
    """Only the verdicts, and the answers that tell of them, are to be computed."""
    change(root, "claims.toml", r'statement = "', 'statement = "So they say: ')
    assert stale(root) == ["claims", "answers", "exchanges"]
    assert kept_evaluation(load(root)) is None
    assert all(state.computed for state in freshness(load(root)))


def test_a_changed_mission_leaves_the_verdicts_fresh(root: Path) -> None:
    """Only the answers are to be computed."""
    change(root, "missions.toml", r'question = "', 'question = "Once more: ')
    assert stale(root) == ["answers", "exchanges", "costs", "compared"]


def test_a_changed_card_touches_its_own_flight_alone(root: Path) -> None:
    """And what stands on it; the other flights stay."""
    change(root, "cards/flight-1.toml", r'title = "', 'title = "Again: ')
    assert stale(root) == ["flight flight-1", "points", "fit", *LATER]


def test_what_is_told_stale_is_what_is_computed(root: Path) -> None:
    """The stages that an evaluation then computes are those that were told, in that order."""
    change(root, "claims.toml", r'statement = "', 'statement = "So they say: ')
    told, computed, seen = stale(root), [], []

    def progress(stage: str, done: int, total: int, fresh: bool) -> None:
        seen.append(stage)
        if fresh:
            computed.append(stage)
        assert done == len(seen)
        assert total == len(stage_keys(load(root)))

    evaluate(root, progress)
    assert computed == told
    assert seen == list(stage_keys(load(root)))
    assert stale(root) == []


def test_a_result_that_is_taken_away_is_stale(root: Path) -> None:
    """The store is asked each time."""
    shutil.rmtree(root / "results" / "fit")
    assert stale(root) == ["fit"]
    assert [state.stage for state in freshness(load(root)) if not state.computed] == ["fit"]
