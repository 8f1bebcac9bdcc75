"""The report as PDF."""

from __future__ import annotations

import json
from datetime import UTC, datetime
from pathlib import Path
from typing import TYPE_CHECKING, Literal

from wringout.charts.typefaces import FONT_DIRECTORY
from wringout.report.content import content
from wringout.report.figures import drawn_figures, figures

if TYPE_CHECKING:
    from wringout.evaluation.evaluation import Evaluation

Paper = Literal["a4", "us-letter"]

_TEMPLATE = Path(__file__).parent / "field_book.typ"


def pdf(evaluation: Evaluation, *, paper: str = "a4") -> bytes:
    """The printed report.

    Parameters
    ----------
    evaluation : Evaluation
        The evaluated dossier.
    paper : str
        'a4' or 'us-letter'.

    Returns
    -------
    bytes
        A PDF/UA-1 file; equal evaluations give equal bytes.

    Raises
    ------
    ValueError
        Another paper.
    """
    if paper not in ("a4", "us-letter"):
        raise ValueError(f"paper '{paper}' is not known: use 'a4' or 'us-letter'")
    import typst

    drawn = drawn_figures(evaluation)
    data = content(evaluation, drawn, paper=paper)
    files = {
        "main.typ": _TEMPLATE.read_bytes(),
        "content.json": json.dumps(data, ensure_ascii=False, allow_nan=False).encode(),
        **{f"figures/{item.name}.svg": item.svg(with_title=False) for item in drawn},
    }
    day = evaluation.dossier.day
    made: bytes = typst.compile(  # type: ignore[call-overload]  # its types leave out the files in memory it takes
        files,
        format="pdf",
        font_paths=[str(FONT_DIRECTORY)],
        ignore_system_fonts=True,
        pdf_standards=["ua-1"],
        timestamp=datetime(day.year, day.month, day.day, tzinfo=UTC),
    )
    return made


def write_report(evaluation: Evaluation, *, paper: str = "a4") -> tuple[str, ...]:
    """Write the report and its figures under `report/` of the dossier; their paths in it, the PDF first."""
    from wringout.dossier import write_file

    written = ["report/report.pdf"]
    write_file(evaluation.dossier.root, written[0], pdf(evaluation, paper=paper))
    for name, drawing in figures(evaluation).items():
        written.append(f"report/figures/{name}.svg")
        write_file(evaluation.dossier.root, written[-1], drawing)
    return tuple(written)
