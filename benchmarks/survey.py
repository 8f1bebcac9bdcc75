"""A survey of a runway table through a year of hours: time, share of it in the kernels, peak memory.

    python benchmarks/survey.py DOSSIER RUNWAYS WEATHER [--strips N] [--samples N] [--configurations A,B]

DOSSIER is evaluated first where it is not yet (the demo's will do); RUNWAYS and WEATHER are open tables as
`wringout survey` takes them. The survey is kept in a folder that is thrown away, so all of it is reckoned.
Kernel time is what the threads spend inside the compiled take-offs and landings of the same run; both it and
the whole are told as time on the clock and as time of the processor, which other work does not lengthen.
"""

from __future__ import annotations

import argparse
import os
import resource
import tempfile
import threading
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from time import perf_counter, process_time, thread_time
from typing import Any

from wringout.dossier.runways import read_runways
from wringout.dossier.weather_reading import read_weather
from wringout.evaluation import fit_model
from wringout.evaluation.surveys import SurveyAsked, planned_survey, run_survey
from wringout.missions import runs
from wringout.missions.survey import surveyed


def main() -> None:
    """Print what was measured."""
    arguments = _arguments()
    dossier, _, fit = fit_model(arguments.dossier)
    start = perf_counter()
    table = read_runways(arguments.runways)
    weather = read_weather(arguments.weather)
    reading = perf_counter() - start
    strips = table.strips[: arguments.strips] if arguments.strips else table.strips
    names = tuple(arguments.configurations.split(","))
    asked = SurveyAsked(names, samples=arguments.samples)
    survey = planned_survey(dossier, fit, strips, weather, asked)
    surveyed(replace(survey.plan, weather=weather.only(weather.hour == 12)), strips[:1])  # loops loaded
    inside = _Timed()
    called: Any = runs  # the module through which the survey calls the kernels
    called.take_offs, called.landings = inside.of(called.take_offs), inside.of(called.landings)
    last = [perf_counter()]

    def tell(stage: str, done: int, total: int, fresh: bool) -> None:  # noqa: ARG001 (the protocol's)
        if perf_counter() - last[0] > 30.0:
            last[0] = perf_counter()
            print(f"  {done} of {total} strips after {last[0] - start:.0f} s", flush=True)

    cores = len(os.sched_getaffinity(0))
    with tempfile.TemporaryDirectory() as folder:
        start, used = perf_counter(), process_time()
        place = run_survey(Path(folder), survey, tell)
        whole, used = perf_counter() - start, process_time() - used
        size = place.stat().st_size
    kernels = inside.total / cores
    hours = len(survey.plan.weather.month)
    cases = inside.cases
    peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024.0
    print(
        f"{len(table.strips)} strips read, {len(table.left_out)} rows left out, with weather {reading:.1f} s"
    )
    print(f"{len(strips)} strips x {hours} hours of daylight")
    print(f"x {len(names)} configurations x {asked.samples} samples")
    print(f"{cases / 1e6:.0f} million take-offs and landings on {cores} cores in {whole:.1f} s")
    print(f"kernels {kernels:.1f} s a core on the clock, whole / kernels {whole / kernels:.3f}")
    ratio = used / inside.processor
    print(f"processor: whole {used:.1f} s, kernels {inside.processor:.1f} s, ratio {ratio:.3f}")
    print(f"{cases / inside.processor / 1e6:.2f} million/s of one core's time")
    print(f"peak memory {peak:.0f} MiB, file {size / 1e6:.1f} MB")


class _Timed:
    """Sums over threads the time inside functions, and the cases that went through."""

    def __init__(self) -> None:
        self.total = 0.0
        self.processor = 0.0
        self.cases = 0
        self._lock = threading.Lock()

    def of(self, function: Callable[..., Any]) -> Callable[..., Any]:
        """The function, timed."""

        def timed(*arguments: Any, **named: Any) -> Any:
            start, used = perf_counter(), thread_time()
            found = function(*arguments, **named)
            with self._lock:
                self.total += perf_counter() - start
                self.processor += thread_time() - used
                self.cases += found.distance.size
            return found

        return timed


def _arguments() -> argparse.Namespace:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawTextHelpFormatter)
    parser.add_argument("dossier", type=Path)
    parser.add_argument("runways", type=Path)
    parser.add_argument("weather", type=Path)
    parser.add_argument("--strips", type=int, default=0, help="the first so many; all without it")
    parser.add_argument("--samples", type=int, default=1)
    parser.add_argument("--configurations", default="tail wheel,nose wheel")
    return parser.parse_args()


if __name__ == "__main__":
    main()
