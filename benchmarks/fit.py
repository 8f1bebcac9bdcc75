"""How long the demo's fit takes, priors to draws, its reduced points at hand.

Run: .venv/bin/python benchmarks/fit.py [repeats]
Goal: at most 2 s on two cores, the best of the repeats.
"""

from __future__ import annotations

import sys
import tempfile
import time
from pathlib import Path

from wringout.demo import write_demo
from wringout.evaluation.pipeline import reduce_points
from wringout.model import fit


def main() -> None:
    """Print the seconds of each repeat."""
    repeats = int(sys.argv[1]) if len(sys.argv) > 1 else 5
    with tempfile.TemporaryDirectory() as folder:
        root = Path(folder) / "demo"
        write_demo(root)
        dossier, points = reduce_points(root)
    took = []
    for _ in range(repeats):
        start = time.perf_counter()
        found = fit(dossier.airplane, points, seed=1)
        took.append(time.perf_counter() - start)
    print(f"{len(found.parameters)} parameters, {len(found.residuals)} figures, {len(found.draws)} draws")
    print("seconds:", ", ".join(f"{each:.2f}" for each in took), f"best {min(took):.2f}")


if __name__ == "__main__":
    main()
