"""How long the loading page waits for the server after a slider has moved, and how much comes over the wire.

Run: .venv/bin/python benchmarks/loading_page.py
Goal: 50 ms in the median, on two cores, from the whole request to the whole answer.
"""

from __future__ import annotations

import re
import statistics
import tempfile
import time
from html import unescape
from pathlib import Path

from starlette.testclient import TestClient

from wringout.demo import write_demo
from wringout.web.app import create_app

GOAL, MOVES = 0.050, 400
ORIGIN = "http://127.0.0.1"
_FIELD = re.compile(
    r'<input[^>]*? name="((?:thing|fuel)\.[^"]+|taxi_fuel|landing_fuel|mass_sd|fuel_sd)" value="([^"]*)"'
)
_PLACE = re.compile(r'<select name="(thing\.\d+\.station)".*?<option value="([^"]*)" selected>', re.DOTALL)


def main() -> None:
    with tempfile.TemporaryDirectory() as folder:
        write_demo(Path(folder) / "demo")
        client = TestClient(create_app(Path(folder)), base_url=ORIGIN, headers={"origin": ORIGIN})
        page = client.get("/d/demo/loading?from=mission clinic day at High Rannel").text
        fields = {name: unescape(text) for name, text in (*_FIELD.findall(page), *_PLACE.findall(page))}
        fields["configuration"] = "tail wheel"
        taken: list[float] = []
        size = 0
        for move in range(MOVES):
            fields["thing.0.mass"] = f"{50 + move % 70} kg"
            fields["fuel.left"] = f"{20 + move % 60} L"
            start = time.perf_counter()
            answer = client.post("/d/demo/loading/try", data=fields)
            taken.append(time.perf_counter() - start)
            assert answer.status_code == 200
            assert "At take-off" in answer.text
            size = len(answer.content)
    median, ninety = statistics.median(taken), statistics.quantiles(taken, n=10)[-1]
    print(f"{'moves':>6} {'median ms':>10} {'9 in 10 ms':>11} {'goal ms':>8} {'ratio':>6} {'kB':>5}")
    print(
        f"{MOVES:6} {1e3 * median:10.1f} {1e3 * ninety:11.1f} {1e3 * GOAL:8.0f} {median / GOAL:6.2f} "
        f"{size / 1e3:5.0f}"
    )


if __name__ == "__main__":
    main()
