"""What can be asked of a fitted airplane, and the form of its answer."""

from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from wringout.quantity.estimate import Estimate

PredictedQuantity = Literal[
    "stall speed",  # calibrated
    "cruise speed",  # true, level, at power_fraction
    "full-throttle speed",  # true, level
    "fuel flow",  # level, at power_fraction
    "rate of climb",  # full power, at speed (calibrated) or the best
    "best climb speed",  # calibrated
    "best angle speed",  # calibrated, of the steepest climb at full power
    "service ceiling",  # standard day, 0.508 m/s (100 ft/min)
    "take-off ground roll",
    "take-off distance",  # to 15.24 m above the strip
    "landing ground roll",
    "landing distance",  # from 15.24 m above the strip
    "glide ratio",  # idle, at speed (calibrated) or the best
    "best glide speed",  # calibrated
    "least sink",  # idle
    "least sink speed",  # calibrated
    "best range speed",  # calibrated, least fuel per mile in still air
    "Carson speed",  # calibrated, least fuel per mile for the speed
    "approach speed",  # calibrated, 1.3 times the stall with the flap asked for
    "turn radius",  # level, at full power, at speed (calibrated) or the least
    "turn bank",  # level, at full power, at speed (calibrated) or the steepest
]


@dataclass(frozen=True, slots=True)
class Question:
    """One quantity at one condition, SI; temperature None means standard at the pressure altitude."""

    quantity: PredictedQuantity
    configuration: str
    mass: float
    flap: str | None = None  # None: the flap that the technique or the quantity implies
    pressure_altitude: float = 0.0
    temperature: float | None = None
    head_wind: float = 0.0
    slope: float = 0.0
    surface: str = "dry grass"
    power_fraction: float | None = None
    speed: float | None = None
    technique: str | None = None
    cg: float | None = None  # of a landing, for its braking [m aft of datum]; None: as flown
    pilot: str | None = None  # None: as the technique's pilots fly it on average


@dataclass(frozen=True, slots=True)
class Prediction:
    """Posterior answer: median, standard deviation and the central 90 % interval, with its samples."""

    question: Question
    estimate: Estimate  # value is the median
    low: float
    high: float
    samples: NDArray[np.float64]  # shape (draws,)
    notes: tuple[str, ...] = ()  # extrapolation, assumed conditions
