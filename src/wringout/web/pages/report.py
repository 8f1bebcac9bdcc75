"""Report: its pages as they will be printed, the PDF, the page with live figures, each figure by itself."""

from __future__ import annotations

from enum import StrEnum
from typing import Annotated

from fastapi import APIRouter, Query, Request
from fastapi.responses import HTMLResponse, Response

from wringout.charts.rendering import png
from wringout.evaluation import Evaluation
from wringout.problems import InputError, Problem
from wringout.report.appendix import CAUTIONS
from wringout.report.drawing import Drawn
from wringout.report.printing import files_of_report
from wringout.report.twin import policy_of
from wringout.web.access import Bench, Standing, Workbench
from wringout.web.kept_reports import REPORTS
from wringout.web.pages.home import stage_words
from wringout.web.refusals import MissingError
from wringout.web.rendering import page
from wringout.web.stale import stale
from wringout.web.state import State

router = APIRouter(default_response_class=HTMLResponse)
PNG_SCALE = 4.0  # picture elements for each point of paper: 288 to the inch


class Paper(StrEnum):
    """What the report is printed on."""

    A4 = "a4"
    LETTER = "us-letter"


class Ending(StrEnum):
    """The form of a figure."""

    SVG = "svg"
    PNG = "png"


OnPaper = Annotated[Paper, Query()]


@router.get("/d/{name}/report", response_class=HTMLResponse)
def report(request: Request, bench: Bench, state: Standing, paper: OnPaper = Paper.A4) -> Response:
    """What there is of the report, and a place into which its pages are fetched."""
    evaluation = bench.states.evaluation(state)
    if evaluation is None:
        return stale(request, bench, state, "report", "The report")
    return page(
        request,
        "pages/report.html",
        state,
        part="report",
        title=evaluation.dossier.title,
        paper=paper.value,
        written=files_of_report(evaluation, paper=paper.value),
        job=bench.jobs.of(state.root),
        words=stage_words,
        caution=CAUTIONS[0],
    )


@router.get("/d/{name}/report/preview", response_class=HTMLResponse)
def preview(request: Request, bench: Bench, state: Standing, paper: OnPaper = Paper.A4) -> Response:
    """The pages as pictures, and the figures by name; set now if they were not yet."""
    evaluation = _evaluation(bench, state)
    return page(
        request,
        "pieces/report_preview.html",
        state,
        paper=paper.value,
        stamp=evaluation.key[:12],
        pages=len(REPORTS.pages(evaluation, paper.value)),
        figures=[item for item in REPORTS.figures(evaluation) if item.shows],
        missing=[item for item in REPORTS.figures(evaluation) if item.reason],
    )


@router.get("/d/{name}/report/pages/{number}.png", response_class=Response)
def one_page(bench: Bench, state: Standing, number: int, paper: OnPaper = Paper.A4) -> Response:
    """One page as a picture, numbered from 1."""
    pages = REPORTS.pages(_evaluation(bench, state), paper.value)
    if not 1 <= number <= len(pages):
        raise MissingError(Problem(f"the report has no page {number}", f"it has {len(pages)}"))
    return Response(pages[number - 1], media_type="image/png")


@router.get("/d/{name}/report/report.pdf", response_class=Response)
def as_pdf(bench: Bench, state: Standing, paper: OnPaper = Paper.A4) -> Response:
    """The printed report."""
    made = REPORTS.pdf(_evaluation(bench, state), paper.value)
    return _saved(made, "application/pdf", f"{state.name} report.pdf", inline=True)


@router.get("/d/{name}/report/report.html", response_class=Response)
def as_html(bench: Bench, state: Standing, save: Annotated[bool, Query()] = False) -> Response:
    """The page that stands by itself, under the policy that it states for itself."""
    made = REPORTS.html(_evaluation(bench, state))
    answer = _saved(made, "text/html; charset=utf-8", f"{state.name} report.html", inline=not save)
    answer.headers["Content-Security-Policy"] = f"{policy_of(made)}; frame-ancestors 'none'"
    return answer


@router.get("/d/{name}/report/figures/{figure}.{ending}", response_class=Response)
def one_figure(bench: Bench, state: Standing, figure: str, ending: Ending) -> Response:
    """A figure by itself, its title inside."""
    found = {item.name: item for item in REPORTS.figures(_evaluation(bench, state)) if item.shows}
    if figure not in found or (ending is Ending.PNG and found[figure].spec is None):
        raise MissingError(
            Problem(f"the report has no figure '{figure[:60]}.{ending.value}'", "choose one of its page")
        )
    return _figure(found[figure], ending)


def _figure(item: Drawn, ending: Ending) -> Response:
    if ending is Ending.PNG and item.spec is not None:
        return _saved(png(item.spec, PNG_SCALE), "image/png", f"{item.name}.png", inline=False)
    return _saved(item.titled.encode(), "image/svg+xml", f"{item.name}.svg", inline=False)


def _evaluation(bench: Workbench, state: State) -> Evaluation:
    """The evaluation. Raises InputError where the dossier has changed since."""
    evaluation = bench.states.evaluation(state)
    if evaluation is None:
        raise InputError(Problem("the dossier is to be evaluated anew first", "go to its first page"))
    return evaluation


def _saved(data: bytes, kind: str, file: str, *, inline: bool) -> Response:
    plain = "".join(
        letter if letter.isascii() and (letter.isalnum() or letter in " .-_") else "-" for letter in file
    )
    way = "inline" if inline else "attachment"
    return Response(data, media_type=kind, headers={"Content-Disposition": f'{way}; filename="{plain}"'})
