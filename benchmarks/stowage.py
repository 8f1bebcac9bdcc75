"""How long stowing takes: twenty things on six stations, what stops each thing that stays included.

Run: .venv/bin/python -m benchmarks.stowage
"""

from dataclasses import replace
from time import perf_counter, process_time

import numpy as np
from tests.loading.airplanes import hauler

from wringout.airplane.airplane import CombinedLimit, Station
from wringout.dossier.dossier import Load
from wringout.loading import fuel_in_tanks, stow

STATIONS = (
    Station("front", 1.95, 1.95, 240.0, "people", seats=2),
    Station("right rear", 2.4, 2.4, 120.0, "either", seats=1),
    Station("bay front", 2.5, 2.9, 120.0, "things", floor_area=0.8, floor_load_limit=150.0),
    Station("bay aft", 2.95, 3.4, 100.0, "things"),
    Station("pod", 2.1, 2.6, 70.0, "things"),
    Station("locker", 4.1, 4.1, 15.0, "things"),
)


def main(cases: int = 100) -> None:
    """Random loads on one airplane, a case a seed."""
    airplane = replace(
        hauler(),
        stations=STATIONS,
        combined_limits=(CombinedLimit("both bays", ("bay front", "bay aft"), 180.0),),
    )
    behind = [station.name for station in STATIONS[1:]]
    wall, processor, left = [], [], []
    for seed in range(cases + 1):
        rng = np.random.default_rng(seed)
        loads = [Load("pilot", 82.0, ("front",)), Load("nurse", 70.0, ("front", "right rear"))]
        for number in range(18):
            places = tuple(str(name) for name in rng.permutation(behind)[: rng.integers(1, 6)])
            mass, must = round(float(rng.uniform(2.0, 45.0)), 1), bool(rng.random() < 0.25)
            worth = round(float(rng.uniform(1.0, 60.0)), 1) if rng.random() < 0.5 else None
            loads.append(Load(f"thing {number}", mass, places, must, value=worth))
        fuel = fuel_in_tanks(airplane.tanks, float(rng.uniform(0.03, 0.2)))
        begin = perf_counter(), process_time()
        found = stow(airplane, "tail wheel", loads, fuel)
        wall.append(perf_counter() - begin[0])
        processor.append(process_time() - begin[1])
        left.append(len(found.left))
    # The first loads the solver.
    for name, times in (("wall", wall[1:]), ("processor", processor[1:])):
        print(f"{name:10s} median {1e3 * np.median(times):6.0f} ms, most {1e3 * max(times):6.0f} ms")
    print(f"{cases} cases of 20 things on 6 stations, {np.mean(left[1:]):.1f} things left behind in the mean")


if __name__ == "__main__":
    main()
