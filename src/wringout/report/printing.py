"""The report as PDF."""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from datetime import UTC, date, datetime
from pathlib import Path
from typing import TYPE_CHECKING, Any

from wringout.charts.typefaces import FONT_DIRECTORY
from wringout.report.composing import content
from wringout.report.drawing import Drawn, drawn_figures

if TYPE_CHECKING:
    from wringout.evaluation.evaluation import Evaluation

_HERE = Path(__file__).parent


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
    return _printed(evaluation, drawn_figures(evaluation), paper)


def write_report(evaluation: Evaluation, *, paper: str = "a4") -> tuple[str, ...]:
    """Write the report and its figures under `report/` of the dossier; their paths in it, the PDF first.

    Nothing is written again where the same evaluation's files are still there as they were written.
    """
    from wringout.dossier.store import digest, files_written, write_files

    root, key = evaluation.dossier.root, digest(evaluation.key.encode(), paper.encode())
    written = files_written(root, "report", key)
    if written is not None:
        return written
    drawn = drawn_figures(evaluation)
    files = {"report/report.pdf": _printed(evaluation, drawn, paper)}
    files |= {f"report/figures/{item.name}.svg": item.titled.encode() for item in drawn}
    write_files(root, "report", key, files)
    return tuple(files)


def sources(evaluation: Evaluation, drawn: Sequence[Drawn], paper: str) -> dict[str, bytes]:
    """All files from which the report is set: template, words and figures."""
    data = content(evaluation, drawn, paper=paper)
    return {
        **template("field_book.typ", data),
        **{f"figures/{item.name}.svg": item.svg.encode() for item in drawn if item.svg},
    }


def template(name: str, data: Mapping[str, Any]) -> dict[str, bytes]:
    """A template, the pieces that templates share, and the words and figures that it sets."""
    return {
        "main.typ": (_HERE / name).read_bytes(),
        "pieces.typ": (_HERE / "pieces.typ").read_bytes(),
        "content.json": json.dumps(data, ensure_ascii=False, allow_nan=False).encode(),
    }


def compiled(files: Mapping[str, bytes], day: date) -> bytes:
    """The PDF/UA-1 file that the files in memory set; equal files of one day give equal bytes."""
    import typst

    made: bytes = typst.compile(  # type: ignore[call-overload]  # its types leave out the files in memory it takes
        dict(files),
        format="pdf",
        font_paths=[str(FONT_DIRECTORY)],
        ignore_system_fonts=True,
        pdf_standards=["ua-1"],
        timestamp=datetime(day.year, day.month, day.day, tzinfo=UTC),
    )
    return made


def _printed(evaluation: Evaluation, drawn: Sequence[Drawn], paper: str) -> bytes:
    if paper not in {"a4", "us-letter"}:
        raise ValueError(f"paper '{paper}' is not known: use 'a4' or 'us-letter'")
    return compiled(sources(evaluation, drawn, paper), evaluation.dossier.day)
