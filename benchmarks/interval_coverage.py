"""How often stated 90 % intervals hold the truth, over random airplanes, each evaluated from recordings.

Run: .venv/bin/python benchmarks/interval_coverage.py [evaluations] [first seed] [file of results]
Every evaluation draws an airplane, its weather, strip, people and faulty sensors, flies three short flights
in the simulator, richer than the model, reads its logs, finds, reduces and fits, and asks for figures
at conditions that were not flown. Goals over 300 evaluations: 88 to 92 % of the intervals hold the truth, and
the median error of take-off and landing distances is at most 5 %. With a file of results a run goes on where
it was cut off.
"""

from __future__ import annotations

import json
import os
import sys
import tempfile
from collections.abc import Iterable, Iterator
from concurrent.futures import ProcessPoolExecutor, as_completed
from dataclasses import asdict, dataclass, replace
from multiprocessing import get_context
from pathlib import Path

import numpy as np

from random_airplanes import Drawn, draw
from wringout.demo.nominal import true_answer
from wringout.demo.write import write_flights
from wringout.dossier import load
from wringout.dossier.dossier import Dossier
from wringout.evaluation.find import find_flight
from wringout.model import fit, predict_each
from wringout.model.fit import Fit
from wringout.model.question import PredictedQuantity, Question
from wringout.reduction import reduce
from wringout.reduction.points import Points

HEAD = 'title = "Random"\nevaluator = "nobody"\nplace = "Strip"\nday = 2025-06-18\ninvented = true\n'
COLUMNS = "name,elevation,length,heading,slope,surface,obstacle_near,obstacle_far,one_way,note\n"
FIT_SEED = 20260512


@dataclass(frozen=True, slots=True)
class Answered:
    """One question of one evaluation: its quantity, the truth, the interval and the error in sd."""

    seed: int
    kind: str  # of airplane
    quantity: str
    true: float
    low: float
    high: float
    estimate: float
    sd: float

    @property
    def holds(self) -> bool:
        """Whether the interval holds the truth."""
        return self.low <= self.true <= self.high

    @property
    def error(self) -> float:
        """Relative."""
        return self.estimate / self.true - 1.0

    @property
    def deviations(self) -> float:
        """The error in stated standard deviations."""
        return (self.estimate - self.true) / (self.sd or np.inf)


@dataclass(frozen=True, slots=True)
class Evaluated:
    """What came of the recordings of one random airplane."""

    drawn: Drawn
    dossier: Dossier
    points: Points
    fitted: Fit


def write(root: Path, drawn: Drawn) -> None:
    """The dossier of a random airplane, its cards and recordings."""
    root.mkdir()
    strip = drawn.setup.strip
    (root / "dossier.toml").write_text(HEAD, encoding="utf-8")
    (root / "airplane.toml").write_text(drawn.airplane_toml, encoding="utf-8")
    (root / "strips.csv").write_text(
        f"{COLUMNS}{strip.name},{strip.elevation:.0f} m,{strip.length:.0f} m,{strip.heading:.0f} °,"
        f"{100.0 * strip.slope:.1f} %,{strip.surface},0 m,0 m,no,\n",
        encoding="utf-8",
    )
    write_flights(root, drawn.setup, drawn.seed)


def evaluated(seed: int) -> Evaluated:
    """A random airplane flown, read, found, reduced and fitted."""
    drawn = draw(seed)
    with tempfile.TemporaryDirectory() as folder:
        root = Path(folder) / "random"
        write(root, drawn)
        dossier = load(root)
        flights = tuple(find_flight(dossier, card) for card in dossier.cards)
        points = reduce(flights, dossier.airplane, dossier.strips)
    return Evaluated(drawn, dossier, points, fit(dossier.airplane, points, seed=FIT_SEED))


def questions(drawn: Drawn) -> tuple[Question, ...]:
    """What is asked of a random airplane, at masses, heights, temperatures, winds and slopes not flown."""
    chance = np.random.default_rng([drawn.seed, 78])
    machine = drawn.setup.machine

    def between(low: float, high: float) -> float:
        return float(chance.uniform(low, high))

    def mass() -> float:
        return machine.maximum_mass * between(0.80, 1.0)

    def air(highest: float) -> tuple[float, float]:
        altitude = between(0.0, highest)
        return altitude, 288.15 - 0.0065 * altitude + between(-12.0, 18.0)

    asked = [Question("stall speed", "wheels", mass(), flap) for flap in machine.flap_names]
    for highest in (800.0, 2500.0):
        altitude, warmth = air(highest)
        asked.append(
            Question("rate of climb", "wheels", mass(), pressure_altitude=altitude, temperature=warmth)
        )
        altitude, warmth = air(2500.0)
        asked.append(
            Question(
                "cruise speed", "wheels", mass(), pressure_altitude=altitude, temperature=warmth,
                power_fraction=between(0.60, 0.72),
            )
        )  # fmt: skip
    for technique in ("short field", "normal"):
        altitude, warmth = air(1200.0)
        common = Question(
            "take-off distance", "wheels", mass(), pressure_altitude=altitude, temperature=warmth,
            head_wind=between(-1.0, 4.0), slope=between(-0.02, 0.02), technique=technique,
        )  # fmt: skip
        fields: tuple[PredictedQuantity, ...] = (
            "take-off distance",
            "landing distance",
            "take-off ground roll",
            "landing ground roll",
        )
        asked += [replace(common, quantity=field) for field in fields]
    return tuple(asked)


def kind(drawn: Drawn) -> str:
    """What sort of airplane it is."""
    machine = drawn.setup.machine
    propeller = "fixed pitch" if not machine.propeller.governed else "constant speed"
    return "turbocharged" if machine.engine.boost_limit else propeller


def answered(seed: int) -> list[Answered]:
    """Every question of one evaluation beside the simulator's own answer."""
    one = evaluated(seed)
    flown = one.fitted.techniques
    asked = [
        question
        for question in questions(one.drawn)
        if question.technique is None
        or question.technique in flown["take-off" if "take-off" in question.quantity else "landing"]
    ]
    found = predict_each(one.dossier.airplane, one.fitted, asked)
    return [
        Answered(
            seed, kind(one.drawn), question.quantity, true_answer(one.drawn.setup, question),
            prediction.low, prediction.high, prediction.estimate.value, prediction.estimate.sd or 0.0,
        )
        for question, prediction in zip(asked, found, strict=True)
    ]  # fmt: skip


def tried(seed: int) -> list[Answered] | str:
    """As `answered`; the reason in words where this airplane cannot be flown or evaluated."""
    try:
        return answered(seed)
    except Exception as error:  # one airplane that cannot be flown must not end a night's run
        return f"{type(error).__name__}: {error}"


def run(seeds: Iterable[int], kept: Path | None) -> Iterator[list[Answered]]:
    """Evaluations on two processes, a bar on standard error; what the file has already is not done again."""
    from rich.console import Console
    from rich.progress import track

    done = dict(_kept(kept))
    yield from (rows for seed, rows in done.items() if seed in set(seeds))
    missing = [seed for seed in seeds if seed not in done]
    refused = []
    with ProcessPoolExecutor(2, mp_context=get_context("spawn")) as pool:
        jobs = {pool.submit(tried, seed): seed for seed in missing}
        bar = track(as_completed(jobs), "evaluations", len(jobs), console=Console(stderr=True))
        for job in bar:
            rows = job.result()
            if isinstance(rows, str):
                refused.append(f"seed {jobs[job]}: {rows}")
                continue
            if kept is not None:
                with kept.open("a", encoding="utf-8") as file:
                    file.write(json.dumps([asdict(row) for row in rows]) + "\n")
            yield rows
    print(f"{len(refused)} could not be flown or evaluated", *refused, sep="\n", file=sys.stderr)


def _kept(place: Path | None) -> Iterator[tuple[int, list[Answered]]]:
    if place is None or not place.exists():
        return
    for line in place.read_text(encoding="utf-8").splitlines():
        rows = [Answered(**row) for row in json.loads(line)]
        yield rows[0].seed, rows


def table(rows: list[Answered]) -> Iterator[str]:
    """Lines of the table: by quantity, by kind of airplane, and all."""
    yield (
        f"{'':26s} {'asked':>6} {'held':>7} {'rms sd':>7} {'mean sd':>8} {'median error':>13} {'interval':>9}"
    )
    quantities = dict.fromkeys(row.quantity for row in rows)
    groups = {name: [row for row in rows if row.quantity == name] for name in quantities}
    groups |= {name: [row for row in rows if row.kind == name] for name in sorted({row.kind for row in rows})}
    groups["all"] = rows
    for name, each in groups.items():
        off = np.array([row.deviations for row in each])
        width = np.median([(row.high - row.low) / row.true for row in each])
        yield (
            f"{name:26s} {len(each):6d} {np.mean([row.holds for row in each]):7.1%} "
            f"{np.sqrt(np.mean(off**2)):7.2f} {np.mean(off):8.2f} "
            f"{np.median([abs(row.error) for row in each]):13.1%} {width:9.1%}"
        )


def main() -> None:
    """Print the table."""
    os.environ.setdefault("OMP_NUM_THREADS", "1")
    evaluations = int(sys.argv[1]) if len(sys.argv) > 1 else 20
    first = int(sys.argv[2]) if len(sys.argv) > 2 else 1
    kept = Path(sys.argv[3]) if len(sys.argv) > 3 else None
    rows = [row for one in run(range(first, first + evaluations), kept) for row in one]
    print("\n".join(table(rows)))


if __name__ == "__main__":
    main()
