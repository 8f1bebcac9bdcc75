"""Results of single stages of the dossier as it is now, from the store alone: nothing is computed."""

from __future__ import annotations

from dataclasses import dataclass

from wringout.claims.verdict import Verdict
from wringout.dossier.dossier import Dossier
from wringout.evaluation.keys import stage_keys
from wringout.evaluation.stages import Stages
from wringout.model.fit import Fit
from wringout.reduction.points import Points


@dataclass(frozen=True, slots=True)
class Kept:
    """What stands of a dossier; None what is yet to be computed."""

    points: Points | None
    fit: Fit | None
    verdicts: tuple[Verdict, ...] | None


def kept(dossier: Dossier) -> Kept:
    """The points, the fit and the verdicts, as far as they are of the dossier as it is now."""
    stages = Stages(dossier.root, stage_keys(dossier))
    return Kept(
        points=stages.kept("points", Points),
        fit=stages.kept("fit", Fit),
        verdicts=stages.kept("claims", tuple[Verdict, ...]),
    )
