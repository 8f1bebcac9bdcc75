"""What stands before every page: whose request this is, how large it may be, and what a page may load."""

from __future__ import annotations

import hashlib
import hmac
from collections.abc import Iterable
from http.cookies import CookieError, SimpleCookie
from urllib.parse import parse_qsl, urlencode

from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import RedirectResponse, Response
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from wringout.web.refusals import fault, refusal

LOOPBACK = frozenset({"127.0.0.1", "localhost", "::1"})
COOKIE = "wringout-token"
LARGEST_BODY = 8_000_000  # a text of 2 MB, each byte of it written as three
LARGEST_UPLOAD = 300_000_000
UPLOADS = "/recordings"  # only addresses that end so take a recording
SAFE = frozenset({"GET", "HEAD", "OPTIONS"})
HEADERS = {
    # No script but our own files, no eval, no style in the page, nothing from anywhere else.
    "Content-Security-Policy": "default-src 'none'; script-src 'self'; style-src 'self'; "
    "img-src 'self' data:; font-src 'self'; connect-src 'self'; form-action 'self'; "
    "frame-ancestors 'none'; base-uri 'none'; object-src 'none'",
    "X-Content-Type-Options": "nosniff",
    "X-Frame-Options": "DENY",
    "Referrer-Policy": "same-origin",
    "Cross-Origin-Opener-Policy": "same-origin",
    "Cross-Origin-Resource-Policy": "same-origin",
    "Permissions-Policy": "camera=(), microphone=(), geolocation=()",
}


class Guard:
    """Middleware; without a token only names of this machine itself are answered."""

    def __init__(self, app: ASGIApp, *, token: str | None = None, hosts: Iterable[str] = ()) -> None:
        self.app = app
        self.token = token
        self.hosts = LOOPBACK | frozenset(hosts)

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        if scope["type"] == "lifespan":
            await self.app(scope, receive, send)
            return
        if scope["type"] != "http":
            await send({"type": "websocket.close", "code": 1008})
            return
        request = Request(scope)
        answered = False

        async def guarded_send(message: Message) -> None:
            nonlocal answered
            if message["type"] == "http.response.start":
                answered = True
                message = _with_headers(message)
            await send(message)

        refused = self._refusal(request)
        if refused is not None:
            await refused(scope, receive, guarded_send)
            return
        try:
            await self.app(scope, _bounded(receive, _limit(request)), guarded_send)
        except Exception as error:
            if answered:
                raise
            await fault(request, error)(scope, receive, guarded_send)

    def _refusal(self, request: Request) -> Response | None:
        """Why this request is not let through, as an answer; None where it may pass."""
        host = request.headers.get("host", "")
        if len(request.headers.getlist("host")) != 1 or not self._known(host):
            return refusal(
                request,
                403,
                f"The address '{host[:80]}' is not one of this workbench",
                "Open it under the address that the command printed",
            )
        if self.token is not None and not self._shown(request):
            return self._ask_for_token(request)
        if request.method not in SAFE and not _same_origin(request, host):
            return refusal(
                request,
                403,
                "This change did not come from a page of this workbench",
                "Make it on its own page",
            )
        length = request.headers.get("content-length", "0")
        if not length.isdecimal() or len(length) > 15 or int(length) > _limit(request):
            return _too_large(request)
        return None

    def _known(self, host: str) -> bool:
        """Another place's name, rebound to here, is refused; a token protects whatever the name."""
        return self.token is not None or _name(host) in self.hosts

    def _shown(self, request: Request) -> bool:
        assert self.token is not None
        given = _cookie(request)
        return given is not None and hmac.compare_digest(given.encode(), _mark(self.token).encode())

    def _ask_for_token(self, request: Request) -> Response:
        """The first visit brings the token in the address; it moves into a cookie and out of sight."""
        assert self.token is not None
        given = request.query_params.get("token", "")
        if request.method == "GET" and hmac.compare_digest(given.encode(), self.token.encode()):
            rest = [pair for pair in parse_qsl(request.url.query) if pair[0] != "token"]
            path = "/" + request.url.path.lstrip("/\\")
            answer = RedirectResponse(path + (f"?{urlencode(rest)}" if rest else ""), status_code=303)
            answer.set_cookie(COOKIE, _mark(self.token), httponly=True, samesite="lax")
            return answer
        return refusal(
            request, 401, "This workbench asks for its token", "Open the address that the command printed"
        )


def _mark(token: str) -> str:
    """What the cookie holds, so that a glance into the browser does not show the token."""
    return hashlib.sha256(b"wringout " + token.encode()).hexdigest()


def _cookie(request: Request) -> str | None:
    try:
        found = SimpleCookie(request.headers.get("cookie", "")).get(COOKIE)
    except CookieError:
        return None
    return None if found is None else found.value


def _name(host: str) -> str:
    """The name in a Host header, without its port."""
    if host.startswith("["):
        return host[1:].partition("]")[0]
    return host.partition(":")[0].lower()


def _same_origin(request: Request, host: str) -> bool:
    """A page of ours asks; a form on another site, or a program that says nothing, does not."""
    origin = request.headers.get("origin")
    if origin is not None:
        return origin in {f"http://{host}", f"https://{host}"}
    return request.headers.get("sec-fetch-site") == "same-origin"


def _limit(request: Request) -> int:
    return LARGEST_UPLOAD if request.url.path.endswith(UPLOADS) else LARGEST_BODY


def _too_large(request: Request) -> Response:
    return refusal(
        request,
        413,
        f"What was sent has more than {_limit(request) / 1e6:.0f} MB",
        "Put a large file into the dossier's folder by hand",
    )


def _bounded(receive: Receive, limit: int) -> Receive:
    """The body, cut off by an error where it grows beyond what its length said or did not say."""
    seen = 0

    async def counted() -> Message:
        nonlocal seen
        message = await receive()
        seen += len(message.get("body", b""))
        if seen > limit:
            raise HTTPException(413)
        return message

    return counted


def _with_headers(message: Message) -> Message:
    given = {name.lower() for name, _ in message["headers"]}
    added = [
        (name.lower().encode(), value.encode())
        for name, value in HEADERS.items()
        if name.lower().encode() not in given
    ]
    if b"cache-control" not in given:
        added.append((b"cache-control", b"no-store"))
    return {**message, "headers": [*message["headers"], *added]}
