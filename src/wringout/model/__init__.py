"""The fitted performance model: priors, the fit to test points, answers, and what to fly next."""

from wringout.model.candidates import candidates
from wringout.model.fitting import before, fit
from wringout.model.next_points import Usefulness, design, next_points, sortie
from wringout.model.parameters import parameters
from wringout.model.prediction import predict, predict_each
from wringout.model.runs import Runs, runs

__all__ = [
    "Runs",
    "Usefulness",
    "before",
    "candidates",
    "design",
    "fit",
    "next_points",
    "parameters",
    "predict",
    "predict_each",
    "runs",
    "sortie",
]
