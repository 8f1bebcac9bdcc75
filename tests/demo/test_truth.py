"""The truth file is what the simulator says today, of the same claims and flights as the dossier."""

from pathlib import Path
from typing import get_args

import pytest

from wringout.demo import truth
from wringout.demo.claims_truth import ClaimTruth
from wringout.demo.nominal import true_answer
from wringout.demo.setup import AIRPLANES, setup
from wringout.demo.setup import text as data
from wringout.dossier import load


def test_the_stored_truth_is_the_generators() -> None:
    """Regenerating changes nothing: `python -m wringout.demo.truth` after any change of the simulator."""
    assert data(AIRPLANES[0], truth.FILE) == truth.text()


def test_stored_answers_come_back_as_questions() -> None:
    """Each stored answer reads back as the question it was computed for, with its value in SI."""
    stored = truth.stored_answers()
    assert tuple(answer.question for answer in stored) == truth.questions()
    for answer in stored[:8]:
        assert answer.value == pytest.approx(true_answer(setup(), answer.question), rel=1e-3)


def test_every_claim_has_its_truth(demo: Path) -> None:
    """Each claim of the register is judged by the truth, in the same order; most are met, some are missed."""
    stored = truth.stored()["claim"]
    assert [row["id"] for row in stored] == [claim.id for claim in load(demo).claims]
    verdicts = [row["truth"] for row in stored]
    assert set(verdicts) == set(get_args(ClaimTruth))
    assert verdicts.count("meets") > verdicts.count("misses") >= 3


def test_every_flown_point_has_its_truth(demo: Path) -> None:
    """Each point of a card that was flown has its own entry."""
    stored = truth.stored()
    kinds = {"take-off": "take_off"}
    for card in load(demo).cards:
        for point in card.points:
            rows = stored[kinds.get(point.kind, point.kind)]
            flown = any(row["card"] == card.name and row["point"] == point.id for row in rows)
            assert flown is (point.start is not None)
