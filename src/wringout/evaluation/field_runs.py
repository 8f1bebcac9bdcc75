"""Take-off and landing in three hands: the best that was flown, its pilot's runs, an average pilot's."""

from __future__ import annotations

from wringout.dossier.dossier import Dossier
from wringout.evaluation.usual import SURFACE, flown_configurations, maximum_mass
from wringout.model import runs
from wringout.model.fit import Fit
from wringout.model.question import PredictedQuantity, Question
from wringout.model.runs import Runs
from wringout.reduction.points import Points

_LENGTHS: dict[str, tuple[PredictedQuantity, ...]] = {
    "take-off": ("take-off ground roll", "take-off distance"),
    "landing": ("landing ground roll", "landing distance"),
}


def field_runs(dossier: Dossier, points: Points, fit: Fit) -> tuple[Runs, ...]:
    """Every field length with each technique flown, at maximum mass at sea level on a standard day.

    Parameters
    ----------
    dossier : Dossier
    points : Points
    fit : Fit

    Returns
    -------
    tuple of Runs
        For the configuration flown first, on the level and in still air; none where nobody took off or
        landed.
    """
    if not (points.takeoffs or points.landings):
        return ()
    configuration = flown_configurations(dossier.airplane, points)[0]
    mass = maximum_mass(dossier.airplane, configuration)
    return tuple(
        runs(
            dossier.airplane,
            fit,
            points,
            Question(quantity, configuration, mass, surface=SURFACE, technique=technique),
        )
        for kind, quantities in _LENGTHS.items()
        if (points.takeoffs if kind == "take-off" else points.landings)
        for technique in fit.techniques.get(kind, ())
        for quantity in quantities
    )
