"""The electrical system's answer as a sentence, its tables and its caution."""

from __future__ import annotations

import math
from collections.abc import Sequence

from wringout.dossier.dossier import Units
from wringout.electrical import ESSENTIAL_TIME, PlayedEstimate, available_charge
from wringout.evaluation.electrics import ElectricsAnswer
from wringout.evaluation.word_table import WordTable, failing
from wringout.quantity.estimate import Estimate
from wringout.quantity.showing import show

CAUTION = (
    "Try a failure only on the ground, or where losing everything is safe. Land as soon as practicable: no "
    "battery is known better than its last capacity test."
)
_HOUR = 3600.0
_RUNS_ON = "runs on"
_MANY = 4  # loads that are counted rather than listed


def electrics_sentence(answer: ElectricsAnswer, units: Units) -> str:
    """'If the alternator stops, at 10 °C, the engine runs for 92 ± 14 min and the radio goes dark after …'"""
    asked, found = answer.asked, answer.found
    when = f"If {asked.failure}, with the batteries at {show(asked.temperature, units.temperature, digits=0)}"
    played = found.played
    if played.engine is not None and math.isfinite(played.engine):
        engine = f"the engine stops after {minutes(found.engine)}"
    elif played.engine is None:
        engine = "the engine, which needs no electricity, runs on"
    else:
        engine = "the engine runs on"
    if not found.dark:
        return f"{when}, {engine} and nothing that is kept goes dark."
    first = found.endurance
    if played.engine is not None and first is not None and first.value >= played.engine:
        return f"{when}, {engine}, and nothing that is kept goes dark before."
    names = _dark(played.first_dark, played.kept)
    verb = "goes" if len(played.first_dark) == 1 else "go"
    joined = "but" if played.engine is None or math.isinf(played.engine) else "and"
    at = "at once" if first is not None and first.value == 0.0 else f"after {minutes(first)}"
    return f"{when}, {engine}, {joined} {names} {verb} dark {at}."


def trip_sentence(answer: ElectricsAnswer, units: Units) -> str:
    """What is left against the trip's worst place; empty where no trip is answered."""
    trip = answer.trip
    if trip is None:
        return ""
    worst = (
        f"The trip '{trip.mission}' leads {show(trip.distance, units.range, digits=0)} and "
        f"{trip.needed / 60.0:.0f} min from the nearer landing"
    )
    if trip.reach is None:
        return f"{worst}; the engine runs on and reaches it."
    reach = show(trip.reach.value, units.range, trip.reach.sd)
    if 0.005 < trip.probability < 0.995:
        chance = f"{100.0 * trip.probability:.0f} % that it suffices"
    else:
        chance = "it suffices" if trip.probability >= 0.5 else "it does not suffice"
    return f"{worst}; what is left flies and glides {reach}: {chance}."


def thirty_minutes_sentence(answer: ElectricsAnswer) -> str:
    """The old rule of half an hour for the loads kept, and whether it is met."""
    played = answer.found.played
    told = "holds" if played.meets_thirty_minutes else "does not hold"
    asked = f"{ESSENTIAL_TIME / 60.0:.0f} minutes"
    return (
        f"That the loads kept last {asked}, recognition and shedding included, {told} "
        "(14 CFR 23.1353(h) before amendment 64; the minutes from memory)."
    )


def load_table(answer: ElectricsAnswer) -> WordTable:
    """Every load: what it draws, on what it lives, when and why it ends."""
    spread = dict(answer.found.dark)
    currents = {load.name: load.current * load.duty for load in answer.electrical.loads}
    rows = []
    for load in sorted(answer.found.played.loads, key=lambda item: -item.end):
        lived = " → ".join(dict.fromkeys(spell.source for spell in load.spells)) or "–"
        if load.ending == "runs on":
            end = _RUNS_ON
        elif load.name in spread:
            end = minutes(spread[load.name], unit=False)
            end = failing(end) if spread[load.name].value < ESSENTIAL_TIME else end
        else:
            end = f"{load.end / 60.0:.0f}"
        kept = "essential" if load.essential else "may be shed"
        rows.append((load.name, kept, lived, load.ending, f"{currents[load.name]:.2f}", end))
    return WordTable(
        "What runs, and until when",
        (
            ("load", ""),
            ("standing", ""),
            ("lives on", ""),
            ("then", ""),
            ("draws", "A"),
            ("ends after", "min"),
        ),
        tuple(rows),
        words=4,
        note="One standard uncertainty: 10 % of each battery's charge, 0.03 of its Peukert exponent, 5 % of "
        "all currents, 3 K. What is shed ends when the pilot switches it off: that has none.",
    )


def failure_table(answer: ElectricsAnswer) -> WordTable:
    """Every usual failure beside the one asked."""
    rows = []
    for words, item in answer.every.items():
        first = _dark(item.played.first_dark, item.played.kept) if item.played.first_dark else "nothing"
        rows.append(
            (
                words,
                first,
                _RUNS_ON if item.endurance is None else minutes(item.endurance, unit=False),
                _engine(item),
                "yes" if item.played.meets_thirty_minutes else failing("no"),
            )
        )
    return WordTable(
        "Each failure",
        (
            ("if", ""),
            ("first dark of what is kept", ""),
            ("after", "min"),
            ("engine stops after", "min"),
            ("30 min", ""),
        ),
        tuple(rows),
        words=2,
    )


def sensitivity_table(answer: ElectricsAnswer, units: Units) -> WordTable:
    """Minutes by battery temperature and by what age has left."""
    what = "first load dark" if answer.found.played.engine is None else "engine stops"
    return WordTable(
        f"Minutes until the {what}, by cold and age",
        (
            ("battery at", units.temperature),
            *((f"{100.0 * age:.0f} % left", "min") for age in answer.ages),
        ),
        tuple(
            (
                show(kelvin, units.temperature, digits=0).removesuffix(units.temperature).strip(),
                *(_RUNS_ON if math.isinf(time) else f"{time / 60.0:.0f}" for time in row),
            )
            for kelvin, row in zip(answer.temperatures, answer.sensitivity, strict=True)
        ),
        words=1,
        note=_share_note(answer),
    )


def battery_table(answer: ElectricsAnswer, units: Units) -> WordTable:
    """Each battery's rating and what of it is to be had."""
    kelvin = answer.asked.temperature
    return WordTable(
        "Batteries",
        (
            ("battery", ""),
            ("rated", "Ah"),
            ("over", "h"),
            ("exponent", ""),
            ("age leaves", "%"),
            (f"to be had at {show(kelvin, units.temperature, digits=0)}", "Ah"),
        ),
        tuple(
            (
                battery.name,
                f"{battery.charge / _HOUR:g}",
                f"{battery.rated_time / _HOUR:g}",
                f"{battery.peukert_exponent:g}",
                f"{100.0 * battery.aged_fraction:.0f}",
                f"{available_charge(battery, kelvin) / _HOUR:.1f}",
            )
            for battery in answer.electrical.batteries
        ),
        note="At the rated current; more current draws less of it (Peukert, rated form). A charge stated "
        "at one ampere is another figure: describe it with a rated time of as many hours as ampere-hours.",
    )


def electrics_tables(answer: ElectricsAnswer, units: Units) -> tuple[WordTable, ...]:
    """Every table of the answer, in the order in which the faces show them."""
    return (
        load_table(answer),
        failure_table(answer),
        sensitivity_table(answer, units),
        battery_table(answer, units),
    )


def minutes(estimate: Estimate | None, *, unit: bool = True) -> str:
    """'92 ± 14 min'; a time that has no spread alone."""
    if estimate is None:
        return _RUNS_ON
    value, suffix = estimate.value / 60.0, " min" if unit else ""
    if not estimate.sd or round(estimate.sd / 60.0) == 0:
        return f"{value:.0f}{suffix}"
    space = "\u00a0" if unit else " "  # a sentence does not break there
    return f"{value:.0f}{space}±{space}{estimate.sd / 60.0:.0f}{suffix}"


def listed(names: Sequence[str]) -> str:
    """'a', 'a and b', 'a, b and c'."""
    return names[0] if len(names) == 1 else f"{', '.join(names[:-1])} and {names[-1]}"


def _share_note(answer: ElectricsAnswer) -> str:
    found = answer.found.endurance if answer.found.played.engine is None else answer.found.engine
    if found is None or not found.sd:
        return "All batteries of one age."
    share = 100.0 * found.sd / found.value
    return f"All batteries of one age; the standard uncertainty is the answer's, {share:.0f} % of each time."


def _dark(names: Sequence[str], kept: Sequence[str]) -> str:
    """The loads by name, or where most of those kept go, which of them do not."""
    if len(names) < _MANY:
        return listed(names)
    rest = [name for name in kept if name not in names]
    if not rest:
        return "all loads that are kept"
    if len(rest) < _MANY:
        return f"all loads that are kept but the {listed(rest)}"
    return f"{', '.join(names[: _MANY - 1])} and {len(names) - _MANY + 1} more"


def _engine(item: PlayedEstimate) -> str:
    if item.played.engine is None:
        return "needs none"
    return _RUNS_ON if item.engine is None else minutes(item.engine, unit=False)
