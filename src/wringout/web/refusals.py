"""What cannot be done, in words: a page of its own, or a fragment where a part of a page asked."""

from __future__ import annotations

import logging
from http import HTTPStatus
from typing import TYPE_CHECKING

from fastapi.exceptions import RequestValidationError
from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import Response

from wringout.dossier.history import StaleError
from wringout.problems import InputError, Problem
from wringout.web.rendering import templates

if TYPE_CHECKING:
    from fastapi import FastAPI

_LOG = logging.getLogger(__name__)
_WORDS = {
    404: ("There is no such page", "Go back to the shelf of dossiers"),
    400: ("What was sent cannot be read", "Reload the page and try again"),
    413: ("What was sent is too large", "Put a large file into the dossier's folder by hand"),
    405: ("A page cannot be asked like this", "Go back to the shelf of dossiers"),
}


class MissingError(InputError):
    """What was asked for is not there."""


def refusal(request: Request, status: int, what: str, mend: str) -> Response:
    """One problem as an answer with its status."""
    return answer(request, status, (Problem(what, mend),))


def answer(request: Request, status: int, problems: tuple[Problem, ...]) -> Response:
    """Problems as an answer: a fragment for a part of a page, a page for a person who came to it."""
    part = "HX-Request" in request.headers
    name = "pieces/problems.html" if part else "pages/refusal.html"
    return templates().TemplateResponse(
        request, name, {"problems": problems, "state": None}, status_code=status
    )


def fault(request: Request, error: Exception) -> Response:
    """A fault of our own as an answer; its trace goes to the log, never into a page."""
    _LOG.error("A fault of wringout", exc_info=error)
    what = f"wringout itself has a fault here ({type(error).__name__}); your files are as they were"
    return refusal(request, 500, what, "Report it with what the command printed")


def install(app: FastAPI) -> None:
    """Answer every error in words; none as a page of code."""

    async def missing(request: Request, error: Exception) -> Response:
        assert isinstance(error, MissingError)
        return answer(request, 404, error.problems)

    async def stale(request: Request, error: Exception) -> Response:
        assert isinstance(error, StaleError)
        return answer(request, 409, error.problems)

    async def refused(request: Request, error: Exception) -> Response:
        assert isinstance(error, InputError)
        return answer(request, 422, error.problems)

    async def unreadable(request: Request, error: Exception) -> Response:
        assert isinstance(error, OSError)
        place = f"'{error.filename}'" if error.filename else "A file"
        reason = error.strerror or type(error).__name__
        what = f"{place} cannot be read or written ({reason})"
        return refusal(request, 507, what, "Check the disk and its permissions")

    async def malformed(request: Request, error: Exception) -> Response:
        assert isinstance(error, RequestValidationError)
        names = sorted({str(part["loc"][-1])[:40] for part in error.errors()})
        return refusal(
            request,
            422,
            f"What was sent lacks or garbles: {', '.join(names)}",
            "Reload the page and try again",
        )

    async def other(request: Request, error: Exception) -> Response:
        assert isinstance(error, HTTPException)
        known = _WORDS.get(error.status_code, (HTTPStatus(error.status_code).phrase, "Go back to the shelf"))
        return refusal(request, error.status_code, *known)

    for kind, handler in (
        (MissingError, missing),
        (StaleError, stale),
        (InputError, refused),
        (OSError, unreadable),
        (RequestValidationError, malformed),
        (HTTPException, other),
    ):
        app.add_exception_handler(kind, handler)
