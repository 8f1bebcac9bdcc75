"""Every claim of a dossier judged by what was flown, weighed, described and is possible."""

from collections.abc import Callable

from wringout.claims.assumed import assume
from wringout.claims.batteries import battery_opinion
from wringout.claims.case import Case, Opinion
from wringout.claims.endurances import trip_opinion
from wringout.claims.loads import empty_mass_opinion, payload_opinion, useful_load_opinion
from wringout.claims.performance import performance_opinion
from wringout.claims.relation import finding
from wringout.claims.stopping import stopping_opinion
from wringout.claims.verdict import Verdict
from wringout.claims.words import Words
from wringout.dossier.claim import ClaimQuantity
from wringout.dossier.dossier import Dossier
from wringout.model import before
from wringout.model.fit import Fit
from wringout.problems import InputError, Problem
from wringout.reduction.points import Points

PRIOR_SEED = 8

OPINIONS: dict[ClaimQuantity, Callable[[Case], Opinion]] = {
    "stall speed": performance_opinion,
    "cruise speed": performance_opinion,
    "full-throttle speed": performance_opinion,
    "fuel flow": performance_opinion,
    "rate of climb": performance_opinion,
    "service ceiling": performance_opinion,
    "take-off ground roll": performance_opinion,
    "take-off distance": performance_opinion,
    "landing ground roll": performance_opinion,
    "landing distance": performance_opinion,
    "glide ratio": performance_opinion,
    "range": trip_opinion,
    "endurance": trip_opinion,
    "empty mass": empty_mass_opinion,
    "useful load": useful_load_opinion,
    "payload": payload_opinion,
    "stopping distance": stopping_opinion,
    "battery endurance": battery_opinion,
}


def judge(dossier: Dossier, points: Points, fit: Fit) -> tuple[Verdict, ...]:
    """A verdict on each claim of the dossier, in the register's order.

    Parameters
    ----------
    dossier : Dossier
        Claims, airplane and the units for the words.
    points : Points
        Reduced test points.
    fit : Fit
        The model fitted to them.

    Returns
    -------
    tuple of Verdict
        Each with its probability, unless the flights did not test it, its arithmetic in words, its evidence
        down to the spans of the recordings, and what the maker did not state.

    Raises
    ------
    InputError
        With every claim that cannot be judged as written: a configuration, flap setting, battery or load
        that the airplane has not, or a figure that is not a number.
    """
    prior = before(fit, seed=PRIOR_SEED)
    words = Words(dossier.units)
    verdicts: list[Verdict] = []
    problems: list[Problem] = []
    for claim in dossier.claims:
        try:
            case = Case(claim, assume(claim, dossier.airplane, words), dossier, points, fit, prior, words)
            verdicts.append(_verdict(case))
        except InputError as error:
            problems.extend(problem.at(file="claims.toml", field=claim.id) for problem in error.problems)
    if problems:
        raise InputError(*problems)
    return tuple(verdicts)


def _verdict(case: Case) -> Verdict:
    opinion = OPINIONS[case.claim.quantity](case)
    return Verdict(
        claim=case.claim,
        finding="not tested" if opinion.probability is None else finding(opinion.probability),
        probability=opinion.probability,
        reason=opinion.reason,
        evidence=opinion.evidence,
        assumptions=(*case.assumed.sentences, *opinion.assumptions),
    )
