"""Claims of what the airplane does in the air and on the strip: fitted model, points near by, bounds."""

from dataclasses import replace

from wringout.claims.assumed import FIELD
from wringout.claims.bounds import bound
from wringout.claims.case import TAUGHT, Case, Opinion, claimed, holds
from wringout.claims.measured import measured_near
from wringout.claims.verdict import Evidence
from wringout.claims.words import per_cent
from wringout.model.question import Prediction, Question


def performance_opinion(case: Case) -> Opinion:
    """The fitted model's answer at the claim's conditions, beside the measured points brought there.

    The model has been fitted to those points, so its probability counts them already; a bound of physics
    caps it. The claim is not tested where no point was flown in its configuration, or where the flights took
    away less than a fifth of the answer's spread.
    """
    question, assumptions = claimed_question(case)
    answer = case.ask(question)
    likely = holds(case.claim, answer)
    evidence = (
        *measured_near(case, question, answer),
        _model_evidence(case, answer, likely),
        *bound(case),
    )
    capped = [
        item.probability for item in evidence if item.kind == "physics" and item.probability is not None
    ]
    words, quantity = case.words, case.claim.quantity
    figure = words.estimate(quantity, answer.estimate)
    if any(cap <= 0.10 for cap in capped):
        return Opinion(min(capped), "no airplane of these dimensions can do it", evidence, assumptions)
    if not case.configuration_flown:
        build = case.assumed.configuration.name
        reason = f"nothing was flown as {build}; {figure} follows from the other points and the priors"
        return Opinion(None, reason, evidence, assumptions)
    taught = case.taught(question)
    if taught < TAUGHT:
        reason = (
            f"the flights taught next to nothing about it: {figure} rests on what was believed before "
            f"({100.0 * max(taught, 0.0):.0f} % of the spread taken away)"
        )
        return Opinion(None, reason, evidence, assumptions)
    reason = f"the flights put it at {figure}; {claimed(case.claim)} is claimed, {per_cent(likely)} likely"
    return Opinion(min([likely, *capped]), reason, evidence, assumptions)


def claimed_question(case: Case) -> tuple[Question, tuple[str, ...]]:
    """The question, with the technique that serves the claim best where none that was flown is named."""
    question = case.question()
    if case.claim.quantity not in FIELD:
        return question, ()
    flown = case.fit.techniques["take-off" if case.claim.quantity.startswith("take-off") else "landing"]
    stated = case.claim.conditions.technique
    if stated in flown:
        return replace(question, technique=stated), ()
    answers = {name: case.ask(replace(question, technique=name)).estimate.value for name in flown}
    best = min(answers, key=lambda name: answers[name])
    what = "technique not stated" if stated is None else f"technique '{stated}' was not flown"
    return replace(question, technique=best), (f"{what}: '{best}', the shortest of those flown",)


def _model_evidence(case: Case, answer: Prediction, likely: float) -> Evidence:
    words, quantity = case.words, case.claim.quantity
    low, high = words.figure(quantity, answer.low), words.figure(quantity, answer.high)
    arithmetic = (
        f"the fitted model at the claim's conditions: {words.estimate(quantity, answer.estimate)}, "
        f"90 % between {low} and {high}; {claimed(case.claim)} holds in {per_cent(likely)} of its draws"
    )
    if answer.notes:
        arithmetic += f" ({'; '.join(answer.notes)})"
    return Evidence("model", answer.estimate, likely, arithmetic)
