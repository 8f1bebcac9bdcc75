"""A verdict on one claim: the evidence for and against, the arithmetic in words, and what follows."""

from dataclasses import dataclass
from typing import Literal

from wringout.dossier.claim import Claim
from wringout.quantity.estimate import Estimate
from wringout.reduction.points import Origin

Finding = Literal["borne out", "leaning yes", "open", "leaning no", "not borne out", "not tested"]


@dataclass(frozen=True, slots=True)
class Evidence:
    """One line of evidence: its kind, its figure at the claim's conditions, its arithmetic, its origins."""

    kind: Literal["measured", "model", "physics", "arithmetic"]
    figure: Estimate | None
    probability: float | None  # that the claim holds, on this evidence alone
    arithmetic: str
    origins: tuple[Origin, ...] = ()


@dataclass(frozen=True, slots=True)
class Verdict:
    """What stands of a claim; `probability` None only when not tested."""

    claim: Claim
    finding: Finding
    probability: float | None
    reason: str
    evidence: tuple[Evidence, ...]
    assumptions: tuple[str, ...]  # conditions the maker did not state and what was used instead
