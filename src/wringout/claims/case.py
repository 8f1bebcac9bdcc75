"""One claim with all that speaks for or against it, and the opinion that its kind of evidence gives."""

from dataclasses import dataclass
from typing import cast

from wringout.airplane.airplane import Airplane
from wringout.claims.assumed import Assumed
from wringout.claims.relation import probability_of_samples
from wringout.claims.verdict import Evidence
from wringout.claims.words import Words
from wringout.dossier.claim import Claim
from wringout.dossier.dossier import Dossier
from wringout.model import predict
from wringout.model.fit import Fit
from wringout.model.question import PredictedQuantity, Prediction, Question
from wringout.reduction.points import Points

TAUGHT = 0.20  # an answer whose spread the flights cut by less than this was not tested


@dataclass(frozen=True, slots=True)
class Case:
    """A claim, its conditions made whole, and what it is judged by; `prior` is the fit before any point."""

    claim: Claim
    assumed: Assumed
    dossier: Dossier
    points: Points
    fit: Fit
    prior: Fit
    words: Words

    @property
    def airplane(self) -> Airplane:
        """The airplane of the dossier."""
        return self.dossier.airplane

    def question(self, quantity: PredictedQuantity | None = None, technique: str | None = None) -> Question:
        """What to ask the fitted airplane at the claim's conditions."""
        stated, assumed = self.claim.conditions, self.assumed
        return Question(
            cast(PredictedQuantity, self.claim.quantity) if quantity is None else quantity,
            assumed.configuration.name,
            assumed.mass,
            flap=assumed.flap,
            pressure_altitude=assumed.pressure_altitude,
            temperature=assumed.temperature,
            head_wind=stated.head_wind,
            slope=stated.slope,
            surface=assumed.surface,
            power_fraction=assumed.power_fraction,
            speed=stated.speed if self.claim.quantity == "rate of climb" else None,
            technique=technique,
        )

    def ask(self, question: Question) -> Prediction:
        """The fitted airplane's answer."""
        return predict(self.airplane, self.fit, question)

    def taught(self, question: Question) -> float:
        """How much of the spread of an answer the flights took away."""
        after = self.ask(question).estimate.sd
        first = predict(self.airplane, self.prior, question).estimate.sd
        return 1.0 - after / first if after is not None and first else 0.0

    @property
    def configuration_flown(self) -> bool:
        """Whether any point was flown in the claim's configuration."""
        return self.assumed.configuration.name in {row.configuration for row in self.fit.flown}


@dataclass(frozen=True, slots=True)
class Opinion:
    """What the evidence on a claim comes to; `probability` None where the flights did not test it."""

    probability: float | None
    reason: str
    evidence: tuple[Evidence, ...]
    assumptions: tuple[str, ...] = ()


def holds(claim: Claim, prediction: Prediction) -> float:
    """Probability that a claim holds, from the samples of an answer."""
    return probability_of_samples(claim, prediction.samples)


def claimed(claim: Claim) -> str:
    """What is claimed, in words: 'at most 41 kt'."""
    return f"{claim.relation} {claim.value_text}"
