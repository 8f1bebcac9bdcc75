"""The page of a part whose results are not of the dossier as it is now: one sentence, and what mends it."""

from __future__ import annotations

from typing import Any

from fastapi import Request
from fastapi.responses import Response

from wringout.web.access import Workbench
from wringout.web.pages.home import stage_words
from wringout.web.rendering import page
from wringout.web.state import State


def stale(
    request: Request,
    bench: Workbench,
    state: State,
    part: str,
    what: str,
    *,
    template: str = "pages/stale.html",
    **said: Any,
) -> Response:
    """The page that says so.

    Parameters
    ----------
    request : Request
    bench : Workbench
    state : State
    part : str
        The part whose page this is.
    what : str
        What is yet to be computed, as the subject of a sentence; in the plural where it ends with 's'.
    template : str
        The page, where a part shows more than the sentence.
    **said
        What that template says.
    """
    return page(
        request,
        template,
        state,
        part=part,
        what=what,
        job=bench.jobs.of(state.root),
        words=stage_words,
        **said,
    )
