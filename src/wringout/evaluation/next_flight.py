"""The next flight for one question: the points that most narrow its answer per minute."""

from __future__ import annotations

from dataclasses import dataclass

from wringout.dossier.dossier import Dossier
from wringout.model import candidates, design, predict, sortie
from wringout.model.candidates import Candidate
from wringout.model.fit import Fit
from wringout.model.next_points import Step
from wringout.model.question import Prediction, Question


@dataclass(frozen=True, slots=True)
class NextFlight:
    """The answer as it stands, its standard deviation as far as points can narrow it, and what to fly.

    `sd` and those of the steps leave out the model's discrepancy, which `answer` holds.
    """

    answer: Prediction
    sd: float
    steps: tuple[tuple[Candidate, Step], ...]

    @property
    def sd_after(self) -> float:
        """Standard deviation when all of it has been flown."""
        return self.steps[-1][1].sd_after if self.steps else self.sd

    @property
    def time(self) -> float:
        """Flight time of its points. [s]"""
        return sum(step.time for _, step in self.steps)


def next_flight(dossier: Dossier, fit: Fit, question: Question, longest: float) -> NextFlight:
    """What to fly next in at most so much flight time [s], of all that the configuration could fly.

    Raises InputError as `predict`, and where the answer is infinite.
    """
    airplane = dossier.airplane
    answer = predict(airplane, fit, question)
    menu = candidates(airplane, fit, dossier.strips, question.configuration)
    made = design(airplane, fit, menu.points, question)
    offered = {candidate.origin: candidate for candidate in menu.candidates}
    steps = sortie(made, {origin: candidate.time for origin, candidate in offered.items()}, longest)
    return NextFlight(answer, made.sd, tuple((offered[step.origin], step) for step in steps))
