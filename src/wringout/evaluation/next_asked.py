"""What a form asks of the next flight: the answer to be narrowed, the minutes, what the flight keeps to."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass

from wringout.claims import question_of, told_by_points
from wringout.claims.verdict import Verdict
from wringout.dossier.dossier import Dossier
from wringout.evaluation.inquiry import (
    BEARS,
    Inquiry,
    InquiryError,
    typed_inquiry,
    typed_quantity,
)
from wringout.evaluation.next_flight import ENDED, LONGEST, NextFlight, next_flight, usual_strip
from wringout.model.candidates import KINDS, Limits
from wringout.model.fit import Fit
from wringout.model.question import PredictedQuantity
from wringout.model.wording import SILENT
from wringout.problems import InputError, Problem
from wringout.quantity.dimensions import Dimension
from wringout.reduction.points import Points

MOST_TIME = 12 * 3600.0  # s; nobody flies longer without landing
# The figure that most shows what a parameter is; what stands behind its colon goes to the field named. What
# only an accelerometer tells is not among them.
_SHOWN_BY: Mapping[str, tuple[PredictedQuantity, str]] = {
    "zero-lift drag area": ("full-throttle speed", ""),
    "span efficiency": ("rate of climb", ""),
    "idle propeller drag area": ("glide ratio", ""),
    "maximum lift coefficient": ("stall speed", "flap"),
    "drag-area change": ("full-throttle speed", "configuration"),
    "braking change": ("landing ground roll", "configuration"),
    "engine power factor": ("rate of climb", ""),
    "engine altitude drop": ("service ceiling", ""),
    "specific consumption factor": ("fuel flow", ""),
    "propeller static efficiency": ("take-off ground roll", ""),
    "propeller cruise efficiency": ("cruise speed", ""),
    "propeller polar slope": ("take-off ground roll", ""),
    "propeller polar intercept": ("full-throttle speed", ""),
    "rolling friction": ("take-off ground roll", "surface"),
    "lift-off speed ratio": ("take-off ground roll", "technique"),
    "obstacle speed ratio": ("take-off distance", "technique"),
    "approach speed ratio": ("landing distance", "technique"),
    "approach angle": ("landing distance", "technique"),
    "touchdown speed ratio": ("landing ground roll", "technique"),
    "braking effort": ("landing ground roll", "technique"),
}


@dataclass(frozen=True, slots=True)
class Asked:
    """What is asked: the inquiry, the claim's id where it is one, and what the flight keeps to, SI."""

    inquiry: Inquiry
    claim: str | None
    longest: float
    limits: Limits
    strip: str | None

    @property
    def what(self) -> str:
        """The answer to be narrowed, as part of a sentence."""
        quantity = self.inquiry.question.quantity
        return f"the {quantity}" if self.claim is None else f"the {quantity} of the claim ‘{self.claim}’"


def first_claim(dossier: Dossier, verdicts: Sequence[Verdict] | None) -> str | None:
    """The id of the first claim that points could settle and have not; None where there is none."""
    ended = {verdict.claim.id for verdict in verdicts or () if verdict.finding in ENDED}
    return next(
        (claim.id for claim in dossier.claims if told_by_points(claim) and claim.id not in ended), None
    )


def typed_asked(
    typed: Mapping[str, str], without: Collection[str], dossier: Dossier, points: Points, fit: Fit
) -> Asked:
    """What a form of fields by name asks.

    Parameters
    ----------
    typed : mapping
        'claim', or the fields of `typed_inquiry`; 'minutes', 'flight_mass', 'highest', 'strip', each with or
        without its unit and open where empty.
    without : collection of str
        Kinds of point that are not to be flown.
    dossier : Dossier
    points : Points
    fit : Fit

    Raises
    ------
    InquiryError
        With every field that is not understood.
    """
    faults: dict[str, Problem] = {}
    units = dossier.units

    def quantity(field: str, unit: str, dimension: Dimension) -> float | None:
        text = typed.get(field, "").strip()
        if not text:
            return None
        try:
            value = typed_quantity(text, unit, dimension)
        except InputError as error:
            faults[field] = error.problems[0]
            return None
        if not value > 0.0:
            faults[field] = Problem(f"'{text[:40]}' is not above zero", "give more, or leave it empty")
        return value

    longest = quantity("minutes", "min", Dimension.TIME)
    if longest is not None and longest > MOST_TIME:
        faults["minutes"] = Problem("nobody flies points for so long", "give at most twelve hours")
    limits = Limits(
        quantity("flight_mass", units.mass, Dimension.MASS),
        quantity("highest", units.height, Dimension.LENGTH),
        tuple(kind for kind in KINDS if kind not in without),
    )
    strip = typed.get("strip") or usual_strip(dossier)
    claim = typed.get("claim") or None
    inquiry = None
    try:
        inquiry = _claimed(dossier, points, fit, claim) if claim else typed_inquiry(typed, dossier, fit)
    except InquiryError as error:
        faults.update(zip(error.places, error.problems, strict=True))
    if faults or inquiry is None:
        raise InquiryError(faults)
    return Asked(inquiry, claim, LONGEST if longest is None else longest, limits, strip)


def answered_next(dossier: Dossier, fit: Fit, asked: Asked) -> NextFlight:
    """`next_flight` for what was asked; InquiryError at the field that it is about."""
    try:
        return next_flight(
            dossier, fit, asked.inquiry.question, asked.longest, limits=asked.limits, strip=asked.strip
        )
    except InputError as error:
        raise InquiryError({_place(problem): problem for problem in error.problems}) from None


def untold(fit: Fit, dossier: Dossier) -> tuple[tuple[str, dict[str, str]], ...]:
    """Parameters of which the flights say next to nothing, each with the question of a form that shows it."""
    flaps = {f"flap {item.name}": item.name for item in dossier.airplane.flaps}
    found = []
    for result in fit.parameters:
        stem, _, rest = result.parameter.name.partition(": ")
        if result.taught >= SILENT or stem not in _SHOWN_BY:
            continue
        figure, field = _SHOWN_BY[stem]
        query = {"figure": str(figure)}
        if stem == "drag-area change" and rest in flaps:
            query = {"figure": "glide ratio", "flap": flaps[rest]}
        elif field:
            query[field] = flaps.get(rest, rest)
        found.append((result.parameter.name, query))
    return tuple(found)


def _claimed(dossier: Dossier, points: Points, fit: Fit, claim: str) -> Inquiry:
    try:
        question = question_of(dossier, points, fit, claim)
    except InputError as error:
        raise InquiryError({"what": error.problems[0]}) from None
    return Inquiry(question, BEARS[question.quantity][0])


def _place(problem: Problem) -> str:
    """The field that a refusal is about."""
    if problem.field in ("highest", "strip"):
        return problem.field
    return "flight_mass" if "mass" in problem.what else "what"
