"""The workbench behind a door of this machine."""

from __future__ import annotations

import socket
import webbrowser
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from threading import Timer
from urllib.parse import quote, urlencode

from wringout.problems import InputError, Problem
from wringout.web.app import create_app

_OPENED_AFTER = 0.6  # s; the door is open already, so that an early browser only waits


@contextmanager
def listening(host: str, port: int) -> Iterator[socket.socket]:
    """A door that listens.

    Raises
    ------
    InputError
        The port is taken, or the host is none of this machine.
    """
    if not 0 <= port <= 65535:
        raise InputError(Problem(f"there is no port {port}", "choose one of 1 to 65535; 0 takes a free one"))
    try:
        family, kind, protocol, _, place = socket.getaddrinfo(host, port, type=socket.SOCK_STREAM)[0]
        door = socket.socket(family, kind, protocol)
        try:
            door.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
            door.bind(place)
            door.listen(128)
        except BaseException:
            door.close()
            raise
    except (OSError, OverflowError, UnicodeError) as error:
        reason = getattr(error, "strerror", None) or str(error)
        what = f"the workbench cannot listen at {host}, port {port} ({reason})"
        raise InputError(Problem(what, "choose another with --port; 0 takes a free one")) from error
    with door:
        yield door


def address(door: socket.socket, token: str | None, dossier: str | None = None) -> str:
    """What to open in the browser."""
    host, port = door.getsockname()[:2]
    name = {"0.0.0.0": socket.gethostname(), "::": socket.gethostname(), "::1": "[::1]"}.get(host, host)
    path = f"/d/{quote(dossier, safe='')}/" if dossier else "/"
    return f"http://{name}:{port}{path}" + (f"?{urlencode({'token': token})}" if token else "")


def serve(shelf: Path, door: socket.socket, *, token: str | None, host: str, opened: str | None) -> None:
    """Answer until Ctrl-C; `opened` is the address to open in the browser first."""
    import uvicorn

    app = create_app(shelf, token=token, hosts=(host,))
    config = uvicorn.Config(
        app,
        log_level="error",
        server_header=False,
        timeout_graceful_shutdown=3,
        h11_max_incomplete_event_size=65536,
    )
    if opened is not None:
        timer = Timer(_OPENED_AFTER, webbrowser.open, (opened,))
        timer.daemon = True
        timer.start()
    uvicorn.Server(config).run(sockets=[door])
