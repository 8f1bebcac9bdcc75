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
from wringout.report.twin import html

if TYPE_CHECKING:
    from wringout.evaluation.evaluation import Evaluation

PAGE_PIXELS = 110.0  # to the inch, of a page as a picture: sharp at the width of a tablet
PAPERS = ("a4", "us-letter")
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
    return printed(evaluation, drawn_figures(evaluation), paper)


def write_report(evaluation: Evaluation, *, paper: str = "a4") -> tuple[str, ...]:
    """Write the report and its figures under `report/` of the dossier; their paths in it, PDF and HTML first.

    Nothing is written again where the same evaluation's files are still there as they were written.
    """
    from wringout.dossier.store import write_files

    root, key = evaluation.dossier.root, _key(evaluation, paper)
    written = files_of_report(evaluation, paper=paper)
    if written is not None:
        return written
    drawn = drawn_figures(evaluation)
    files = {"report/report.pdf": printed(evaluation, drawn, paper)}
    files["report/report.html"] = html(evaluation)
    files |= {f"report/figures/{item.name}.svg": item.titled.encode() for item in drawn}
    write_files(root, "report", key, files)
    return tuple(files)


def files_of_report(evaluation: Evaluation, *, paper: str = "a4") -> tuple[str, ...] | None:
    """The files that `write_report` wrote of this evaluation, as long as they are as they were written."""
    from wringout.dossier.store import files_written

    return files_written(evaluation.dossier.root, "report", _key(evaluation, paper))


def _key(evaluation: Evaluation, paper: str) -> str:
    from wringout.dossier.store import digest

    return digest(evaluation.key.encode(), paper.encode())


def page_images(evaluation: Evaluation, drawn: Sequence[Drawn], *, paper: str = "a4") -> tuple[bytes, ...]:
    """Every page of the printed report as a PNG picture; arguments and errors as `pdf`.

    Not as SVG: the figures' words would stand in whatever typeface the viewer has.
    """
    import typst

    made = typst.compile(  # type: ignore[call-overload]  # as in `compiled`
        sources(evaluation, drawn, _known(paper)),
        format="png",
        ppi=PAGE_PIXELS,
        font_paths=[str(FONT_DIRECTORY)],
        ignore_system_fonts=True,
    )
    return tuple(made) if isinstance(made, list) else (made,)


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


def printed(evaluation: Evaluation, drawn: Sequence[Drawn], paper: str) -> bytes:
    """As `pdf`, where the figures were drawn already."""
    return compiled(sources(evaluation, drawn, _known(paper)), evaluation.dossier.day)


def _known(paper: str) -> str:
    if paper not in PAPERS:
        raise ValueError(f"paper '{paper}' is not known: use 'a4' or 'us-letter'")
    return paper
