"""The fitted performance model: priors, the fit to test points, and answers at any condition."""

from wringout.model.fitting import before, fit
from wringout.model.parameters import parameters
from wringout.model.prediction import predict, predict_each

__all__ = ["before", "fit", "parameters", "predict", "predict_each"]
