"""What one configuration of one fitted airplane does, as draws that go together: the rows of a comparison."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from wringout.dossier.dossier import Mission, Strip, Units
from wringout.evaluation.costs import Book, Order, flown, reckoned_of, reordered, trip_cost
from wringout.evaluation.measures import Better, Candidate, Measure, Outing, Sampled, Terms, on_terms
from wringout.evaluation.trips import AskedCruise, FlownMission, answer_mission, asked_cruise
from wringout.evaluation.usual import CRUISE_POWER, HOT, SURFACE, maximum_mass, usual_heights
from wringout.loading import capacity, empty_mass
from wringout.missions import DAY_RESERVE, MissionAnswer, asked_of, range_with
from wringout.model import predict_each
from wringout.model.question import PredictedQuantity, Question
from wringout.ownership import Reckoned
from wringout.ownership.assumptions import standard_draws
from wringout.problems import InputError
from wringout.quantity.dimensions import Dimension
from wringout.quantity.estimate import Estimate
from wringout.quantity.showing import show

FloatArray = NDArray[np.float64]

OF_ITS_OWN = 0.01  # relative, of a take-off or landing with one gear; common practice, no source
FUELS = 25  # at which the payload is sought between none and full tanks; it bends only where a limit changes


def sampled(candidate: Candidate, terms: Terms) -> Sampled:
    """All rows of one candidate under the terms of the comparison."""
    airplane, found = candidate.dossier.airplane, Sampled()
    found.fuels = np.linspace(0.0, sum(tank.usable for tank in airplane.tanks), FUELS)
    found.payloads = np.nan_to_num(capacity(airplane, candidate.configuration, found.fuels).payload)
    cruise, reckoned = _costed(candidate, terms, found)
    _performance(candidate, terms, found)
    _carrying(candidate, terms, found, cruise)
    for mission in terms.home.missions:
        _mission(candidate, terms, found, mission, reckoned)
    return found


def _costed(candidate: Candidate, terms: Terms, found: Sampled) -> tuple[AskedCruise, Reckoned | None]:
    """Cruise, and the cost of an hour where both dossiers tell it in one currency."""
    dossier, fit, name = candidate.dossier, candidate.fit, candidate.configuration
    order, same_fuel = candidate.order(terms.home), dossier.airplane.fuel == terms.home.airplane.fuel
    costs = on_terms(dossier.costs, terms.costs, same_fuel=same_fuel)
    if costs is None:
        if terms.costs is not None:
            found.notes.append(
                f"What the {dossier.airplane.name} costs is not told in {terms.costs.currency}."
            )
        height = usual_heights(terms.units).cruise
        return reordered(asked_cruise(dossier.airplane, fit, name, height, 0.0), order), None
    reckoned, cruise = reckoned_of(
        dossier, Book(dossier.airplane, fit), name, costs, world=terms.home.root.name, order=order
    )
    money = costs.currency
    flown_hours = show(costs.hours_per_year.value, "h", digits=0)
    hourly = f"{flown_hours} a year"
    mile = terms.units.range
    hour = Measure("cost an hour", "cost of an hour", hourly, money, None, "less", "an hour", "h")
    found.put(hour, reckoned.draws.total)
    found.put(
        replace(hour, key="one more hour", what="cost of one hour more", short="an hour more"),
        reckoned.draws.marginal,
    )
    found.put(
        replace(hour, key="cost a distance", what="cost of a distance", short=f"a {mile}", per=mile),
        reckoned.draws.total / np.maximum(cruise.true_airspeed.samples, 1.0),
    )
    return cruise, reckoned


def _performance(candidate: Candidate, terms: Terms, found: Sampled) -> None:
    """The figures that readers ask first, each at the candidate's own maximum mass."""
    units, airplane, name = terms.units, candidate.dossier.airplane, candidate.configuration
    heights, mass = usual_heights(units), maximum_mass(airplane, name)
    cruise = show(heights.cruise, units.height, digits=0)
    high = f"{show(heights.high_strip, units.height, digits=0)}, 25 °C"
    ground = f"sea level, {SURFACE}"
    powered = f"{CRUISE_POWER:.0%} power, {cruise}"
    level = Question(
        "cruise speed", name, mass, pressure_altitude=heights.cruise, power_fraction=CRUISE_POWER
    )

    def field(quantity: PredictedQuantity, height: float, temperature: float | None) -> Question:
        return Question(
            quantity, name, mass, pressure_altitude=height, temperature=temperature, surface=SURFACE
        )

    def row(key: str, what: str, condition: str, shown: tuple[str, Dimension], better: Better) -> Measure:
        return Measure(key, what, condition, *shown, better, f"of {key}")

    speed, distance = (units.speed, Dimension.SPEED), (units.distance, Dimension.LENGTH)
    flow, climb = (units.fuel_flow, Dimension.VOLUME_FLOW), (units.vertical_speed, Dimension.SPEED)
    flap = airplane.flaps[-1].name
    asked = (
        (
            row("stall speed", "stall, full flap", "maximum mass", speed, "less"),
            Question("stall speed", name, mass, flap=flap),
        ),
        (row("cruise", "cruise", powered, speed, "more"), level),
        (row("fuel flow", "fuel flow", powered, flow, "less"), replace(level, quantity="fuel flow")),
        (row("climb", "rate of climb", "sea level", climb, "more"), Question("rate of climb", name, mass)),
        (
            row("take-off", "take-off over 15 m", ground, distance, "less"),
            field("take-off distance", 0.0, None),
        ),
        (
            row("landing", "landing over 15 m", ground, distance, "less"),
            field("landing distance", 0.0, None),
        ),
        (
            row("hot take-off", "take-off over 15 m", high, distance, "less"),
            field("take-off distance", heights.high_strip, HOT),
        ),
        (
            row("hot landing", "landing over 15 m", high, distance, "less"),
            field("landing distance", heights.high_strip, HOT),
        ),
    )
    answers = predict_each(airplane, candidate.fit, [question for _, question in asked])
    order = candidate.order(terms.home)
    for (measure, question), prediction in zip(asked, answers, strict=True):
        found.put(measure, _in_order(prediction.samples, order) * _of_its_own(candidate, question.quantity))
    surfaces = {row.surface for row in candidate.fit.flown if row.surface}
    if SURFACE not in surfaces:
        found.notes.append(
            f"{airplane.name}: nobody rolled on {SURFACE}; its friction is believed, not flown."
        )


def _carrying(candidate: Candidate, terms: Terms, found: Sampled, cruise: AskedCruise) -> None:
    """What it carries with full tanks, how far those take it, and how long its batteries last."""
    airplane, units = candidate.dossier.airplane, terms.units
    full = sum(tank.usable for tank in airplane.tanks)
    if full > 0.0:
        payload = _payload(candidate, found, np.full(len(candidate.fit.draws), full))
        found.put(
            Measure(
                "full tanks",
                "payload, full tanks",
                "pilot counted",
                units.mass,
                Dimension.MASS,
                "more",
                "of payload with full tanks",
            ),
            payload,
        )
        speed, flow = (
            np.maximum(cruise.true_airspeed.samples, 1.0),
            np.maximum(cruise.fuel_flow.samples, 1e-9),
        )
        reach = range_with(full, flow, speed, DAY_RESERVE, allowances=cruise.cruise.allowances)
        found.put(
            Measure(
                "range",
                "range, full tanks",
                "30 min kept, still air",
                units.range,
                Dimension.LENGTH,
                "more",
                "of range",
            ),
            reach,
        )
    minutes = _battery(candidate)
    if minutes is not None:
        found.put(
            Measure(
                "battery",
                "essential loads on battery",
                "alternator failed, 15 °C",
                "min",
                Dimension.TIME,
                "more",
                "on the battery",
            ),
            minutes,
        )


def _battery(candidate: Candidate) -> FloatArray | None:
    from wringout.electrical import play_estimate

    electrical = candidate.dossier.airplane.electrical
    if electrical is None:
        return None
    day = Estimate(288.15, None, Dimension.TEMPERATURE, "standard day")
    found = play_estimate(electrical, day).endurance
    if found is None or not np.isfinite(found.value):
        return None
    z = standard_draws("battery", candidate.owner, len(candidate.fit.draws))
    return np.maximum(found.value + (found.sd or 0.0) * z, 0.0)


def _payload(candidate: Candidate, found: Sampled, fuel: FloatArray) -> FloatArray:
    """Most payload [kg] with a fuel [m³] in each draw, the empty mass drawn about the weighed one."""
    full = found.fuels[-1]
    empty = empty_mass(candidate.dossier.airplane, candidate.configuration).mass
    heavier = (empty.sd or 0.0) * standard_draws("empty mass", candidate.owner, len(fuel))
    carried = np.interp(np.minimum(fuel, full), found.fuels, found.payloads) - heavier
    return np.where(fuel > full, 0.0, np.maximum(carried, 0.0))


def _mission(
    candidate: Candidate, terms: Terms, found: Sampled, mission: Mission, reckoned: Reckoned | None
) -> None:
    """One of the readers' missions: what goes, what strip it needs, how long and how dear it is."""
    dossier, units = candidate.dossier, terms.units
    strips = {item.name: item for item in terms.home.strips}
    strip = _tightest(mission, strips)
    try:
        here = asked_of(mission, terms.home.airplane, dossier.airplane, candidate.configuration)
        answered, reckoning = answer_mission(
            dossier.airplane, candidate.fit, here, strips, units, inverse=False
        )
    except InputError as error:
        said = "; ".join(problem.what for problem in error.problems)
        found.outings[mission.name] = Outing("refused", f"{said[:1].upper()}{said[1:]}.")
        return
    found.outings[mission.name] = _outing(answered, strip)
    condition = _condition(answered, strip, units)

    def measure(
        key: str, what: str, shown: tuple[str, Dimension | None], better: Better, short: str
    ) -> Measure:
        words = f"{short} on '{mission.name}'".strip()
        return Measure(f"{mission.name}: {key}", what, condition, *shown, better, words)

    name, order = mission.name, candidate.order(terms.home)
    time, burnt = (_in_order(part, order) for part in flown(answered, reckoning.performance, strips))
    # What the tanks must hold goes with what is burnt, whether or not there is fuel on the way.
    wanted = answered.fuel.value * burnt / float(np.median(burnt))
    found.put(
        measure("payload", "payload with its fuel", (units.mass, Dimension.MASS), "more", "of payload"),
        _payload(candidate, found, wanted),
    )
    needed = None if strip is None else _strip_needed(candidate, answered, reckoning, strip)
    if needed is not None:
        row = measure("strip", "strip needed", (units.distance, Dimension.LENGTH), "less", "of strip")
        found.put(row, _in_order(needed, order))
    found.put(measure("time", "time", ("min", Dimension.TIME), "less", "of time"), time)
    found.put(measure("fuel", "fuel burnt", (units.fuel, Dimension.VOLUME), "less", "of fuel"), burnt)
    if reckoned is not None:
        carried = found.outings[name].carried
        cost = trip_cost(name, reckoned, (time, burnt), carried, 0.0)[1]
        found.put(measure("cost", "cost", (reckoned.costs.currency, None), "less", ""), cost)


def _of_its_own(candidate: Candidate, quantity: str) -> FloatArray | float:
    """Factors on a field length for what the model may miss of this gear and not of another's."""
    kind = next((kind for kind in ("take-off", "landing") if quantity.startswith(kind)), None)
    if kind is None:
        return 1.0
    z = standard_draws(f"{kind}, {candidate.configuration}", candidate.owner, len(candidate.fit.draws))
    return np.exp(OF_ITS_OWN * z)


def _in_order(samples: FloatArray, order: Order | None) -> FloatArray:
    return samples if order is None else samples[order]


def _tightest(mission: Mission, strips: Mapping[str, Strip]) -> Strip | None:
    """The strip that a mission names, or the shortest of its route."""
    names = [mission.strip] if mission.strip else list(mission.route)
    there = [strips[name] for name in names if name in strips]
    return min(there, key=lambda item: item.length, default=None)


def _strip_needed(
    candidate: Candidate, answered: MissionAnswer, reckoning: FlownMission, strip: Strip
) -> FloatArray | None:
    """The longer of take-off and landing over 15 m on a strip, each with its factor [m], in each draw."""
    runs = [
        item.factor
        * reckoning.distances[item.movement, item.strip].samples
        * _of_its_own(candidate, item.movement)
        for item in answered.fields
        if item.strip == strip.name and (item.movement, item.strip) in reckoning.distances
    ]
    return np.asarray(np.max(np.stack(runs), axis=0)) if runs else None


def _outing(answered: MissionAnswer, strip: Strip | None) -> Outing:
    placement = answered.placement
    asked = sum(load.count * load.mass for load in answered.mission.loads)
    carried = placement.mass if placement else 0.0
    left = tuple(item.load.name for item in placement.left) if placement else ()
    return Outing(answered.outcome, answered.sentence, carried, asked, left, strip.length if strip else None)


def _condition(answered: MissionAnswer, strip: Strip | None, units: Units) -> str:
    where = f"{strip.name}, " if strip else ""
    way = sum(item.leg.distance for item in answered.legs) or answered.mission.distance or 0.0
    return f"{where}{show(way, units.range, digits=0)}"
