"""The whole job on the demo, held against what the simulator truly does."""

from __future__ import annotations

import re
import shutil
from pathlib import Path

import numpy as np

from wringout.demo.truth import stored, stored_answers
from wringout.dossier import create
from wringout.evaluation import Evaluation, evaluate, fit_model
from wringout.model import predict_each


def test_true_values_lie_within_the_intervals(demo: Evaluation) -> None:
    """At least nine in ten of the truth file's values lie within the 95 % intervals."""
    answers = stored_answers()
    predictions = predict_each(demo.dossier.airplane, demo.fit, [answer.question for answer in answers])
    inside = [
        low <= answer.value <= high
        for answer, (low, high) in zip(
            answers, (np.percentile(p.samples, [2.5, 97.5]) for p in predictions), strict=True
        )
    ]
    missed = [answer for answer, held in zip(answers, inside, strict=True) if not held]
    assert np.mean(inside) >= 0.90, missed


def test_intervals_are_narrow_enough_to_be_useful(demo: Evaluation) -> None:
    """Half of the predictions are within 5 % of the truth, so that wide intervals are no hiding place."""
    answers = stored_answers()
    predictions = predict_each(demo.dossier.airplane, demo.fit, [answer.question for answer in answers])
    errors = [
        abs(p.estimate.value / answer.value - 1.0) for p, answer in zip(predictions, answers, strict=True)
    ]
    assert np.median(errors) <= 0.05


def test_verdicts_agree_with_the_truth_where_it_is_clear(demo: Evaluation) -> None:
    """A claim that truth clearly meets is never found against, nor one that it misses found for."""
    found = {verdict.claim.id: verdict.finding for verdict in demo.verdicts}
    right = {"meets": {"borne out", "leaning yes"}, "misses": {"not borne out", "leaning no"}}
    clear = {row["id"]: row["truth"] for row in stored()["claim"] if row["truth"] in right}
    assert len(clear) >= 8
    tested = {name: finding for name, finding in found.items() if finding != "not tested"}
    wrong = {
        name: tested[name]
        for name, truth in clear.items()
        if name in tested and tested[name] not in right[truth]
    }
    assert wrong == {}
    assert len(set(clear) - set(tested)) <= 1


def test_a_second_run_finds_every_stage_unchanged(demo: Evaluation, demo_root: Path) -> None:
    """Nothing is computed again, and the answers are the same to the last bit."""
    told: list[bool] = []
    again = evaluate(demo_root, lambda _stage, _done, _total, fresh: told.append(fresh))
    assert not any(told)
    assert again.key == demo.key
    assert again.answer == demo.answer
    np.testing.assert_array_equal(again.fit.draws, demo.fit.draws)


def test_a_changed_claim_is_judged_again_and_nothing_before_it(demo: Evaluation, tmp_path: Path) -> None:
    """The fit does not depend on what the maker says; answers and exchanges tell what becomes of claims."""
    root = tmp_path / "demo"
    shutil.copytree(demo.dossier.root, root)
    claims = root / "claims.toml"
    text = claims.read_text(encoding="utf-8")
    assert "41 kt" in text
    claims.write_text(text.replace("41 kt", "42 kt"), encoding="utf-8")
    told: dict[str, bool] = {}
    evaluate(root, lambda stage, _done, _total, fresh: told.__setitem__(stage, fresh))
    assert {stage for stage, fresh in told.items() if fresh} == {"claims", "answers", "exchanges"}


def test_another_airplane_is_never_answered_by_the_last_one(tmp_path: Path) -> None:
    """Even before anything is flown, a changed description is evaluated anew."""
    root = tmp_path / "mine"
    create(root)
    _, _, before = fit_model(root)
    text = (root / "airplane.toml").read_text(encoding="utf-8")
    changed = re.sub(r'^wing_area = "[^"]*"', 'wing_area = "30 m²"', text, count=1, flags=re.MULTILINE)
    assert changed != text
    (root / "airplane.toml").write_text(changed, encoding="utf-8")
    _, _, after = fit_model(root)
    assert after.parameters[0].parameter.mean > 1.5 * before.parameters[0].parameter.mean
