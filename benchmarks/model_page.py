"""How long the model page waits for the server after a slider has moved, by the figure that is asked.

Run: .venv/bin/python benchmarks/model_page.py
Goal: 50 ms in the median over all moves, on two cores, from the whole request to the whole answer. A slider
along the line moves the dot alone; every other moves the line too. `processor` is the answer's own share.
"""

from __future__ import annotations

import statistics
import tempfile
import time
from pathlib import Path

from starlette.testclient import TestClient

from wringout.demo import write_demo
from wringout.evaluation import evaluate
from wringout.evaluation.inquiry import BEARS
from wringout.web.app import create_app

GOAL, MOVES = 0.050, 12
ORIGIN = "http://127.0.0.1"


def main() -> None:
    with tempfile.TemporaryDirectory() as folder:
        write_demo(Path(folder) / "demo")
        evaluate(Path(folder) / "demo")
        client = TestClient(create_app(Path(folder)), base_url=ORIGIN, headers={"origin": ORIGIN})
        waited: list[float] = []
        spent: list[float] = []
        print(f"{'figure':22} {'dot ms':>8} {'line ms':>8} {'processor ms':>13}")
        for figure in BEARS:
            dots, lines = moved(client, figure, along=True), moved(client, figure, along=False)
            waited += [wall for wall, _ in (*dots, *lines)]
            spent += [processor for _, processor in (*dots, *lines)]
            row = [statistics.median(wall for wall, _ in some) for some in (dots, lines)]
            processor = statistics.median(processor for _, processor in lines)
            print(f"{figure:22} {1e3 * row[0]:8.1f} {1e3 * row[1]:8.1f} {1e3 * processor:13.1f}")
        median = statistics.median(waited)
        print(
            f"{'all':22} median {1e3 * median:.1f} ms, processor {1e3 * statistics.median(spent):.1f} ms, "
            f"goal {1e3 * GOAL:.0f} ms, ratio {median / GOAL:.2f}"
        )


def moved(client: TestClient, figure: str, *, along: bool) -> list[tuple[float, float]]:
    """Wall and processor seconds of each answer, the first of them left out."""
    bears = BEARS[figure]  # type: ignore[index]  # a key of its own
    other = next((item for item in bears[1:] if item.field in ("mass", "temperature")), bears[0])
    field = bears[0].field if along else other.field
    start = {
        "mass": 950.0,
        "pressure_altitude": 500.0,
        "power_fraction": 55.0,
        "speed": 60.0,
        "temperature": 5.0,
    }
    taken = []
    for move in range(MOVES + 1):
        asked = {"figure": figure, field: f"{start[field] + move}"}
        wall, processor = time.perf_counter(), time.process_time()
        answer = client.get("/d/demo/model/ask", params=asked)
        taken.append((time.perf_counter() - wall, time.process_time() - processor))
        assert answer.status_code == 200, answer.text
    return taken[1:]


if __name__ == "__main__":
    main()
