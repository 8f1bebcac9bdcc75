"""Are the stated uncertainties of reduced points honest? The demo flown anew, from raw logs to points.

Run: .venv/bin/python benchmarks/recovery.py [seeds] [first seed]
For every kind of figure: how many, mean and standard deviation of (estimate − truth) / stated sigma, and
the largest. Goal: a standard deviation between 0.85 and 1.15 over 200 seeds; below it sigma is stated too
wide, above it too narrow.
"""

from __future__ import annotations

import sys
import tempfile
import tomllib
from collections import defaultdict
from collections.abc import Iterator
from concurrent.futures import ProcessPoolExecutor
from multiprocessing import get_context
from pathlib import Path
from typing import Any

import numpy as np

from wringout.demo import write_demo
from wringout.demo.flights import PLANS
from wringout.demo.flown_truth import flight_truth
from wringout.demo.write import demo_flight
from wringout.dossier import load
from wringout.evaluation.find import find_flight
from wringout.quantity import Dimension, Estimate, parse
from wringout.reduction import reduce
from wringout.reduction.points import Points

Row = dict[str, Any]
Deviation = tuple[str, float]

KNOT_A_SECOND = parse("1 kt/s", Dimension.ACCELERATION)
ENTRY_RATE_EFFECT = 0.0095  # of the simulator's stall speed, for each kt/s of entry rate above the first


def truth(seed: int) -> dict[tuple[str, str, str], Row]:
    """What truly happened, by kind, card and point."""
    text = "\n".join(
        part for number in range(len(PLANS)) for part in flight_truth(demo_flight(number, seed).flown)
    )
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
    for level in points.levels:
        row = true["level", level.origin.card, level.origin.point]
        yield (
            "level true airspeed",
            deviation(level.true_airspeed, parse(row["true_airspeed"], Dimension.SPEED)),
        )
    for climb in points.climbs:
        kind = "climb" if climb.power == "full" else "glide"
        row = true[kind, climb.origin.card, climb.origin.point]
        yield f"{kind} rate", deviation(climb.rate_of_climb, parse(row["rate_of_climb"], Dimension.SPEED))
    for stall in points.stalls:
        row = true["stall", stall.origin.card, stall.origin.point]
        brisk = parse(row["entry_rate"], Dimension.ACCELERATION) / KNOT_A_SECOND - 1.0
        speed = parse(row["break_speed"], Dimension.SPEED) * (1.0 + ENTRY_RATE_EFFECT * brisk)
        yield "stall speed", deviation(stall.stall_speed, speed)
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


def one(seed: int) -> list[Deviation]:
    """Every deviation of one evaluation."""
    with tempfile.TemporaryDirectory() as folder:
        root = Path(folder) / "demo"
        write_demo(root, seed)
        dossier = load(root)
        flights = tuple(find_flight(dossier, card) for card in dossier.cards)
        points = reduce(flights, dossier.airplane, dossier.strips)
    return list(compared(points, truth(seed)))


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
