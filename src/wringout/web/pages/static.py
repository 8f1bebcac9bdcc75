"""What the pages load: style sheet, scripts, typefaces; all of it ours, all of it from here."""

from __future__ import annotations

from pathlib import Path

from fastapi import APIRouter, Request
from fastapi.responses import FileResponse, Response

from wringout.charts.typefaces import FONT_DIRECTORY, FONT_FILES
from wringout.problems import Problem
from wringout.web.charts import library
from wringout.web.refusals import MissingError

router = APIRouter()
_STATIC = Path(__file__).parent.parent / "static"
_KINDS = {".css": "text/css", ".js": "text/javascript", ".svg": "image/svg+xml"}
_FILES = {place.name: place for place in _STATIC.iterdir() if place.suffix in _KINDS}
_FILES["htmx.js"] = _STATIC / "vendor" / "htmx.min.js"
_ASK_AGAIN = {"Cache-Control": "no-cache"}
_KEEP = {"Cache-Control": "private, max-age=86400"}


@router.get("/static/vega.js", response_class=Response)
def chart_library() -> Response:
    """The chart library, made from the package that also draws for print."""
    return Response(library(), media_type="text/javascript", headers=_KEEP)


@router.get("/static/{file}", response_class=FileResponse)
def static(request: Request, file: str) -> Response:
    """One of our own files by its name."""
    if file not in _FILES:
        raise MissingError(Problem("there is no such file", "go back to the shelf of dossiers"))
    return _sent(request, _FILES[file], _KINDS[_FILES[file].suffix], _ASK_AGAIN)


@router.get("/fonts/{file}", response_class=FileResponse)
def font(request: Request, file: str) -> Response:
    """One of the typefaces by its file name."""
    if file not in FONT_FILES:
        raise MissingError(Problem("there is no such typeface", "go back to the shelf of dossiers"))
    return _sent(request, FONT_DIRECTORY / file, "font/ttf", _KEEP)


@router.get("/favicon.ico", response_class=FileResponse)
def favicon(request: Request) -> Response:
    """The mark, for browsers that ask for it by its old name."""
    return _sent(request, _STATIC / "mark.svg", "image/svg+xml", _KEEP)


def _sent(request: Request, place: Path, kind: str, headers: dict[str, str]) -> Response:
    answer = FileResponse(place, media_type=kind, headers=headers, stat_result=place.stat())
    if request.headers.get("if-none-match") == answer.headers.get("etag"):
        return Response(status_code=304, headers={**headers, "etag": answer.headers["etag"]})
    return answer
