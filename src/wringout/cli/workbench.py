"""`workbench`: the pages in the browser."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

from cyclopts import Parameter

SHORTEST_TOKEN = 16


def workbench(
    folder: Path = Path(),
    /,
    *,
    port: int = 8737,
    host: str = "127.0.0.1",
    token: str | None = None,
    browser: Annotated[bool, Parameter(negative="--no-browser")] = True,
) -> int:
    """Work on dossiers in the browser, on this machine and without network.

    Parameters
    ----------
    folder
        The folder in which the dossiers lie, or one dossier.
    port
        Where to answer; 0 takes a free one.
    host
        Whom to answer: this machine alone, or with a token another address of it, such as 0.0.0.0.
    token
        What another machine must show first, 16 characters or more.
    browser
        Open the browser.
    """
    from wringout.cli.output import say
    from wringout.dossier.shelf import HEAD
    from wringout.web.serving import address, listening, serve

    folder = folder.resolve()
    one = (folder / HEAD).is_file()
    _refuse_open_door(host, token)
    with listening(host, port) as door:
        where = address(door, token, folder.name if one else None)
        say(f"Workbench: {where} (end it with Ctrl-C)")
        serve(
            folder.parent if one else folder, door, token=token, host=host, opened=where if browser else None
        )
    return 0


def _refuse_open_door(host: str, token: str | None) -> None:
    import secrets

    from wringout.problems import InputError, Problem

    if token is not None and len(token) < SHORTEST_TOKEN:
        what = f"the token has {len(token)} characters, which others could guess"
        raise InputError(Problem(what, f"write --token {secrets.token_urlsafe(18)}", field="--token"))
    if host not in {"127.0.0.1", "localhost", "::1"} and token is None:
        what = f"other machines could reach the workbench at '{host}', and nothing would ask who they are"
        raise InputError(Problem(what, f"add --token {secrets.token_urlsafe(18)}", field="--host"))
