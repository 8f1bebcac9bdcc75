"""The whole job on one page: dossier → flights → points → fit → answers → verdicts."""

from __future__ import annotations

from pathlib import Path

from wringout.airplane.airplane import Airplane
from wringout.claims import judge
from wringout.claims.verdict import Verdict
from wringout.dossier import load
from wringout.dossier.card import Card
from wringout.dossier.claim import Claim
from wringout.dossier.dossier import Dossier, Mission, Strip, Units
from wringout.dossier.store import digest, software
from wringout.evaluation.answers import Answers, answer_questions
from wringout.evaluation.codec import fingerprint
from wringout.evaluation.evaluation import Evaluation
from wringout.evaluation.find import find_each
from wringout.evaluation.loads import empty_masses, loadings_of
from wringout.evaluation.stages import Progress, Stages, silent
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
    found, _ = _flights(dossier, _stages(dossier, progress))
    return dossier, found


def reduce_points(root: Path, progress: Progress = silent) -> tuple[Dossier, Points]:
    """Every manoeuvre of the dossier reduced to test points."""
    dossier = load(root)
    points, _ = _points(dossier, _stages(dossier, progress))
    return dossier, points


def fit_model(root: Path, progress: Progress = silent) -> tuple[Dossier, Points, Fit]:
    """The performance model fitted to every point of the dossier."""
    dossier = load(root)
    stages = _stages(dossier, progress)
    points, key = _points(dossier, stages)
    fit, _ = _fit(dossier, points, key, stages)
    return dossier, points, fit


def ask(dossier: Dossier, fit: Fit, question: Question) -> Prediction:
    """The fitted airplane's answer to one question."""
    return predict(dossier.airplane, fit, question)


def evaluate(root: Path, progress: Progress = silent) -> Evaluation:
    """The whole job over the dossier at `root`, from the store where nothing changed.

    Raises InputError with every problem of the dossier, or with the one that stops a stage.
    """
    dossier = load(root)
    stages = _stages(dossier, progress)
    flights, flight_keys = _flights(dossier, stages)
    points, points_key = _reduce(dossier, flights, flight_keys, stages)
    fit, fit_key = _fit(dossier, points, points_key, stages)
    claims = fingerprint((dossier.claims, dossier.units), tuple[tuple[Claim, ...], Units])
    verdicts, verdicts_key = stages.run(
        "claims", tuple[Verdict, ...], (fit_key.encode(), claims), lambda: judge(dossier, points, fit)
    )
    asked = fingerprint(
        (dossier.strips, dossier.missions, dossier.units),
        tuple[tuple[Strip, ...], tuple[Mission, ...], Units],
    )
    answers, answers_key = stages.run(
        "answers",
        Answers,
        (fit_key.encode(), verdicts_key.encode(), asked),
        lambda: answer_questions(dossier, points, fit, verdicts),
    )
    return Evaluation(
        dossier=dossier,
        software=software(),
        key=digest(answers_key.encode(), *(f"{name} {sha}".encode() for name, sha in dossier.files)),
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
        verdicts=verdicts,
    )


def _stages(dossier: Dossier, progress: Progress) -> Stages:
    return Stages(
        dossier.root, total=sum(bool(card.recordings) for card in dossier.cards) + 4, progress=progress
    )


def _flights(dossier: Dossier, stages: Stages) -> tuple[tuple[Flight, ...], tuple[str, ...]]:
    """The flights of the cards that name a recording, and their keys; the other cards are yet to be flown."""
    cards = [card for card in dossier.cards if card.recordings]
    hashes = dict(dossier.files)
    airplane = fingerprint(dossier.airplane, Airplane)
    keys: dict[str, str] = {}
    found: dict[str, Flight] = {}
    for card in cards:
        raw = tuple(hashes[recording.path].encode() for recording in card.recordings)
        stage = f"flight {card.name}"
        keys[card.name] = stages.key(stage, (fingerprint(card, Card), airplane, *raw))
        kept = stages.kept(stage, Flight, keys[card.name])
        if kept is not None:
            found[card.name] = kept
    for flight in find_each(dossier, tuple(card for card in cards if card.name not in found)):
        name = flight.card.name
        found[name] = stages.keep(f"flight {name}", Flight, keys[name], flight)
    names = [card.name for card in cards]
    return tuple(found[name] for name in names), tuple(keys[name] for name in names)


def _points(dossier: Dossier, stages: Stages) -> tuple[Points, str]:
    flights, keys = _flights(dossier, stages)
    return _reduce(dossier, flights, keys, stages)


def _reduce(
    dossier: Dossier, flights: tuple[Flight, ...], keys: tuple[str, ...], stages: Stages
) -> tuple[Points, str]:
    # The airplane counts even where nothing is flown yet: every later stage stands on it.
    described = fingerprint((dossier.airplane, dossier.strips), tuple[Airplane, tuple[Strip, ...]])
    unrecorded = tuple(card for card in dossier.cards if card.cameras and not card.recordings)
    return stages.run(
        "points",
        Points,
        (*(key.encode() for key in keys), described, fingerprint(unrecorded, tuple[Card, ...])),
        lambda: reduce(flights, dossier.airplane, dossier.strips, unrecorded),
    )


def _fit(dossier: Dossier, points: Points, points_key: str, stages: Stages) -> tuple[Fit, str]:
    return stages.run(
        "fit", Fit, (points_key.encode(),), lambda: fit_points(dossier.airplane, points, seed=SEED)
    )
