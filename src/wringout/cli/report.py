"""`report`: the whole job to a printed report."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

from cyclopts import Parameter


def report(
    folder: Path = Path(), /, *, paper: Annotated[str, Parameter(help="a4 or us-letter")] = "a4"
) -> int:
    """Print the report as PDF, and as a page with live figures, under report/ of the dossier; figures as SVG.

    Parameters
    ----------
    folder
        The dossier.
    """
    from wringout.cli.output import progress, say
    from wringout.evaluation import evaluate
    from wringout.report import write_report

    with progress(quiet=False) as tell:
        evaluation = evaluate(folder, tell)
        written = write_report(evaluation, paper=paper)
    for sentence in evaluation.answer:
        say(sentence)
    say(f"Report: {folder / written[0]}; with live figures: {folder / written[1]}.")
    say(f"Figures beside them in {folder / 'report' / 'figures'}.")
    return 0
