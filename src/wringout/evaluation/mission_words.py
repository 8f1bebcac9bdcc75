"""A mission's answer as the faces show it: its sentences, and its loads, legs and strips as rows of text."""

from __future__ import annotations

from collections.abc import Sequence

from wringout.dossier.dossier import Units
from wringout.dossier.trial import Thing
from wringout.evaluation.mission_changes import MissionChange
from wringout.evaluation.mission_trials import MissionAsked
from wringout.missions import MissionAnswer
from wringout.quantity.showing import arm_digits, show
from wringout.quantity.units import convert

Rows = tuple[tuple[str, ...], list[tuple[str, ...]]]


def sentences(answer: MissionAnswer) -> tuple[str, ...]:
    """What goes and stays; what it takes and what decides."""
    first, stop, rest = answer.sentence.partition(". It takes ")
    return (f"{first}.", f"It takes {rest}") if stop else (answer.sentence,)


def load_rows(answer: MissionAnswer, units: Units, things: Sequence[Thing] = ()) -> Rows:
    """Headings and rows of what goes where and what stays, and why; with the numbers of a board's things."""
    placement = answer.placement
    rows: list[tuple[str, ...]] = []
    if placement is not None:
        placed: dict[tuple[str, str], tuple[int, float]] = {}
        for leg in answer.legs:
            for item in leg.stowage.placed:
                placed.setdefault((item.load.name, item.station), (item.count, item.mass))
        rows += [
            (_numbers(things, name, station), name, station, "", str(count), _bare(mass, units.mass))
            for (name, station), (count, mass) in placed.items()
        ]
        rows += [
            (
                _numbers(things, item.load.name, None),
                item.load.name,
                "stays behind",
                item.stop.words(units.mass),
                str(item.count),
                _bare(item.count * item.load.mass, units.mass),
            )
            for item in placement.left
        ]
    return ("", "load", "where", "why", "pieces", f"mass, {units.mass}"), rows


def _numbers(things: Sequence[Thing], name: str, station: str | None) -> str:
    """'5' or '5, 6': the numbers that a board gives to the pieces of a load at a station."""
    return ", ".join(
        str(number)
        for number, thing in enumerate(things, start=1)
        if thing.station == station and (thing.name == name or thing.name.rstrip("0123456789 ") == name)
    )


def leg_rows(answer: MissionAnswer, units: Units) -> Rows:
    """Headings and rows of the legs: way, wind, height, time, fuel, mass and CG."""
    rows: list[tuple[str, ...]] = []
    for item in answer.legs:
        leg, report = item.leg, item.stowage.report
        off, down = report.state("take-off"), report.state("landing")
        half = 1.6449 * (item.burnt.sd or 0.0)
        rounded = -2 if units.height == "ft" else -1
        rows.append(
            (
                f"{leg.start} to {leg.end}" if leg.start else "the whole way",
                _bare(leg.distance, units.range),
                "–" if leg.track is None else f"{convert(leg.track, '°'):03.0f}",
                _bare(leg.head_wind, units.speed).replace("-", "−"),
                _bare(item.top, units.height, rounded),
                f"{item.time.value / 60.0:.0f}",
                f"{_bare(item.burnt.value, units.fuel)} ± {_bare(half, units.fuel, 1)}",
                _bare(item.fuel_at_start, units.fuel),
                _bare(item.fuel_at_end.value, units.fuel),
                _bare(off.mass.value, units.mass),
                " to ".join(_bare(state.cg.value, units.arm, arm_digits(units.arm)) for state in (off, down)),
            )
        )
    return (
        (
            "leg",
            f"distance, {units.range}",
            "track, °",
            f"head wind, {units.speed}",
            f"at, {units.height}",
            "time, min",
            f"burnt, 90 %, {units.fuel}",
            f"at start, {units.fuel}",
            f"at end, {units.fuel}",
            f"take-off, {units.mass}",
            f"CG, {units.arm}",
        ),
        rows,
    )


def field_rows(answer: MissionAnswer, units: Units) -> Rows:
    """Headings and rows of every take-off and landing against its strip."""
    rows: list[tuple[str, ...]] = [
        (
            item.movement,
            item.strip,
            _bare(item.mass, units.mass),
            f"{_bare(item.low, units.distance)} to {_bare(item.high, units.distance)}",
            f"{item.factor:g}",
            _bare(item.required, units.distance),
            _bare(item.available, units.distance),
            "–" if item.probability is None else f"{item.probability:.2f}",
        )
        for item in answer.fields
    ]
    return (
        (
            "movement",
            "strip",
            f"mass, {units.mass}",
            f"over 15 m, 90 %, {units.distance}",
            "factor",
            f"required, {units.distance}",
            f"there is, {units.distance}",
            "probability",
        ),
        rows,
    )


def change_fields(change: MissionChange, asked: MissionAsked) -> dict[str, str]:
    """The fields of a form that try a change."""
    mission, kind = change.mission, change.kind
    if kind == "move":
        for number, (load, old) in enumerate(zip(mission.loads, asked.mission.loads, strict=False)):
            extra = [name for name in load.stations if name not in old.stations]
            if extra:
                return {f"load.{number}.extra": extra[0]}
    new = [name for name in mission.fuel_at if name not in asked.mission.fuel_at]
    ballast = mission.loads[-1]
    every: dict[str, dict[str, str]] = {
        "move": {},
        "fuel": {},
        "slower": {"power": f"{100.0 * (mission.cruise_power or 0.0):.0f} %"},
        "fuel there": {f"fuel_at.{mission.route.index(name)}": "yes" for name in new},
        "option": {"option": f"{'-' if change.leaves else ''}{change.option}"},
        "configuration": {"configuration": mission.configuration},
        "ballast": {"ballast": f"{ballast.mass:.2f} kg", "ballast_at": ballast.stations[0]},
    }
    return every[kind] | ({"fuel": ""} if kind in {"fuel", "slower", "fuel there"} else {})


def _bare(value: float, unit: str, digits: int = 0) -> str:
    return show(value, unit, digits=digits).removesuffix(unit).strip()
