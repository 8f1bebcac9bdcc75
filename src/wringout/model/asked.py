"""A question made whole: what the technique or the quantity implies, and how far it reaches."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import isfinite

import numpy as np

from wringout.airplane.airplane import Airplane
from wringout.airplane.lookups import configuration, configuration_envelope, flap, unknown_name
from wringout.model.fit import Fit, Flown
from wringout.model.question import PredictedQuantity, Question
from wringout.model.surfaces import SurfacePrior, surface_prior, table_name
from wringout.physics.atmosphere import standard_pressure, standard_temperature
from wringout.problems import InputError, Problem
from wringout.quantity.showing import show

KINDS: dict[PredictedQuantity, str] = {
    "stall speed": "stall",
    "cruise speed": "level",
    "full-throttle speed": "level",
    "fuel flow": "level",
    "rate of climb": "climb",
    "best climb speed": "climb",
    "best angle speed": "climb",
    "service ceiling": "climb",
    "take-off ground roll": "take-off",
    "take-off distance": "take-off",
    "landing ground roll": "landing",
    "landing distance": "landing",
    "glide ratio": "glide",
    "best glide speed": "glide",
    "least sink": "glide",
    "least sink speed": "glide",
    "best range speed": "level",
    "Carson speed": "level",
    "approach speed": "stall",
    "turn radius": "level",
    "turn bank": "level",
}
WORDS = {
    "stall": "stall",
    "level": "level leg",
    "climb": "climb",
    "glide": "glide",
    "take-off": "take-off",
    "landing": "landing",
}
NORMAL_CRUISE = 0.75
NEAR_MASS = 0.02  # beyond the masses flown by more than this is reaching
NEAR_ALTITUDE = 300.0  # m
MASS_REACH = 0.15  # relative mass beyond what was flown at which the discrepancy is doubled
ALTITUDE_REACH = 3000.0  # m, likewise
LOWEST_ALTITUDE, HIGHEST_ALTITUDE = -1000.0, 15000.0


@dataclass(frozen=True, slots=True)
class Asked:
    """A question with nothing left open; `reach` multiplies the discrepancy, 1 within what was flown."""

    question: Question
    flap: str
    technique: str | None
    surface: str
    unflown_surface: SurfacePrior | None
    power_fraction: float
    pressure: float
    temperature: float
    cg: float
    reach: float
    notes: tuple[str, ...]


def resolve(airplane: Airplane, fit: Fit, question: Question) -> Asked:
    """The question with its gaps filled from what was flown, and notes that say so; errors as `predict`."""
    _refuse(airplane, question)
    kind = KINDS[question.quantity]
    like = [row for row in fit.flown if row.kind == kind]
    notes: list[str] = []
    technique = _technique(fit, question, kind, notes)
    _refuse_pilot(fit, question, kind)
    chosen = _flap(airplane, question, kind, technique, like)
    surface, unflown = _surface(fit, question, kind, notes)
    cg = _cg(airplane, fit, question, notes) if kind == "landing" else 0.0
    reach = _reach(fit, question, chosen, like, notes)
    if kind in ("take-off", "landing"):
        whose = _hand(fit, question, kind)
        notes.append(f"the interval is that of the typical {kind} with the technique '{technique}'{whose}")
    if question.quantity in ("cruise speed", "fuel flow") and question.power_fraction is None:
        notes.append(f"power not stated: {100.0 * NORMAL_CRUISE:.0f} % of rated")
    pressure = float(standard_pressure(question.pressure_altitude))
    temperature = question.temperature
    if temperature is None:
        temperature = float(standard_temperature(question.pressure_altitude))
    return Asked(
        question=question,
        flap=chosen,
        technique=technique,
        surface=surface,
        unflown_surface=unflown,
        power_fraction=NORMAL_CRUISE if question.power_fraction is None else question.power_fraction,
        pressure=pressure,
        temperature=temperature,
        cg=cg,
        reach=reach,
        notes=tuple(notes),
    )


def _refuse(airplane: Airplane, question: Question) -> None:
    configuration(airplane, question.configuration)
    if question.flap is not None:
        flap(airplane, question.flap)
    problems = []
    if not (isfinite(question.mass) and question.mass > 0.0):
        problems.append(Problem(f"a mass of {question.mass:g} kg cannot fly", "ask with a mass above zero"))
    if not LOWEST_ALTITUDE <= question.pressure_altitude <= HIGHEST_ALTITUDE:
        problems.append(
            Problem(
                f"a pressure altitude of {question.pressure_altitude:g} m is outside the model",
                f"ask between {LOWEST_ALTITUDE:g} m and {HIGHEST_ALTITUDE:g} m",
            )
        )
    if question.temperature is not None and not 200.0 <= question.temperature <= 340.0:
        problems.append(
            Problem(
                f"an air temperature of {question.temperature:g} K is outside the model",
                "ask between −73 °C and 67 °C",
            )
        )
    fraction = question.power_fraction
    if fraction is not None and not 0.0 < fraction <= 1.0:
        problems.append(
            Problem(f"a power of {fraction:g} of rated is not possible", "ask with more than 0, up to 1")
        )
    if question.quantity == "fuel flow" and airplane.engine.kind == "electric":
        problems.append(Problem("an electric airplane has no fuel flow", "ask for its endurance another way"))
    if question.speed is not None and not question.speed > 0.0:
        problems.append(Problem("a speed must be above zero", "ask with a calibrated airspeed"))
    if problems:
        raise InputError(*problems)


def _technique(fit: Fit, question: Question, kind: str, notes: list[str]) -> str | None:
    if kind not in ("take-off", "landing"):
        return None
    stem = "lift-off speed ratio: " if kind == "take-off" else "touchdown speed ratio: "
    known = [
        result.parameter.name.removeprefix(stem)
        for result in fit.parameters
        if result.parameter.name.startswith(stem)
    ]
    if question.technique is None:
        return known[0]
    if question.technique not in known:
        raise InputError(unknown_name(f"{kind} technique", question.technique, known))
    if not any(row.technique == question.technique for row in fit.flown if row.kind == kind):
        notes.append(f"the technique '{question.technique}' was not flown: its prior stands")
    return question.technique


def _refuse_pilot(fit: Fit, question: Question, kind: str) -> None:
    known = fit.pilots.get(kind, ())
    if question.pilot is not None and question.pilot not in known:
        raise InputError(unknown_name(f"pilot who flew a {kind}", question.pilot, known))


def _hand(fit: Fit, question: Question, kind: str) -> str:
    """Whose typical run it is, where several pilots flew."""
    if len(fit.pilots.get(kind, ())) < 2:
        return ""
    return f" as {question.pilot} flies it" if question.pilot else " as its pilots fly it on average"


def _flap(
    airplane: Airplane, question: Question, kind: str, technique: str | None, like: Sequence[Flown]
) -> str:
    if question.flap is not None:
        return question.flap
    if kind in ("take-off", "landing"):
        counts: dict[str, int] = {}
        for row in like:
            if row.technique == technique:
                counts[row.flap] = counts.get(row.flap, 0) + row.count
        if counts:
            return max(counts, key=lambda name: counts[name])
        last = len(airplane.flaps) - 1
        return airplane.flaps[last if kind == "landing" else min(1, last)].name
    return airplane.flaps[-1 if kind == "stall" else 0].name


def _surface(fit: Fit, question: Question, kind: str, notes: list[str]) -> tuple[str, SurfacePrior | None]:
    if kind not in ("take-off", "landing"):
        return question.surface, None
    stem = "rolling friction: "
    for result in fit.parameters:
        name = result.parameter.name
        if name.startswith(stem) and table_name(name.removeprefix(stem)) == table_name(question.surface):
            return name.removeprefix(stem), None
    prior = surface_prior(question.surface)
    told = "its table value" if prior.known else "a wide guess, for no table has it"
    notes.append(f"nobody rolled on {question.surface} in this evaluation: its friction is {told}")
    return question.surface, prior


def _cg(airplane: Airplane, fit: Fit, question: Question, notes: list[str]) -> float:
    """As asked, or where it lay in landings of this configuration; without any amid its envelope."""
    if question.cg is not None:
        return question.cg
    rows = [row for row in fit.flown if row.kind == "landing" and row.configuration == question.configuration]
    if rows:
        return float(np.average([row.cg for row in rows], weights=[row.count for row in rows]))
    arms = [arm for arm, _ in configuration_envelope(airplane, question.configuration).vertices]
    notes.append("CG for the braking: the middle of the envelope, for no landing was flown so")
    return 0.5 * (min(arms) + max(arms))


def _reach(fit: Fit, question: Question, chosen: str, like: Sequence[Flown], notes: list[str]) -> float:
    """How much wider the discrepancy is for reaching beyond what was flown, and the words for it."""
    kind = KINDS[question.quantity]
    if not like:
        notes.append(f"no {WORDS[kind]} was flown: this rests on the other points and the priors")
        return 2.0
    configurations = {row.configuration for row in like}
    if question.configuration not in configurations:
        flown = ", ".join(sorted(configurations))
        notes.append(
            f"no {WORDS[kind]} was flown as {question.configuration}, only as {flown}: their difference in "
            "drag is that of the other points or of its prior"
        )
    if kind in ("stall", "take-off", "landing") and chosen not in {row.flap for row in like}:
        notes.append(f"no {WORDS[kind]} was flown with flaps {chosen}: their effect is that of the prior")
    beyond_mass = _beyond(question.mass, [row.mass for row in like]) / question.mass
    reach = 1.0
    if beyond_mass > NEAR_MASS:
        reach += beyond_mass / MASS_REACH
        notes.append(f"the mass is {100.0 * beyond_mass:.0f} % outside those flown")
    if question.quantity == "service ceiling":
        highest = max(row.pressure_altitude[1] for row in like)
        notes.append(f"climbs were flown up to {_height(fit, highest)}: what lies above is the model's")
    elif kind != "stall":
        beyond = _beyond(question.pressure_altitude, [row.pressure_altitude for row in like])
        if beyond > NEAR_ALTITUDE:
            reach += beyond / ALTITUDE_REACH
            notes.append(f"the altitude is {_height(fit, beyond)} outside those flown")
    return reach


def _height(fit: Fit, height: float) -> str:
    """A height in the dossier's unit, rounded to a hundred feet or ten metres."""
    return show(height, fit.height_unit, digits=-2 if fit.height_unit == "ft" else -1)


def _beyond(value: float, ranges: Sequence[tuple[float, float]]) -> float:
    low, high = min(low for low, _ in ranges), max(high for _, high in ranges)
    return max(low - value, value - high, 0.0)
