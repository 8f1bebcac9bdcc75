"""The evaluated dossier: what every stage found, complete, for the faces to show."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from wringout.claims.verdict import Verdict
from wringout.dossier.dossier import Dossier
from wringout.evaluation.comparison import Comparison
from wringout.evaluation.consequences import Exchanged
from wringout.evaluation.costs import Costing
from wringout.evaluation.handbook import HandbookTable
from wringout.evaluation.next_flight import ClaimToSettle
from wringout.loading import EmptyMass, LoadingReport
from wringout.missions import MissionAnswer, PayloadRange
from wringout.model.fit import Fit
from wringout.model.question import Prediction
from wringout.model.runs import Runs
from wringout.quantity.dimensions import Dimension
from wringout.recordings import ChannelHealth
from wringout.recordings.recording import FloatArray
from wringout.reduction import Flight
from wringout.reduction.points import Points


@dataclass(frozen=True, slots=True)
class Curve:
    """A predicted line with its central 90 % band, for figures; all arrays share one shape.

    `name` says what it answers ('take-off distance against elevation'), `condition` the rest in words for
    the reader ('1 090 kg, dry grass, still air'); `flown` is False where no flight supports it.
    """

    name: str
    configuration: str
    condition: str
    x: FloatArray
    x_dimension: Dimension
    median: FloatArray
    low: FloatArray
    high: FloatArray
    y_dimension: Dimension
    flown: bool


@dataclass(frozen=True, slots=True)
class Headline:
    """One of the numbers that readers ask first: its question in words, its answer with a 90 % interval."""

    label: str
    condition: str
    value: float
    low: float
    high: float
    dimension: Dimension
    unit: str  # the dossier's display unit
    source: str


@dataclass(frozen=True, slots=True)
class Evaluation:
    """Everything that is known about one airplane after all stages."""

    dossier: Dossier
    software: str  # version and fingerprint of the code that computed it
    key: str  # hash of everything this evaluation was computed from
    empty: Mapping[str, EmptyMass]  # by configuration
    loadings: Mapping[str, LoadingReport]  # by card name
    flights: tuple[Flight, ...]
    health: Mapping[str, tuple[ChannelHealth, ...]]  # of each recording, by card name
    points: Points
    fit: Fit
    answer: tuple[str, str, str]  # what you can really do with it, in three sentences
    headlines: tuple[Headline, ...]
    predictions: tuple[Prediction, ...]
    curves: tuple[Curve, ...]
    payload_range: Mapping[str, PayloadRange]  # by configuration
    missions: tuple[MissionAnswer, ...]
    verdicts: tuple[Verdict, ...]
    handbook: tuple[HandbookTable, ...] = ()
    mission_changes: tuple[tuple[str, ...], ...] = ()  # what would let go what stays, by mission
    exchanges: tuple[Exchanged, ...] = ()  # of the first configuration for the others that were flown
    to_settle: tuple[ClaimToSettle, ...] = ()  # what to fly for each claim that is still open
    runs: tuple[Runs, ...] = ()  # field lengths apart into airplane and pilot
    costing: Costing | None = None  # None where costs.toml says nothing
    comparison: Comparison | None = None  # of the configurations that were flown; None where there is one
    beside: Comparison | None = None  # with the dossiers that it names, as far as they are evaluated
    not_beside: tuple[tuple[str, str], ...] = ()  # those that could not be compared, each with the reason
