"""`predict`: one performance figure at the asker's own condition."""

from __future__ import annotations

from collections.abc import Iterator
from math import isfinite
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, get_args

from cyclopts import Parameter

from wringout.cli.options import quantity_option
from wringout.dossier.dossier import Dossier
from wringout.model.question import PredictedQuantity, Prediction, Question
from wringout.problems import InputError, Problem
from wringout.quantity import Dimension

if TYPE_CHECKING:
    from wringout.model.runs import Hand, Runs

SHOWN_AS: dict[str, str] = {
    "stall speed": "speed",
    "cruise speed": "speed",
    "full-throttle speed": "speed",
    "fuel flow": "fuel_flow",
    "rate of climb": "vertical_speed",
    "best climb speed": "speed",
    "best angle speed": "speed",
    "service ceiling": "height",
    "take-off ground roll": "distance",
    "take-off distance": "distance",
    "landing ground roll": "distance",
    "landing distance": "distance",
    "glide ratio": "1",
    "best glide speed": "speed",
    "least sink": "vertical_speed",
    "least sink speed": "speed",
    "best range speed": "speed",
    "Carson speed": "speed",
    "approach speed": "speed",
    "turn radius": "distance",
    "turn bank": "°",
}


def predict(
    folder: Path,
    quantity: Annotated[str, Parameter(help=f"One of: {', '.join(get_args(PredictedQuantity))}.")],
    /,
    *,
    configuration: Annotated[str | None, Parameter(help="The reference configuration without it.")] = None,
    mass: Annotated[
        str | None, Parameter(help="e.g. '1000 kg'; the maximum take-off mass without it.")
    ] = None,
    altitude: Annotated[str, Parameter(help="Pressure altitude, e.g. '1500 m'.")] = "0 m",
    temperature: Annotated[str | None, Parameter(help="e.g. '25 °C'; standard without it.")] = None,
    head_wind: Annotated[str, Parameter(help="Along the strip, e.g. '8 kt'; negative from behind.")] = "0 kt",
    slope: Annotated[str, Parameter(help="e.g. '2 %', positive uphill.")] = "0 %",
    surface: Annotated[str, Parameter(help="e.g. 'dry grass'.")] = "dry grass",
    flap: Annotated[str | None, Parameter(help="A flap setting of the airplane.")] = None,
    power: Annotated[str | None, Parameter(help="Share of rated power, e.g. '75 %'.")] = None,
    speed: Annotated[str | None, Parameter(help="Calibrated, e.g. '70 kt'; the best without it.")] = None,
    technique: Annotated[str | None, Parameter(help="A technique flown on the cards.")] = None,
    pilot: Annotated[str | None, Parameter(help="Who flew; their average without it.")] = None,
    json: bool = False,
) -> int:
    """One performance figure at your mass, height, air, wind and ground, with its 90 % interval."""
    from wringout.cli.output import caution, print_json, progress, say
    from wringout.evaluation import ask, fit_model
    from wringout.model import runs
    from wringout.model.asked import KINDS
    from wringout.quantity import as_json

    if quantity not in get_args(PredictedQuantity):
        raise InputError(
            Problem(
                f"'{quantity}' is not a figure that can be predicted",
                f"ask for one of: {', '.join(get_args(PredictedQuantity))}",
                field="quantity",
            )
        )
    with progress(quiet=json) as tell:
        dossier, points, fit = fit_model(folder, tell)
    question = Question(
        quantity=quantity,  # type: ignore[arg-type]  # checked above against the literal's own values
        configuration=configuration or dossier.airplane.configurations[0].name,
        mass=quantity_option("mass", mass, Dimension.MASS)
        or max(e.maximum_takeoff_mass for e in dossier.airplane.envelopes),
        flap=flap,
        pressure_altitude=quantity_option("altitude", altitude, Dimension.LENGTH),
        temperature=quantity_option("temperature", temperature, Dimension.TEMPERATURE),
        head_wind=quantity_option("head-wind", head_wind, Dimension.SPEED),
        slope=quantity_option("slope", slope, Dimension.SLOPE),
        surface=_surface(surface, dossier),
        power_fraction=quantity_option("power", power, Dimension.RATIO),
        speed=quantity_option("speed", speed, Dimension.SPEED),
        technique=technique,
        pilot=pilot,
    )
    answer = ask(dossier, fit, question)
    unit = getattr(dossier.units, SHOWN_AS[quantity], SHOWN_AS[quantity])
    on_the_field = KINDS[question.quantity] in ("take-off", "landing")
    apart = runs(dossier.airplane, fit, points, question) if on_the_field else None
    if json:
        print_json(
            as_json(answer.estimate)
            | {"low": answer.low, "high": answer.high, "interval": 0.9, "notes": list(answer.notes)}
            | ({} if apart is None else {"runs": _runs_json(apart)})
        )
        return 0
    say(f"{quantity.capitalize()}: {_interval(answer, unit)}.")
    for note in answer.notes:
        say(f"  {note}")
    if apart is not None:
        for line in run_lines(apart, unit):
            say(line)
    caution("the approved flight manual governs; this figure is for evaluation, not for dispatch.")
    return 0


def _interval(answer: Prediction, unit: str) -> str:
    from wringout.claims.words import readable

    middle, low = readable(answer.estimate.value, unit), readable(answer.low, unit)
    if not isfinite(answer.high):
        return f"{middle}, nine in ten from {low} to where it cannot be done at all"
    return f"{middle}, nine in ten between {low} and {readable(answer.high, unit)}"


def run_lines(apart: Runs, unit: str) -> Iterator[str]:
    """The best run flown, this pilot's runs and an average pilot's, a sentence each."""
    from wringout.claims.words import readable

    if apart.best is not None:
        best = apart.best
        length = readable(best.length.value, unit, best.length.sd)
        chosen = f", the shortest of {best.count}" if best.count > 1 else ""
        yield (
            f"Best demonstrated, brought to this condition: {length} "
            f"({best.origin.card}, {best.origin.point}{chosen})."
        )
    for whose, hand in ((apart.pilot, apart.mine), ("an average pilot", apart.average)):
        if hand is not None and whose is not None:
            yield (
                f"{whose[0].upper()}{whose[1:]}: typically {readable(hand.typical.value, unit)}, "
                f"nine runs in ten within {readable(hand.nine_in_ten.value, unit)}."
            )


def _runs_json(apart: Runs) -> dict[str, object]:
    from wringout.quantity import as_json

    def hand(one: Hand | None) -> dict[str, object] | None:
        return (
            None
            if one is None
            else {"typical": as_json(one.typical), "nine_in_ten": as_json(one.nine_in_ten)}
        )

    best = apart.best
    return {
        "best": None
        if best is None
        else {"card": best.origin.card, "point": best.origin.point, "of": best.count} | as_json(best.length),
        "pilot": apart.pilot,
        "mine": hand(apart.mine),
        "average": hand(apart.average),
    }


def _surface(name: str, dossier: Dossier) -> str:
    """The surface, if a table, a strip or a card knows it; a slip of the pen is no new kind of ground."""
    from wringout.airplane import unknown_name
    from wringout.physics.ground import SURFACES

    known = (*SURFACES, *(strip.surface for strip in dossier.strips))
    if name not in known:
        raise InputError(unknown_name("surface", name, known).at(field="--surface"))
    return name
