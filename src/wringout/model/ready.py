"""Everything an answer needs: draws of the airplane, and like questions made whole."""

from collections.abc import Sequence
from dataclasses import dataclass
from zlib import crc32

import numpy as np
from numpy.typing import NDArray

from wringout.airplane.airplane import Airplane
from wringout.model import scatter
from wringout.model.asked import Asked
from wringout.model.field import FieldCases
from wringout.model.fit import Fit
from wringout.model.question import PredictedQuantity, Question
from wringout.model.vehicles import Theta, theta_of_draws, vehicle
from wringout.physics.vehicle import Air, Vehicle

FloatArray = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Ready:
    """The draws of a fit, k of them, and n questions of one quantity."""

    airplane: Airplane
    theta: Theta
    asked: Sequence[Asked]

    @property
    def questions(self) -> list[Question]:
        """The questions as they were asked."""
        return [item.question for item in self.asked]

    def column(self, field: str) -> FloatArray:
        """One field of the questions, shape (n,)."""
        return np.array([getattr(item.question, field) for item in self.asked], dtype=np.float64)

    @property
    def air(self) -> Air:
        """The air of each question, fields of shape (n,)."""
        return Air.of(
            np.array([item.pressure for item in self.asked]),
            np.array([item.temperature for item in self.asked]),
        )

    @property
    def vehicle(self) -> Vehicle:
        """The airplane of each draw in each question, fields broadcast to (k, n)."""
        return vehicle(
            self.airplane,
            self.theta,
            [item.question.configuration for item in self.asked],
            [item.flap for item in self.asked],
            self.column("mass"),
        )

    @property
    def cases(self) -> FieldCases:
        """The questions as take-offs or landings."""
        return FieldCases(
            configurations=[item.question.configuration for item in self.asked],
            flaps=[item.flap for item in self.asked],
            techniques=[item.technique or "" for item in self.asked],
            surfaces=[item.surface for item in self.asked],
            pilots=[item.question.pilot for item in self.asked],
            centres=np.array([item.cg for item in self.asked]),
            mass=self.column("mass"),
            air=self.air,
            head_wind=self.column("head_wind"),
            slope=self.column("slope"),
        )


def made_ready(airplane: Airplane, fit: Fit, asked: Sequence[Asked]) -> Ready:
    """The draws with the questions, and with the prior's draws of a surface on which nobody rolled."""
    theta = theta_of_draws(fit)
    for item in asked:
        if item.unflown_surface is not None:
            rng = np.random.default_rng(crc32(item.surface.encode()))
            prior = item.unflown_surface
            theta[f"rolling friction: {item.surface}"] = prior.rolling * np.exp(
                np.log1p(prior.rolling_relative_sd) * rng.standard_normal((fit.draws.shape[0], 1))
            )
    return Ready(airplane, theta, asked)


@dataclass(frozen=True, slots=True)
class Discrepancy:
    """Draws of what the model may miss; the same draws for like questions, so that curves are smooth."""

    fit: Fit
    quantity: PredictedQuantity
    asked: Sequence[Asked]

    def __call__(self, size: float, what: str, family: str = "performance") -> FloatArray:
        """Deviations of a size, shape (draws, n)."""
        rng = np.random.default_rng(crc32(f"{self.quantity}: {what}".encode()))
        draws = rng.standard_normal((self.fit.draws.shape[0], 1))
        reach = np.array([item.reach for item in self.asked])
        found = self.fit.scatter_scales.get(family, 1.0)
        if family != "performance" and found > 0.0:  # a scale of 0 leaves the discrepancy out
            # A pilot whose runs scatter little says nothing of what the model misses in all of them.
            found = max(found, 1.0)
        scale = found * scatter.PERSISTENT
        return np.asarray(size * scale * reach * draws)

    def factor(self, size: float, what: str, family: str = "performance") -> FloatArray:
        """Factors about one, shape (draws, n)."""
        return np.exp(self(size, what, family))
