"""Time of the main job on the demo: from nothing to the PDF, and again when nothing changed.

Run: .venv/bin/python benchmarks/demo.py
Goals: 15 s cold, 2 s warm, `--help` 0.3 s, a small command 0.15 s, on two cores.
"""

from __future__ import annotations

import subprocess
import sys
import tempfile
import time
from pathlib import Path

PROGRAM = str(Path(sys.executable).with_name("wringout"))


def seconds(*arguments: str) -> float:
    """Wall time of one command, which must succeed."""
    start = time.perf_counter()
    subprocess.run([PROGRAM, *arguments], check=True, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
    return time.perf_counter() - start


def main() -> None:
    with tempfile.TemporaryDirectory() as folder:
        demo = str(Path(folder) / "demo")
        rows = [
            ("demo, from nothing to the PDF", seconds("demo", demo), 15.0),
            ("report, nothing changed", min(seconds("report", demo) for _ in range(3)), 2.0),
            ("--help", min(seconds("--help") for _ in range(5)), 0.3),
            ("air", min(seconds("air", "--calibrated", "100 kt") for _ in range(5)), 0.15),
        ]
    print(f"{'command':32} {'seconds':>8} {'goal':>6} {'ratio':>6}")
    for name, taken, goal in rows:
        print(f"{name:32} {taken:8.2f} {goal:6.2f} {taken / goal:6.2f}")


if __name__ == "__main__":
    main()
