"""Measured manoeuvre → test point with uncertainty; the classical corrections by name in their own files."""

from wringout.reduction.flown import Flight
from wringout.reduction.reduce import reduce

__all__ = ["Flight", "reduce"]
