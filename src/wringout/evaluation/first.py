"""What readers ask first: five numbers, and what the airplane can really do, in three sentences."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace
from typing import get_args

from wringout.claims.verdict import Finding, Verdict
from wringout.dossier.dossier import Dossier
from wringout.evaluation.evaluation import Headline
from wringout.evaluation.usual import CRUISE_POWER, HOT, SURFACE, maximum_mass, usual_heights
from wringout.loading import empty_mass
from wringout.model import predict_each
from wringout.model.fit import Fit
from wringout.model.question import Prediction, Question
from wringout.quantity import Dimension, show

NINE_IN_TEN = 1.6449  # half-width of the central 90 % of a normal distribution, in standard deviations


def headlines(dossier: Dossier, fit: Fit, configuration: str) -> tuple[Headline, ...]:
    """The five numbers that readers ask first, at maximum mass."""
    airplane, units = dossier.airplane, dossier.units
    mass = maximum_mass(airplane, configuration)
    heavy = show(mass, units.mass, digits=0)
    cruise = usual_heights(units).cruise
    ground = f"{heavy}, sea level, standard day, level {SURFACE}, still air"
    asked = {
        ("take-off over 15 m", ground, units.distance): Question(
            "take-off distance", configuration, mass, surface=SURFACE
        ),
        ("landing over 15 m", ground, units.distance): Question(
            "landing distance", configuration, mass, surface=SURFACE
        ),
        (
            "cruise",
            f"{CRUISE_POWER:.0%} power, {show(cruise, units.height, digits=0)}, standard day",
            units.speed,
        ): Question(
            "cruise speed", configuration, mass, pressure_altitude=cruise, power_fraction=CRUISE_POWER
        ),
        ("stall, landing flap", f"{heavy}, calibrated, idle", units.speed): Question(
            "stall speed", configuration, mass, flap=airplane.flaps[-1].name
        ),
    }
    answers = predict_each(airplane, fit, list(asked.values()))
    return (
        _useful_load(dossier, configuration),
        *(
            Headline(
                label,
                condition,
                answer.estimate.value,
                answer.low,
                answer.high,
                answer.estimate.dimension,
                unit,
                answer.estimate.source,
            )
            for (label, condition, unit), answer in zip(asked, answers, strict=True)
        ),
    )


def _useful_load(dossier: Dossier, configuration: str) -> Headline:
    mass = maximum_mass(dossier.airplane, configuration)
    empty = empty_mass(dossier.airplane, configuration).mass
    useful, spread = mass - empty.value, NINE_IN_TEN * (empty.sd or 0.0)
    condition = f"{configuration}, to {show(mass, dossier.units.mass, digits=0)}"
    return Headline(
        "useful load",
        condition,
        useful,
        useful - spread,
        useful + spread,
        Dimension.MASS,
        dossier.units.mass,
        empty.source,
    )


def three_sentences(
    dossier: Dossier, fit: Fit, configuration: str, verdicts: tuple[Verdict, ...]
) -> tuple[str, str, str]:
    """What can you really do with it: the load, the ground it needs, the journey and the maker's word."""
    airplane, units = dossier.airplane, dossier.units
    mass = maximum_mass(airplane, configuration)
    heights = usual_heights(units)
    high, cruise = heights.high_strip, heights.cruise
    takeoff, landing, climb, speed = predict_each(
        airplane,
        fit,
        [
            Question("take-off distance", configuration, mass, None, high, HOT, surface=SURFACE),
            Question("landing distance", configuration, mass, None, high, HOT, surface=SURFACE),
            Question("rate of climb", configuration, mass),
            Question("cruise speed", configuration, mass, None, cruise, power_fraction=CRUISE_POWER),
        ],
    )
    flown = "" if fit.residuals else "Nothing is flown yet; by what such airplanes usually do: "
    useful = mass - empty_mass(airplane, configuration).mass.value
    fuel = airplane.fuel.density * sum(tank.usable for tank in airplane.tanks)
    heavy = show(mass, units.mass, digits=0)
    place = f"{show(high, units.height, digits=0)} and {show(HOT, units.temperature, digits=0)}"
    rest = (
        f"with full tanks {show(useful - fuel, units.mass, digits=0)} of that is left"
        if airplane.tanks
        else "all of it is"
    )
    lifts = (
        f"It lifts {show(useful, units.mass, digits=0)} in the {configuration} configuration; {rest} for "
        "people and things."
    )
    ground = (
        f"{flown}At {heavy} on level {SURFACE}, {place}, it needs {_between(takeoff, units.distance)} "
        f"to clear 15 m, and {_between(landing, units.distance)} from 15 m to a stop."
    )
    journey = (
        f"{flown}It climbs at {_round(climb, units.vertical_speed)} from sea level and cruises at "
        f"{_round(speed, units.speed)} on {_drawn(dossier, fit, speed.question)}; {_findings(verdicts)}."
    )
    return lifts, ground, journey


def _drawn(dossier: Dossier, fit: Fit, cruise: Question) -> str:
    """What a cruise takes: its fuel flow; of a battery how long it lasts at most, were nothing lost."""
    airplane = dossier.airplane
    if airplane.engine.battery_energy is None:
        (flow,) = predict_each(airplane, fit, [replace(cruise, quantity="fuel flow")])
        return _round(flow, dossier.units.fuel_flow)
    power = (cruise.power_fraction or CRUISE_POWER) * airplane.engine.rated_power
    lasts = airplane.engine.battery_energy / power
    given = show(power, dossier.units.power, digits=0)
    return f"{given}, which its battery gives for {lasts / 60.0:.0f} min at most"


def _findings(verdicts: tuple[Verdict, ...]) -> str:
    if not verdicts:
        return "no claim of its maker is registered"
    count = Counter(verdict.finding for verdict in verdicts)
    parts = ", ".join(f"{count[finding]} {finding}" for finding in get_args(Finding) if count[finding])
    return f"of its maker's {len(verdicts)} claims: {parts}"


def _round(answer: Prediction, unit: str) -> str:
    return show(answer.estimate.value, unit, digits=0)


def _between(answer: Prediction, unit: str) -> str:
    low, high = show(answer.low, unit, digits=0), show(answer.high, unit, digits=0)
    return f"{_round(answer, unit)} (nine in ten: {low} to {high})"
