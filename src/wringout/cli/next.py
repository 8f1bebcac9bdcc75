"""`next`: which points to fly next."""

from __future__ import annotations

from math import floor, log10
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, get_args

from cyclopts import Parameter

from wringout.cli.options import quantity_option
from wringout.cli.predict import SHOWN_AS
from wringout.model.question import PredictedQuantity, Question
from wringout.problems import InputError, Problem
from wringout.quantity import Dimension

if TYPE_CHECKING:
    from wringout.dossier.dossier import Dossier, Units
    from wringout.evaluation import NextFlight
    from wringout.model.candidates import Candidate


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
    json: bool = False,
) -> int:
    """What to fly next: the points that most narrow one answer per minute, chosen for one flight."""
    from wringout.claims import question_of
    from wringout.cli.output import caution, headed, progress, say, table
    from wringout.evaluation import fit_model, next_flight

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
    planned = next_flight(dossier, fit, question, longest)
    if json:
        _print(planned, dossier)
        return 0
    unit = getattr(dossier.units, SHOWN_AS[question.quantity], SHOWN_AS[question.quantity])
    shown = "" if unit == "1" else f" {unit}"
    now, then = (f"± {_spread(sd, unit)}{shown}" for sd in (planned.sd, planned.sd_after))
    say(f"{question.quantity.capitalize()}: what points can narrow stands at {now}.")
    if not planned.steps:
        say("No point that fits the time narrows it by as much as one per cent.")
        return 0
    say(
        f"{planned.time / 60.0:.0f} minutes of points bring it to {then}, the most useful for its time first:"
    )
    table(
        "Fly next",
        (
            "point",
            headed("time", "min"),
            headed("then ±", shown.strip()),
            headed("off a minute", shown.strip()),
        ),
        (
            (
                point_words(candidate, dossier.units),
                f"{step.time / 60.0:.0f}",
                _spread(step.sd_after, unit),
                _spread(step.per_minute, unit),
            )
            for candidate, step in planned.steps
        ),
        words=1,
    )
    caution("fly in build-up order and within the flight manual's limits; 'wringout card' prints both.")
    return 0


def point_words(point: Candidate, units: Units) -> str:
    """'climb at 68 kt, 5 000 ft, flaps up'."""
    from wringout.quantity import show

    words: str = point.kind if point.kind != "level" else "level leg"
    if point.technique is not None:
        words += f" '{point.technique}'"
    if point.power in ("full", "part"):
        words += f", {point.power} power"
    if point.speed is not None:
        words += f", {show(point.speed, units.speed, digits=0)} calibrated"
    if point.height is not None:
        rounded = -2 if units.height == "ft" else -1
        words += f", {show(point.height, units.height, digits=rounded)}"
    words += f", flaps {point.flap}"
    return words + (f", {point.strip}" if point.strip is not None else "")


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


def _spread(sd: float, unit: str) -> str:
    """A standard deviation in a unit, to two significant digits, without the unit."""
    from wringout.quantity.units import difference_factor, find_unit

    value = sd if unit == "1" else sd / difference_factor(find_unit(unit))
    if value <= 0.0:
        return "0"
    return f"{value:.{max(1 - floor(log10(value)), 0)}f}"


def _print(planned: NextFlight, dossier: Dossier) -> None:
    from wringout.cli.output import print_json

    print_json(
        {
            "quantity": planned.answer.question.quantity,
            "unit": planned.answer.estimate.dimension.value,
            "value": planned.answer.estimate.value,
            "sd": planned.sd,
            "sd_after": planned.sd_after,
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
        }
    )
