"""`claims`: the maker's claims and what stands of them."""

from __future__ import annotations

from pathlib import Path


def claims(folder: Path = Path(), /, *, json: bool = False) -> int:
    """The maker's claims, each with its verdict, its arithmetic and its evidence.

    Parameters
    ----------
    folder
        The dossier.
    json
        Answer as JSON.
    """
    from wringout.cli.output import print_json, progress, say, table
    from wringout.cli.points import plain
    from wringout.evaluation import evaluate

    with progress(quiet=json) as tell:
        verdicts = evaluate(folder, tell).verdicts
    if json:
        print_json(
            [
                {
                    "id": v.claim.id,
                    "statement": v.claim.statement,
                    "finding": v.finding,
                    "probability": v.probability,
                    "reason": v.reason,
                    "evidence": plain(v.evidence),
                    "assumptions": list(v.assumptions),
                }
                for v in verdicts
            ]
        )
        return 0
    table(
        "Claims",
        ("claim", "statement", "finding", "P"),
        (
            (
                v.claim.id,
                v.claim.statement,
                v.finding,
                _likely(v.probability),
            )
            for v in verdicts
        ),
        words=3,
    )
    for v in verdicts:
        say(f"{v.claim.id}: {v.reason}")
        for evidence in v.evidence:
            say(f"    {evidence.kind}: {evidence.arithmetic}")
    return 0


def _likely(probability: float | None) -> str:
    """A probability with two digits, never quite none or all."""
    if probability is None:
        return ""
    if probability < 0.01:
        return "<0.01"
    return ">0.99" if probability > 0.99 else f"{probability:.2f}"
