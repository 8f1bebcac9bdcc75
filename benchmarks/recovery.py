"""Are the stated uncertainties of reduced points honest? The demo flown anew, from raw logs to points.

Run: .venv/bin/python benchmarks/recovery.py [seeds] [first seed]
For every kind of figure: how many, mean and standard deviation of (estimate − truth) / stated sigma, and
the largest. Goal: a standard deviation between 0.85 and 1.15 over 200 seeds; below it sigma is stated too
wide, above it too narrow. The truth is the same quantity as the estimate: of a climb the rate that its power
gives at constant true airspeed in uniform air, of a stall the speed at 1 kt/s in smooth air, of a wind its
components at that moment and height.
"""

from __future__ import annotations

import sys
import tempfile
import tomllib
from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from concurrent.futures import ProcessPoolExecutor
from multiprocessing import get_context
from pathlib import Path
from typing import Any

import numpy as np

from wringout.demo import write_demo
from wringout.demo.flights import Flown
from wringout.demo.flown_truth import flight_truth, steady_truth
from wringout.demo.setup import setup
from wringout.demo.write import demo_flight
from wringout.dossier import Dossier, load
from wringout.evaluation.find import find_flight
from wringout.quantity import Dimension, Estimate, parse
from wringout.reduction import Flight, reduce
from wringout.reduction.in_conditions import in_conditions
from wringout.reduction.level_groups import LevelGroup, solve_levels
from wringout.reduction.points import ClimbPoint, LevelPoint, Points
from wringout.reduction.wind_aloft import AloftWind, turn_winds

Row = dict[str, Any]
Deviation = tuple[str, float]


def truth(flown: Iterable[Flown]) -> dict[tuple[str, str, str], Row]:
    """What truly happened, by kind, card and point."""
    text = "\n".join(part for one in flown for part in flight_truth(one))
    tables: dict[str, list[Row]] = tomllib.loads(text)
    return {
        (kind, row["card"], row["point"]): row
        for kind, rows in tables.items()
        for row in rows
        if "point" in row
    }


def deviation(measured: Estimate, true: float) -> float:
    """Error over stated sigma; NaN where the point does not have the figure."""
    return (measured.value - true) / (measured.sd or np.nan)


def compared(points: Points, true: dict[tuple[str, str, str], Row]) -> Iterator[Deviation]:
    """Every figure of every point beside its truth."""
    for stall in points.stalls:
        row = true["stall", stall.origin.card, stall.origin.point]
        yield "stall speed", deviation(stall.stall_speed, parse(row["stall_speed"], Dimension.SPEED))
    for off in points.takeoffs:
        row = true["take_off", off.origin.card, off.origin.point]
        yield "take-off ground roll", deviation(off.ground_roll, parse(row["ground_roll"], Dimension.LENGTH))
        yield (
            "take-off air distance",
            deviation(off.air_distance, parse(row["air_distance"], Dimension.LENGTH)),
        )
        yield "lift-off speed", deviation(off.lift_off_speed, parse(row["lift_off_speed"], Dimension.SPEED))
    for down in points.landings:
        row = true["landing", down.origin.card, down.origin.point]
        yield "landing ground roll", deviation(down.ground_roll, parse(row["ground_roll"], Dimension.LENGTH))
        yield (
            "landing air distance",
            deviation(down.air_distance, parse(row["air_distance"], Dimension.LENGTH)),
        )
        yield (
            "touchdown speed",
            deviation(down.touchdown_speed, parse(row["touchdown_speed"], Dimension.SPEED)),
        )


def steadily(
    points: Points, flights: Mapping[str, Flight], flown: Mapping[str, Flown]
) -> Iterator[Deviation]:
    """Level legs, climbs and glides over the very spans that were reduced."""

    def spans(point: LevelPoint | ClimbPoint, kind: str) -> list[tuple[float, float]]:
        origin, flight = point.origin, flights[point.origin.card]
        shift = since_reference(flight, flown[origin.card])
        return [
            (each.start + shift, each.end + shift)
            for each in flight.manoeuvres
            if each.kind == kind and origin.start <= each.start and each.end <= origin.end
        ]

    for level in points.levels:
        true = steady_truth(flown[level.origin.card], "part", spans(level, "level leg"))
        yield "level true airspeed", deviation(level.true_airspeed, true.true_airspeed)
        yield "level calibrated airspeed", deviation(level.calibrated_airspeed, true.calibrated_airspeed)
    for climb in points.climbs:
        kind = "climb" if climb.power == "full" else "glide"
        true = steady_truth(flown[climb.origin.card], climb.power, spans(climb, kind))
        yield f"{kind} rate", deviation(climb.rate_of_climb, true.power_rate)
        yield f"{kind} true airspeed", deviation(climb.true_airspeed, true.true_airspeed)


def winds(flights: Sequence[Flight], dossier: Dossier, flown: Mapping[str, Flown]) -> Iterator[Deviation]:
    """Winds of level legs and of steady turns, east and north."""
    reduced, _ = in_conditions(flights, dossier.airplane, dossier.strips)
    for flight in flights:
        groups = [
            LevelGroup(each, legs)
            for each, legs in reduced
            if each.flight is flight and each.point.kind == "level"
        ]
        for solved in solve_levels(groups)[0]:
            yield from blown("legs", solved.wind, flown[flight.card.name])
        for turn in turn_winds(flight):
            yield from blown("turn", turn, flown[flight.card.name])


def blown(source: str, wind: AloftWind, flown: Flown) -> Iterator[Deviation]:
    """A wind beside the simulator's at its moments and height, gusts left out."""
    sd = np.sqrt(np.diag(wind.covariance)).reshape(-1, 2)
    for moment, velocity, spread in zip(wind.moments, wind.velocity, sd, strict=True):
        time = float(moment) - flown.plan.weather.reference.timestamp()
        true = flown.outing.craft.air.mean_wind(wind.height, time)
        for axis, name in enumerate(("east", "north")):
            yield f"wind of {source}, {name}", float((velocity[axis] - true[axis]) / spread[axis])


def since_reference(flight: Flight, flown: Flown) -> float:
    """The recording's start in the simulator's time [s]."""
    return (flight.recording.start - flown.plan.weather.reference).total_seconds()


def one(seed: int) -> list[Deviation]:
    """Every deviation of one evaluation."""
    with tempfile.TemporaryDirectory() as folder:
        root = Path(folder) / "demo"
        write_demo(root, seed)
        dossier = load(root)
        flights = tuple(find_flight(dossier, card) for card in dossier.cards)
        points = reduce(flights, dossier.airplane, dossier.strips)
    flown = {plan.name: demo_flight(setup(), number, seed).flown for number, plan in enumerate(setup().plans)}
    return [
        *steadily(points, {flight.card.name: flight for flight in flights}, flown),
        *winds(flights, dossier, flown),
        *compared(points, truth(flown.values())),
    ]


def main() -> None:
    """Print the table."""
    seeds = int(sys.argv[1]) if len(sys.argv) > 1 else 20
    first = int(sys.argv[2]) if len(sys.argv) > 2 else 1
    errors: dict[str, list[float]] = defaultdict(list)
    with ProcessPoolExecutor(2, mp_context=get_context("spawn")) as pool:
        for done, deviations in enumerate(pool.map(one, range(first, first + seeds)), start=1):
            for figure, error in deviations:
                errors[figure].append(error)
            print(f"\r{done} of {seeds}", end="", file=sys.stderr)
    print(f"\n{seeds} seeds{'':24} {'n':>6} {'mean':>6} {'std':>6} {'most':>6}")
    for figure, each in errors.items():
        found = np.array(each)[np.isfinite(each)]
        most = np.max(np.abs(found))
        print(f"{figure:32} {len(found):6d} {np.mean(found):6.2f} {np.std(found):6.2f} {most:6.1f}")


if __name__ == "__main__":
    main()
