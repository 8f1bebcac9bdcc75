"""The page of a flight of 100 000 samples: what each request costs the server.

Run: .venv/bin/python benchmarks/flights_page.py [rows]
Goal: a window of traces in 50 ms or less (median), whatever its width, so that moving and scaling stay fluid.
The recording is invented: circuits at five hertz, as in million_rows.py. Processor time is printed beside the
clock's, because a machine that does other work too makes the latter long.
"""

from __future__ import annotations

import os
import statistics
import sys
import tempfile
import time
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import Any

from starlette.testclient import TestClient

from million_rows import write_circuits
from wringout.dossier import create, load
from wringout.dossier.attaching import Entry, attach
from wringout.dossier.history import version_of
from wringout.recordings.proposal import propose
from wringout.web.app import create_app

ROWS = 100_000
REPEATS = 21
CARD = "cards/flight-1.toml"
HERE = "/d/bench/flights/flight-1"
HEADER = "elapsed time,latitude,longitude,height (m),ground speed (m/s),track (deg)"
GOAL = 50.0  # ms


def shelf_with(folder: Path, rows: int) -> Path:
    """A shelf with the template's dossier, its card naming one long table."""
    root = folder / "shelf" / "bench"
    create(root)
    path = "recordings/circuits.csv"
    write_circuits(root / path, rows)
    text = (root / path).read_text(encoding="utf-8")
    (root / path).write_text(HEADER + text[text.index("\n") :], encoding="utf-8")
    proposal = propose(root / path)
    start = "2026-05-12T09:00:00+00:00"
    mapped = replace(proposal, mapping=replace(proposal.mapping, elapsed_start=start), asked=())
    attach(root, CARD, version_of(root, CARD), Entry(path, mapped))
    load(root)
    return root.parent


def measured(ask: Callable[[int], Any], repeats: int = REPEATS) -> tuple[float, float, float]:
    """Medians of the clock's and the processor's time [ms], and the size of an answer [kB]."""
    clock, processor, size = [], [], 0
    for number in range(repeats):
        began, busy = time.perf_counter(), time.process_time()
        answer = ask(number)
        clock.append(1000 * (time.perf_counter() - began))
        processor.append(1000 * (time.process_time() - busy))
        assert answer.status_code == 200, answer.text[:300]
        size = len(answer.content)
    return statistics.median(clock), statistics.median(processor), size / 1000


def main(rows: int) -> int:
    """Ask for everything the page asks for; 0 where the goal is met."""
    names = ["height", "ground speed", "rate of climb"]
    with tempfile.TemporaryDirectory() as folder:
        shelf = shelf_with(Path(folder), rows)
        root = shelf / "bench"
        client = TestClient(
            create_app(shelf), base_url="http://127.0.0.1", headers={"origin": "http://127.0.0.1"}
        )

        def traces(start: float, end: float) -> Any:
            return client.get(
                f"{HERE}/traces", params={"names": names, "start": start, "end": end, "most": 2000}
            )

        def mark(number: int) -> Any:
            sent = {"version": version_of(root, CARD), "kind": "stall warning", "time": f"10:{number:02d}:00"}
            return client.post(f"{HERE}/mark", data=sent)

        whole = rows * 0.2
        asked: tuple[tuple[str, Callable[[int], Any], int], ...] = (
            ("found for the first time", lambda _: client.get(f"{HERE}/found"), 1),
            ("page", lambda _: client.get(HERE), REPEATS),
            ("traces, whole", lambda _: traces(-1.0, whole), REPEATS),
            ("traces, a tenth", lambda n: traces(n * whole / 30, n * whole / 30 + whole / 10), REPEATS),
            ("traces, 60 s", lambda n: traces(n * 100.0, n * 100.0 + 60.0), REPEATS),
            ("one reading", lambda n: client.get(f"{HERE}/reading?at={n}"), REPEATS),
            ("an edit, found again", mark, 7),
        )
        print(f"{rows} rows, load average {os.getloadavg()[0]:.1f}")
        print(f"{'request':28}{'clock':>10}{'processor':>12}{'size':>10}")
        met = True
        for name, ask, repeats in asked:
            clock, processor, size = measured(ask, repeats)
            print(f"{name:28}{clock:7.1f} ms{processor:9.1f} ms{size:7.1f} kB")
            met = met and (not name.startswith("traces") or processor <= GOAL)
    print(f"goal of {GOAL:.0f} ms a window of traces: {'met' if met else 'missed'}")
    return 0 if met else 1


if __name__ == "__main__":
    sys.exit(main(int(sys.argv[1]) if len(sys.argv) > 1 else ROWS))
