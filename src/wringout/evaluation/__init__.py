"""The stages run over a dossier, kept by content hash: everything that the faces show."""

from wringout.evaluation.evaluation import Curve, Evaluation, Headline
from wringout.evaluation.next_flight import NextFlight, next_flight
from wringout.evaluation.pipeline import ask, evaluate, find_flights, fit_model, reduce_points

__all__ = [
    "Curve",
    "Evaluation",
    "Headline",
    "NextFlight",
    "ask",
    "evaluate",
    "find_flights",
    "fit_model",
    "next_flight",
    "reduce_points",
]
