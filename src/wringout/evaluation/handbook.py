"""Take-off and landing in the form of a flight manual: by mass, pressure altitude and temperature."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Literal

import numpy as np

from wringout.airplane.airplane import Airplane
from wringout.dossier.dossier import Units
from wringout.evaluation.usual import SURFACE, maximum_mass
from wringout.model import predict_each
from wringout.model.fit import Fit
from wringout.model.question import PredictedQuantity, Question
from wringout.quantity import to_si
from wringout.recordings.recording import FloatArray

TEMPERATURES = (273.15, 283.15, 293.15, 303.15, 313.15)  # 0 to 40 °C
SHARES_OF_MASS = (1.0, 0.9, 0.8)  # of the maximum take-off mass
DRAWS = 200  # enough for a median and the tenth longest

Run = Literal["take-off", "landing"]


@dataclass(frozen=True, slots=True)
class HandbookTable:
    """Rolls and distances over 15.24 m of one kind of run, in still air on a level strip. [m]

    `masses` [kg], `altitudes` [m] and `temperatures` [K] span arrays of shape (masses, altitudes,
    temperatures): medians of ground roll and distance, and the distance within which the truth of the typical
    run lies with nine in ten; infinite where it cannot be done.
    """

    run: Run
    configuration: str
    technique: str
    surface: str
    masses: tuple[float, ...]
    altitudes: tuple[float, ...]
    temperatures: tuple[float, ...]
    ground_roll: FloatArray
    distance: FloatArray
    distance_nine_in_ten: FloatArray


def handbook(
    airplane: Airplane, units: Units, fit: Fit, configurations: tuple[str, ...]
) -> tuple[HandbookTable, ...]:
    """A table of take-offs and one of landings for each configuration, with its most flown technique.

    Parameters
    ----------
    airplane : Airplane
    units : Units
        Masses and altitudes are round in them.
    fit : Fit
    configurations : tuple of str

    Returns
    -------
    tuple of HandbookTable
        On dry grass, at the maximum take-off mass, nine and eight tenths of it, rounded; each from 200 of the
        fit's draws.
    """
    few = replace(fit, draws=fit.draws[:: max(1, len(fit.draws) // DRAWS)])
    runs: tuple[Run, ...] = ("take-off", "landing")
    return tuple(_table(airplane, units, few, name, run) for name in configurations for run in runs)


def _table(airplane: Airplane, units: Units, fit: Fit, configuration: str, run: Run) -> HandbookTable:
    most = maximum_mass(airplane, configuration)
    step = float(to_si(50.0 if units.mass == "lb" else 10.0, units.mass))
    masses = (most, *(round(share * most / step) * step for share in SHARES_OF_MASS[1:]))
    altitudes = altitudes_of(units)
    technique = fit.techniques[run][0]
    cases = [
        Question(
            "take-off distance",
            configuration,
            mass,
            pressure_altitude=altitude,
            temperature=temperature,
            surface=SURFACE,
            technique=technique,
        )
        for mass in masses
        for altitude in altitudes
        for temperature in TEMPERATURES
    ]
    quantities: tuple[PredictedQuantity, PredictedQuantity] = (
        ("take-off ground roll", "take-off distance")
        if run == "take-off"
        else ("landing ground roll", "landing distance")
    )
    shape = (len(masses), len(altitudes), len(TEMPERATURES))
    rolls, distances = (
        predict_each(airplane, fit, [replace(case, quantity=quantity) for case in cases])
        for quantity in quantities
    )
    return HandbookTable(
        run,
        configuration,
        technique,
        SURFACE,
        masses,
        altitudes,
        TEMPERATURES,
        np.array([item.estimate.value for item in rolls]).reshape(shape),
        np.array([item.estimate.value for item in distances]).reshape(shape),
        np.array([np.quantile(item.samples, 0.9, method="inverted_cdf") for item in distances]).reshape(
            shape
        ),
    )


def altitudes_of(units: Units) -> tuple[float, ...]:
    """Pressure altitudes of the tables [m]: each 2 000 ft to 8 000 ft, or each 500 m to 2 500 m."""
    if units.height == "ft":
        return tuple(float(to_si(feet, "ft")) for feet in (0.0, 2000.0, 4000.0, 6000.0, 8000.0))
    return (0.0, 500.0, 1000.0, 1500.0, 2000.0, 2500.0)
