"""How often stated 90 % intervals hold the truth, over evaluations of the demo flown anew with other chance.

Run: .venv/bin/python benchmarks/interval_coverage.py [evaluations] [first seed]
The simulator is richer than the model. Goal: 88 to 92 % over 300 evaluations; each takes about ten seconds.
"""

from __future__ import annotations

import sys
import tempfile
from collections import defaultdict
from pathlib import Path

import numpy as np

from wringout.demo import write_demo
from wringout.demo.truth import stored_answers
from wringout.evaluation.pipeline import fit_model
from wringout.model import predict_each


def inside(seed: int) -> list[tuple[str, bool, float]]:
    """(quantity, truth inside, error in standard deviations) of every question of one evaluation."""
    answers = stored_answers()
    with tempfile.TemporaryDirectory() as folder:
        root = Path(folder) / "demo"
        write_demo(root, seed)
        dossier, _, fit = fit_model(root)
    found = predict_each(dossier.airplane, fit, [answer.question for answer in answers])
    return [
        (
            answer.question.quantity,
            prediction.low <= answer.value <= prediction.high,
            (prediction.estimate.value - answer.value) / (prediction.estimate.sd or np.inf),
        )
        for answer, prediction in zip(answers, found, strict=True)
    ]


def main() -> None:
    """Print the share inside for each quantity and over all."""
    evaluations = int(sys.argv[1]) if len(sys.argv) > 1 else 10
    first = int(sys.argv[2]) if len(sys.argv) > 2 else 1
    held: dict[str, list[bool]] = defaultdict(list)
    errors: dict[str, list[float]] = defaultdict(list)
    for seed in range(first, first + evaluations):
        for quantity, holds, error in inside(seed):
            held[quantity].append(holds)
            errors[quantity].append(error)
    print(f"{evaluations} evaluations, share of 90 % intervals that hold the truth; rms error in sd")
    for quantity, each in held.items():
        print(f"{quantity:24s} {np.mean(each):6.1%} {np.sqrt(np.mean(np.square(errors[quantity]))):6.2f}")
    print(f"{'all':24s} {np.mean([holds for each in held.values() for holds in each]):6.1%}")


if __name__ == "__main__":
    main()
