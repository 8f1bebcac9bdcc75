"""Which results of a dossier still stand, told from the store without computing anything."""

from __future__ import annotations

from dataclasses import dataclass

from wringout.dossier.dossier import Dossier
from wringout.dossier.store import has_any_result, has_result
from wringout.evaluation.evaluation import Evaluation
from wringout.evaluation.keys import stage_keys
from wringout.evaluation.pipeline import evaluate


@dataclass(frozen=True, slots=True)
class StageState:
    """One stage of a dossier: whether its result in the store is of the dossier as it is now, or of any."""

    stage: str
    fresh: bool
    computed: bool


def freshness(dossier: Dossier) -> tuple[StageState, ...]:
    """Every stage of the dossier in the order in which they run; nothing is computed or read but names."""
    root = dossier.root
    return tuple(
        StageState(stage, has_result(root, stage, key), has_any_result(root, stage))
        for stage, key in stage_keys(dossier).items()
    )


def kept_evaluation(dossier: Dossier) -> Evaluation | None:
    """The whole evaluation of the dossier as it is now, if every stage of it is in the store."""
    return evaluate(dossier.root) if all(state.fresh for state in freshness(dossier)) else None
