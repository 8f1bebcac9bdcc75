"""The whole job on one page: dossier → flights → points → fit → answers → verdicts."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

from wringout.claims import judge
from wringout.claims.verdict import Verdict
from wringout.dossier import load
from wringout.dossier.dossier import Dossier
from wringout.dossier.store import software
from wringout.evaluation.answers import Answers, answer_questions
from wringout.evaluation.compared import beside, state_of, with_others
from wringout.evaluation.comparison import MOST, Comparison, candidates_of, compare
from wringout.evaluation.consequences import Exchanged, flown_exchanges
from wringout.evaluation.costs import Costing, costs_of
from wringout.evaluation.evaluation import Evaluation
from wringout.evaluation.find import find_each
from wringout.evaluation.keys import (
    evaluation_key,
    flight_stage,
    flown_cards,
    stage_keys,
    unrecorded_cards,
)
from wringout.evaluation.loads import empty_masses, loadings_of
from wringout.evaluation.stages import Progress, Stages, silent
from wringout.evaluation.trips import burns_fuel
from wringout.model import fit as fit_points
from wringout.model import predict
from wringout.model.fit import Fit
from wringout.model.question import Prediction, Question
from wringout.recordings import health
from wringout.reduction import Flight, reduce
from wringout.reduction.points import Points

SEED = 20260512


def find_flights(root: Path, progress: Progress = silent) -> tuple[Dossier, tuple[Flight, ...]]:
    """Every card's recording read, cleaned, smoothed and searched: the dossier and its flights."""
    dossier = load(root)
    return dossier, _flights(dossier, _stages(dossier, progress))


def reduce_points(root: Path, progress: Progress = silent) -> tuple[Dossier, Points]:
    """Every manoeuvre of the dossier reduced to test points."""
    dossier = load(root)
    stages = _stages(dossier, progress)
    return dossier, _points(dossier, _flights(dossier, stages), stages)


def fit_model(root: Path, progress: Progress = silent) -> tuple[Dossier, Points, Fit]:
    """The performance model fitted to every point of the dossier."""
    dossier = load(root)
    stages = _stages(dossier, progress)
    points = _points(dossier, _flights(dossier, stages), stages)
    return dossier, points, _fit(dossier, points, stages)


def ask(dossier: Dossier, fit: Fit, question: Question) -> Prediction:
    """The fitted airplane's answer to one question."""
    return predict(dossier.airplane, fit, question)


def evaluate(root: Path, progress: Progress = silent) -> Evaluation:
    """The whole job over the dossier at `root`, from the store where nothing changed.

    Raises InputError with every problem of the dossier, or with the one that stops a stage.
    """
    dossier = load(root)
    stages = _stages(dossier, progress)
    flights = _flights(dossier, stages)
    points = _points(dossier, flights, stages)
    fit = _fit(dossier, points, stages)
    verdicts = stages.run("claims", tuple[Verdict, ...], lambda: judge(dossier, points, fit))
    answers = stages.run("answers", Answers, lambda: answer_questions(dossier, points, fit, verdicts))
    exchanges = stages.run("exchanges", tuple[Exchanged, ...], lambda: flown_exchanges(dossier, points, fit))
    others = beside(dossier)
    return Evaluation(
        dossier=dossier,
        software=software(),
        key=evaluation_key(dossier, stages.keys, *map(state_of, others)),
        empty=empty_masses(dossier.airplane),
        loadings=loadings_of(dossier),
        flights=flights,
        health={flight.card.name: health(flight.recording) for flight in flights},
        points=points,
        fit=fit,
        answer=answers.answer,
        headlines=answers.headlines,
        predictions=answers.predictions,
        curves=answers.curves,
        payload_range=answers.payload_range,
        missions=answers.missions,
        mission_changes=answers.mission_changes,
        verdicts=verdicts,
        handbook=answers.handbook,
        exchanges=exchanges,
        to_settle=answers.to_settle,
        runs=answers.runs,
        costing=_costing(dossier, fit, answers, stages),
        comparison=_comparison(dossier, fit, stages),
        beside=with_others(dossier, fit, others),
        not_beside=tuple((item.name, item.reason) for item in others if item.fit is None),
    )


def _costing(dossier: Dossier, fit: Fit, answers: Answers, stages: Stages) -> Costing | None:
    if "costs" not in stages.keys or not burns_fuel(dossier.airplane):
        return None
    names = [item.configuration for item in candidates_of(dossier, fit)]
    return stages.run("costs", Costing, lambda: costs_of(dossier, fit, names, answered=answers.missions))


def _comparison(dossier: Dossier, fit: Fit, stages: Stages) -> Comparison | None:
    if "compared" not in stages.keys or not burns_fuel(dossier.airplane):
        return None
    candidates = candidates_of(dossier, fit)[:MOST]
    # None is kept as nothing: a configuration whose flight gave no point is none to compare.
    found = stages.run(
        "compared",
        tuple[Comparison, ...],
        lambda: (compare(candidates),) if len(candidates) > 1 else (),
    )
    return found[0] if found else None


def _stages(dossier: Dossier, progress: Progress) -> Stages:
    return Stages(dossier.root, stage_keys(dossier), progress)


def _flights(dossier: Dossier, stages: Stages) -> tuple[Flight, ...]:
    cards = flown_cards(dossier)
    found: dict[str, Flight] = {}
    for card in cards:
        kept = stages.kept(flight_stage(card), Flight)
        if kept is not None:
            found[card.name] = replace(kept, card=card)  # its notes may be newer than its flight
    for flight in find_each(dossier, tuple(card for card in cards if card.name not in found)):
        found[flight.card.name] = stages.keep(flight_stage(flight.card), Flight, flight)
    return tuple(found[card.name] for card in cards)


def _points(dossier: Dossier, flights: tuple[Flight, ...], stages: Stages) -> Points:
    filmed = unrecorded_cards(dossier)
    return stages.run("points", Points, lambda: reduce(flights, dossier.airplane, dossier.strips, filmed))


def _fit(dossier: Dossier, points: Points, stages: Stages) -> Fit:
    return stages.run(
        "fit",
        Fit,
        lambda: fit_points(dossier.airplane, points, seed=SEED, height_unit=dossier.units.height),
    )
