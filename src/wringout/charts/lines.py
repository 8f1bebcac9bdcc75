"""What a figure needs of a predicted line, and a measured point shown at the line's own conditions."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Protocol

import numpy as np

from wringout.charts.scales import FloatArray
from wringout.dossier.claim import Claim
from wringout.model.fit import Residual
from wringout.quantity.dimensions import Dimension
from wringout.reduction.points import Origin


class Line(Protocol):
    """A predicted line with its central 90 % band, in SI, as an evaluation holds it."""

    @property
    def name(self) -> str:
        """What the line answers."""

    @property
    def configuration(self) -> str:
        """The configuration it holds for."""

    @property
    def condition(self) -> str:
        """The rest of its conditions in words."""

    @property
    def x(self) -> FloatArray:
        """Where it was asked."""

    @property
    def median(self) -> FloatArray:
        """The answer."""

    @property
    def low(self) -> FloatArray:
        """Lower end of the 90 % interval."""

    @property
    def high(self) -> FloatArray:
        """Upper end of the 90 % interval."""

    @property
    def y_dimension(self) -> Dimension:
        """Kind of the answer."""

    @property
    def flown(self) -> bool:
        """Whether flights support it."""


def named(lines: Iterable[Line], name: str) -> tuple[Line, ...]:
    """Those of the lines that answer `name`."""
    return tuple(line for line in lines if line.name == name)


def claimed(claims: Iterable[Claim], quantity: str, lines: Sequence[Line]) -> tuple[Claim, ...]:
    """Those of the claims for a quantity that hold for a configuration of the figure, or for any."""
    shown = {None, *(line.configuration for line in lines)}
    return tuple(
        claim for claim in claims if claim.quantity == quantity and claim.conditions.configuration in shown
    )


def value_at(line: Line, x: float) -> float:
    """The line's median at `x`, straight between the places where it was asked; NaN outside them."""
    return float(np.interp(x, line.x, line.median, left=np.nan, right=np.nan))


def at_conditions_of(
    line: Line, x: float, residuals: Sequence[Residual], *, additive: bool = False
) -> tuple[float, float]:
    """A measured figure at the conditions of a line, with its standard uncertainty.

    Parameters
    ----------
    line : Line
        The fitted line of the figure.
    x : float
        Where on the line the point belongs.
    residuals : sequence of Residual
        The parts of the figure (ground roll and air distance of a take-off, say), measured and fitted in
        the test conditions; they are added up.
    additive : bool
        Keep the difference from the fit instead of the ratio to it.

    Returns
    -------
    tuple of float
        Value and standard uncertainty; NaN where the line does not reach `x`.

    Notes
    -----
    Measured over fitted in the test conditions is taken to hold at the line's conditions, so that a point's
    distance from the line is its residual and nothing else: a partial residual.
    """
    measured = sum(residual.measured.value for residual in residuals)
    fitted = sum(residual.fitted for residual in residuals)
    sd = float(np.sqrt(sum((residual.measured.sd or 0.0) ** 2 for residual in residuals)))
    on_line = value_at(line, x)
    if additive:
        return on_line + measured - fitted, sd
    return on_line * measured / fitted, on_line * sd / abs(fitted)


def of_origin(residuals: Iterable[Residual], origin: Origin, what: Sequence[str]) -> tuple[Residual, ...]:
    """The residuals of one point for the figures named in `what`; empty unless all are there."""
    found = {residual.what: residual for residual in residuals if residual.origin == origin}
    return tuple(found[name] for name in what) if all(name in found for name in what) else ()
