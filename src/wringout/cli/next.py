"""`next`: which points to fly next."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated, get_args

from cyclopts import Parameter

from wringout.cli.options import quantity_option
from wringout.model.question import PredictedQuantity, Question
from wringout.problems import InputError, Problem
from wringout.quantity import Dimension

if TYPE_CHECKING:
    from wringout.dossier.dossier import Dossier
    from wringout.evaluation import NextFlight
    from wringout.model.candidates import Kind

MOST_ROWS = 8  # of points in the order of their use; those that are flown are shown besides


def next(
    folder: Path,
    quantity: Annotated[
        str | None, Parameter(help="What should be known better: a figure of 'predict'.")
    ] = None,
    /,
    *,
    claim: Annotated[str | None, Parameter(help="Or the id of a claim that should be settled.")] = None,
    configuration: Annotated[str | None, Parameter(help="The reference configuration without it.")] = None,
    mass: Annotated[
        str | None, Parameter(help="e.g. '1000 kg'; the maximum take-off mass without it.")
    ] = None,
    altitude: Annotated[str, Parameter(help="Pressure altitude, e.g. '1500 m'.")] = "0 m",
    flap: Annotated[str | None, Parameter(help="A flap setting of the airplane.")] = None,
    power: Annotated[str | None, Parameter(help="Share of rated power, e.g. '75 %'.")] = None,
    technique: Annotated[str | None, Parameter(help="A technique flown on the cards.")] = None,
    time: Annotated[str, Parameter(help="Flight time for all points together.")] = "60 min",
    flight_mass: Annotated[
        str | None, Parameter(help="Take-off mass of the flight; the heaviest flown without it.")
    ] = None,
    highest: Annotated[
        str | None, Parameter(help="Pressure altitude not to be passed, e.g. '6000 ft'.")
    ] = None,
    without: Annotated[
        list[str] | None, Parameter(help="A kind of point not to be flown, e.g. stall; may be repeated.")
    ] = None,
    strip: Annotated[
        str | None, Parameter(help="Where it takes off and lands; the usual strip without it.")
    ] = None,
    json: bool = False,
) -> int:
    """What to fly next: the points that most narrow one answer per minute, chosen for one flight."""
    from wringout.claims import question_of
    from wringout.cli.output import caution, headed, progress, say, table
    from wringout.evaluation import fit_model, next_flight
    from wringout.evaluation.inquiry_words import answer_unit
    from wringout.evaluation.next_words import HOW, figures, lasting_sentence, next_sentence, point_words
    from wringout.model.candidates import Limits

    if (quantity is None) == (claim is None):
        raise InputError(
            Problem("what should be known better is not said", "name one figure, or one claim with --claim")
        )
    longest = quantity_option("time", time, Dimension.TIME)
    with progress(quiet=json) as tell:
        dossier, points, fit = fit_model(folder, tell)
    if claim is not None:
        question = question_of(dossier, points, fit, claim)
    else:
        question = Question(
            _known(quantity or ""),
            configuration or dossier.airplane.configurations[0].name,
            quantity_option("mass", mass, Dimension.MASS)
            or max(envelope.maximum_takeoff_mass for envelope in dossier.airplane.envelopes),
            flap=flap,
            pressure_altitude=quantity_option("altitude", altitude, Dimension.LENGTH),
            power_fraction=quantity_option("power", power, Dimension.RATIO),
            technique=technique,
        )
    limits = Limits(
        quantity_option("flight-mass", flight_mass, Dimension.MASS),
        quantity_option("highest", highest, Dimension.LENGTH),
        _kinds(without or []),
    )
    planned = next_flight(dossier, fit, question, longest, limits=limits, strip=strip)
    if json:
        _print(planned, dossier)
        return 0
    units = dossier.units
    what = f"the {question.quantity}" + (f" of the claim '{claim}'" if claim is not None else "")
    say(next_sentence(planned, units, what))
    lasting = lasting_sentence(planned, units)
    if lasting:
        say(lasting)
    unit = answer_unit(question.quantity, units)
    if planned.offers:
        after = figures([offer.sd_after for offer in planned.offers], planned, units)
        off = figures([offer.per_minute for offer in planned.offers], planned, units, by_greatest=True)
        table(
            "What one point by itself takes away, the most for its time first",
            (
                "point",
                headed("time", "min"),
                headed("then ±", unit),
                headed("off a minute", unit),
                "flown as",
            ),
            (
                (
                    point_words(offer.candidate, units),
                    f"{offer.candidate.time / 60.0:.0f}",
                    left,
                    taken,
                    ", ".join(map(str, offer.places)),
                )
                for offer, left, taken in zip(planned.offers, after, off, strict=True)
                if offer.places or offer in planned.offers[:MOST_ROWS]
            ),
            words=1,
        )
    kinds = dict.fromkeys(candidate.kind for candidate, _ in planned.steps)
    if kinds:
        table("How to fly them", ("point", "how"), ((kind, HOW[kind]) for kind in kinds), words=2)
    caution("fly in build-up order and within the flight manual's limits; 'wringout card' prints both.")
    return 0


def _kinds(without: list[str]) -> tuple[Kind, ...]:
    from wringout.model.candidates import KINDS

    for name in without:
        if name not in KINDS:
            raise InputError(
                Problem(
                    f"there is no kind of point '{name}'",
                    f"use one of: {', '.join(KINDS)}",
                    field="--without",
                )
            )
    return tuple(kind for kind in KINDS if kind not in without)


def _known(quantity: str) -> PredictedQuantity:
    if quantity not in get_args(PredictedQuantity):
        raise InputError(
            Problem(
                f"'{quantity}' is not a figure that can be predicted",
                f"ask for one of: {', '.join(get_args(PredictedQuantity))}",
                field="quantity",
            )
        )
    return quantity  # type: ignore[return-value]  # checked above against the literal's own values


def _print(planned: NextFlight, dossier: Dossier) -> None:
    from wringout.cli.output import print_json
    from wringout.evaluation.next_words import HOW, point_words

    print_json(
        {
            "quantity": planned.answer.question.quantity,
            "unit": planned.answer.estimate.dimension.value,
            "value": planned.answer.estimate.value,
            "sd": planned.sd,
            "sd_after": planned.sd_after,
            "sd_lasting": planned.lasting,
            "minutes": planned.time / 60.0,
            "points": [
                {
                    "point": point_words(candidate, dossier.units),
                    "kind": candidate.kind,
                    "flap": candidate.flap,
                    "minutes": step.time / 60.0,
                    "sd_after": step.sd_after,
                    "per_minute": step.per_minute,
                }
                for candidate, step in planned.steps
            ],
            "offers": [
                {
                    "point": point_words(offer.candidate, dossier.units),
                    "kind": offer.candidate.kind,
                    "how": HOW[offer.candidate.kind],
                    "minutes": offer.candidate.time / 60.0,
                    "sd_after": offer.sd_after,
                    "per_minute": offer.per_minute,
                    "places": list(offer.places),
                }
                for offer in planned.offers
            ],
        }
    )
