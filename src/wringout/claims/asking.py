"""A claim as a question to the fitted airplane."""

from wringout.airplane.lookups import unknown_name
from wringout.claims.assumed import assume
from wringout.claims.case import Case
from wringout.claims.judging import OPINIONS, PRIOR_SEED
from wringout.claims.performance import claimed_question, performance_opinion
from wringout.claims.words import Words
from wringout.dossier.claim import Claim
from wringout.dossier.dossier import Dossier
from wringout.model import before
from wringout.model.fit import Fit
from wringout.model.question import Question
from wringout.problems import InputError, Problem
from wringout.reduction.points import Points


def told_by_points(claim: Claim) -> bool:
    """Whether test points can settle a claim: one of speed, climb, glide, take-off or landing."""
    return OPINIONS[claim.quantity] is performance_opinion


def question_of(dossier: Dossier, points: Points, fit: Fit, claim_id: str) -> Question:
    """What a claim of performance asks of the fitted airplane, its gaps filled as when it is judged.

    Raises
    ------
    InputError
        No claim of that id; one that no flight can settle, such as a mass.
    """
    known = {claim.id: claim for claim in dossier.claims}
    if claim_id not in known:
        raise InputError(unknown_name("claim", claim_id, list(known)).at(field="--claim"))
    claim = known[claim_id]
    if not told_by_points(claim):
        raise InputError(
            Problem(
                f"no test point narrows a claim of {claim.quantity} by itself",
                "name a claim of speed, climb, glide, take-off or landing",
                field="--claim",
            )
        )
    words = Words(dossier.units)
    case = Case(
        claim,
        assume(claim, dossier.airplane, words),
        dossier,
        points,
        fit,
        before(fit, seed=PRIOR_SEED),
        words,
    )
    return claimed_question(case)[0]
