"""`strips`: into and out of each strip of the dossier, through its year of hours."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

from cyclopts import Parameter

from wringout.cli.options import quantity_option
from wringout.problems import InputError
from wringout.quantity import Dimension

if TYPE_CHECKING:
    from wringout.dossier.dossier import Units
    from wringout.evaluation.strips import StripsAnswer
    from wringout.missions.practice import Practice


def strips(
    folder: Path,
    /,
    *,
    strip: Annotated[str | None, Parameter(help="One strip, with its months and what to look at.")] = None,
    configuration: Annotated[str | None, Parameter(help="The reference configuration without it.")] = None,
    load: Annotated[
        str | None, Parameter(help="Payload, pilot counted; without it the pilot and one more.")
    ] = None,
    fuel: Annotated[str | None, Parameter(help="Aboard at landing and take-off; half without it.")] = None,
    surface: Annotated[str | None, Parameter(help="On every strip, e.g. 'wet grass', 'mud', 'snow'.")] = None,
    take_off: Annotated[str | None, Parameter(help="Technique; the shortest flown without it.")] = None,
    landing: Annotated[str | None, Parameter(help="Technique; the shortest flown without it.")] = None,
    method: Annotated[
        str, Parameter(help="'physics', or published factors: 'leaflet', 'class B'.")
    ] = "physics",
    take_off_factor: Annotated[float | None, Parameter(help="Margin; 1.33 without it.")] = None,
    landing_factor: Annotated[float | None, Parameter(help="Margin; 1.43 without it.")] = None,
    cross_wind: Annotated[str | None, Parameter(help="Limit; a fifth of V_S0 without it.")] = None,
    tail_wind: Annotated[str, Parameter(help="Limit.")] = "10 kt",
    step: Annotated[str, Parameter(help="A rut or stone that the wheels may meet.")] = "10 cm",
    all_hours: Annotated[bool, Parameter(help="Count the hours of darkness too.")] = False,
    json: bool = False,
) -> int:
    """How often each strip can be landed on and left again, what stops the other hours, with what payload."""
    from wringout.airplane.lookups import unknown_name
    from wringout.cli.output import caution, print_json, progress, say, table
    from wringout.evaluation import fit_model
    from wringout.evaluation.strip_words import (
        CAUTION,
        distance_words,
        found_sentence,
        interval_words,
        opening_sentence,
        payload_words,
        percent,
        practice_words,
        weather_words,
    )
    from wringout.evaluation.strips import StripsAsked, answer_strips, kept_strips

    practice = practice_option(method, take_off_factor, landing_factor, cross_wind, tail_wind)
    asked = StripsAsked(
        configuration,
        quantity_option("load", load, Dimension.MASS),
        quantity_option("fuel", fuel, Dimension.VOLUME),
        surface,
        take_off,
        landing,
        quantity_option("step", step, Dimension.LENGTH),
        all_hours,
        practice,
    )
    with progress(quiet=json) as tell:
        dossier, _, fit = fit_model(folder, tell)
    names = [item.name for item in dossier.strips]
    if strip is not None and strip not in names:
        raise InputError(unknown_name("strip", strip, names))
    usual = kept_strips(dossier, fit) if asked == StripsAsked() else None
    answer = usual or answer_strips(dossier, fit, asked)
    units = dossier.units
    chosen = [found for found in answer.found if strip is None or found.strip.name == strip]
    if json:
        print_json(_payload(answer, strip))
        return 0
    if strip is None:
        say(opening_sentence(answer, units))
        for found in answer.found:
            say(found_sentence(found, answer, units))
    else:
        say(found_sentence(chosen[0], answer, units))
    table(
        f"Strips as {answer.configuration}, {answer.techniques[0]} take-off, {answer.techniques[1]} landing",
        ("strip", "what binds", "usable", "90 %", "landing", "take-off", "payload for 9 in 10"),
        (
            (
                found.strip.name,
                "" if found.answer is None else found.answer.binding or "nothing",
                "–" if found.answer is None else percent(found.answer.share),
                interval_words(found),
                "–" if found.answer is None else distance_words(found.answer.landing, units),
                "–" if found.answer is None else distance_words(found.answer.take_off, units),
                payload_words(found, units),
            )
            for found in chosen
        ),
        words=2,
    )
    if strip is not None:
        _one(answer, strip, units)
    cross = next((found.answer.cross_wind for found in answer.found if found.answer), 0.0)
    say(practice_words(practice, cross, units))
    say(weather_words(answer, units))
    caution(CAUTION)
    return 0


def practice_option(
    method: str,
    take_off_factor: float | None,
    landing_factor: float | None,
    cross_wind: str | None,
    tail_wind: str,
) -> Practice:
    """How strictly strips are judged, from the options; InputError names what cannot be."""
    from wringout.missions.leaflet import PUBLISHED
    from wringout.missions.practice import Practice

    published = PUBLISHED.get(method)
    margins = (1.33, 1.43) if published is None else published.margin
    return Practice(
        method,  # type: ignore[arg-type]  # refused there where unknown
        margins[0] if take_off_factor is None else take_off_factor,
        margins[1] if landing_factor is None else landing_factor,
        cross_wind=quantity_option("cross-wind", cross_wind, Dimension.SPEED),
        tail_wind=quantity_option("tail-wind", tail_wind, Dimension.SPEED),
    )


def _one(answer: StripsAnswer, name: str, units: Units) -> None:
    """The months of one strip, the wheels, and what to look at."""
    import numpy as np

    from wringout.charts.strips import MONTHS
    from wringout.cli.output import say, table
    from wringout.evaluation.strip_words import density_words, percent
    from wringout.quantity.showing import arm_digits, show

    found = next(item for item in answer.found if item.strip.name == name)
    if found.answer is None:
        return
    heat = found.answer.heat
    hours = [hour for hour in range(24) if np.isfinite(heat[:, hour]).any()]
    table(
        "Usable share by month and hour, %",
        ("month", *(f"{hour}" for hour in hours)),
        (
            (
                MONTHS[month],
                *(
                    f"{100 * heat[month, hour]:.0f}" if np.isfinite(heat[month, hour]) else ""
                    for hour in hours
                ),
            )
            for month in range(12)
        ),
    )
    for reason, share in sorted(found.answer.reasons.items(), key=lambda item: -item[1]):
        if share > 0.0:
            say(f"{reason[:1].upper()}{reason[1:]} stops {percent(share)} of the hours.")
    say(density_words(found, units))
    for item in found.rough:
        climbs, step = (
            show(value, units.arm, digits=arm_digits(units.arm)) for value in (item.climbs, item.step)
        )
        enough = "enough" if item.climbs >= item.step else "not enough"
        say(f"From rest it climbs {climbs} with {item.wheel}, {enough} for the step of {step}.")
    say("Before the first landing on ground that nobody prepared:")
    for look in found.looks:
        say(f"  {look.what}: {look.how}.")


def _payload(answer: StripsAnswer, strip: str | None) -> dict[str, object]:
    return {
        "configuration": answer.configuration,
        "payload": answer.payload,
        "fuel": answer.fuel,
        "mass": answer.mass,
        "techniques": list(answer.techniques),
        "site": answer.site,
        "hours": answer.hours,
        "strips": [
            {
                "name": found.strip.name,
                "refused": found.refused or None,
                "payload_for_nine_in_ten": found.kept_payload,
            }
            | (
                {}
                if found.answer is None
                else {
                    "share": found.answer.share,
                    "low": found.answer.low,
                    "high": found.answer.high,
                    "binding": found.answer.binding,
                    "season": found.answer.season or None,
                    "reasons": dict(found.answer.reasons),
                    "landing": list(found.answer.landing),
                    "take_off": list(found.answer.take_off),
                    "density_altitude": list(found.answer.density_altitude),
                    "cross_wind": found.answer.cross_wind,
                    "heat": [[float(share) for share in row] for row in found.answer.heat],
                }
            )
            for found in answer.found
            if strip is None or found.strip.name == strip
        ],
    }
