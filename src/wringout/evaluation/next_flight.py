"""The next flight for one question: the points that most narrow its answer per minute."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, replace

from wringout.airplane import unknown_name
from wringout.claims import question_of
from wringout.claims.verdict import Verdict
from wringout.dossier.dossier import Dossier, Strip
from wringout.model import candidates, design, predict, sortie
from wringout.model.candidates import NOWHERE, Candidate, Limits
from wringout.model.fit import Fit
from wringout.model.next_points import Step
from wringout.model.question import Prediction, Question
from wringout.problems import InputError
from wringout.reduction.points import Points

LONGEST = 3600.0  # s of points in a sortie, until another time is asked for
ENDED = ("borne out", "not borne out")


@dataclass(frozen=True, slots=True)
class Offer:
    """One point that could be flown, its repeats counted as one.

    `sd_after` is the answer's standard deviation when it alone is flown once, `per_minute` by how much that
    is less; `places` are its numbers in the sortie, from 1.
    """

    candidate: Candidate
    sd_after: float
    per_minute: float
    places: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class NextFlight:
    """The answer as it stands, its standard deviation, and what to fly, SI.

    `lasting` is what no point takes away: the model's own discrepancy. `offers` are all points that could be
    flown, the one that takes away most per minute first.
    """

    answer: Prediction
    sd: float
    lasting: float
    steps: tuple[tuple[Candidate, Step], ...]
    offers: tuple[Offer, ...] = ()
    limits: Limits | None = None
    longest: float = LONGEST

    @property
    def sd_after(self) -> float:
        """Standard deviation when all of it has been flown."""
        return self.steps[-1][1].sd_after if self.steps else self.sd

    @property
    def time(self) -> float:
        """Flight time of its points. [s]"""
        return sum(step.time for _, step in self.steps)


@dataclass(frozen=True, slots=True)
class ClaimToSettle:
    """A claim that the flights left open, by its number in the register, and the flight that narrows it."""

    number: int
    flight: NextFlight


def next_flight(
    dossier: Dossier,
    fit: Fit,
    question: Question,
    longest: float = LONGEST,
    *,
    limits: Limits | None = None,
    strip: str | None = None,
) -> NextFlight:
    """What to fly next, of all that the configuration could fly.

    Parameters
    ----------
    dossier : Dossier
    fit : Fit
    question : Question
        The answer to be narrowed.
    longest : float
        Flight time of all points together. [s]
    limits : Limits, optional
        What the flight keeps to.
    strip : str, optional
        Where its take-offs and landings are made, for the way to another one is no part of a point's time;
        `usual_strip` where None.

    Raises
    ------
    InputError
        As `predict` and `candidates`; no strip of that name; the answer is infinite.
    """
    airplane, limits = dossier.airplane, limits or Limits()
    answer = predict(airplane, fit, question)
    menu = candidates(airplane, fit, _strips(dossier, strip), question.configuration, limits)
    if not menu.candidates:
        sd = answer.estimate.sd or 0.0
        return NextFlight(answer, sd, sd, (), (), limits, longest)
    made = design(airplane, fit, menu.points, question)
    offered = {candidate.origin: candidate for candidate in menu.candidates}
    steps = sortie(made, {origin: candidate.time for origin, candidate in offered.items()}, longest)
    flown = tuple((offered[step.origin], step) for step in steps)
    places: dict[Candidate, list[int]] = {}
    for number, (candidate, _) in enumerate(flown, start=1):
        places.setdefault(_alike(candidate), []).append(number)
    offers = []
    for alike, first in {_alike(item): item for item in reversed(menu.candidates)}.items():
        after = made.sd_after([first.origin])
        off = (made.sd - after) / (first.time / 60.0)
        offers.append(Offer(first, after, off, tuple(places.get(alike, ()))))
    offers.sort(key=lambda offer: -offer.per_minute)
    return NextFlight(answer, made.sd, made.lasting, flown, tuple(offers), limits, longest)


def usual_strip(dossier: Dossier) -> str | None:
    """The strip flown from most often, or else the first of the dossier; None without any."""
    flown = (card for card in dossier.cards if card.recordings or card.cameras)
    named = Counter(point.strip for card in flown for point in card.points if point.strip)
    known = [strip.name for strip in dossier.strips]
    return next((name for name, _ in named.most_common() if name in known), known[0] if known else None)


def claims_to_settle(
    dossier: Dossier, points: Points, fit: Fit, verdicts: Sequence[Verdict]
) -> tuple[ClaimToSettle, ...]:
    """What to fly for each claim that is open, leans to a side or was not tested, in the register's order.

    Claims that no test point narrows, such as a mass, and those whose answer is infinite are left out.
    """
    found = []
    for number, verdict in enumerate(verdicts):
        if verdict.finding in ENDED:
            continue
        try:
            question = question_of(dossier, points, fit, verdict.claim.id)
            flight = next_flight(dossier, fit, question)
        except InputError:
            continue
        found.append(ClaimToSettle(number, replace(flight, offers=())))
    return tuple(found)


def _strips(dossier: Dossier, name: str | None) -> tuple[Strip, ...]:
    chosen = usual_strip(dossier) if name is None else name
    found = tuple(strip for strip in dossier.strips if strip.name == chosen)
    if chosen is not None and not found:
        raise InputError(
            unknown_name("strip", chosen, [strip.name for strip in dossier.strips]).at(field="strip")
        )
    return found


def _alike(candidate: Candidate) -> Candidate:
    """The same for every repeat of a point."""
    return replace(candidate, origin=NOWHERE)
