"""Strangers are kept out: other hosts, other origins, large bodies."""

from collections.abc import Callable
from typing import TypeAlias
from urllib.parse import urlsplit

from starlette.datastructures import Headers, MutableHeaders
from starlette.responses import PlainTextResponse, Response
from starlette.types import ASGIApp, Message, Receive, Scope, Send

HOSTS = ("localhost", "127.0.0.1", "::1")
"""Names of this machine that nobody else can reach."""

LARGEST = 64 * 1024
"""Bytes of a body; the longest form is a note of some pages."""

HARMLESS = ("GET", "HEAD", "OPTIONS")
"""Methods that change nothing."""

POLICY = (
    "default-src 'none'; style-src {style}; form-action 'self'; "
    "frame-ancestors 'none'; base-uri 'none'"
)
"""What a page may fetch and run (Content Security Policy); there is no script."""

HEADERS = {
    "content-security-policy": POLICY.format(style="'self'"),
    "x-content-type-options": "nosniff",
    "referrer-policy": "same-origin",
    "cross-origin-opener-policy": "same-origin",
    "cross-origin-resource-policy": "same-origin",
    "cache-control": "no-store",
}
"""Sent with every answer; an answer's own header of that name stays."""


Refuse: TypeAlias = Callable[[str, int, str], Response]
"""From the path of a request, a status and a reason to the answer."""


def plain_refusal(_path: str, status: int, reason: str) -> Response:
    """Return a reason as plain text."""
    return PlainTextResponse(reason, status)


class Guard:
    """Stands before the application and refuses what does not come from its own pages.

    A name other than that of this machine is refused, so that a page elsewhere cannot reach
    the server under a name of its own; so is a change that another origin asks for.
    """

    def __init__(self, app: ASGIApp, refuse: Refuse = plain_refusal) -> None:
        self._app, self._refuse = app, refuse

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Let a request through, or answer it with the reason."""
        if scope["type"] != "http":
            await self._app(scope, receive, send)
            return
        whole = await _body(receive)
        refused = _refused(scope["method"], Headers(scope=scope), whole)
        if refused:
            answer = self._refuse(scope["path"], *refused)
            await answer(scope, receive, _dressed(send))
            return
        await self._app(scope, _again(whole, receive), _dressed(send))


def _refused(method: str, headers: Headers, body: bytes | None) -> tuple[int, str] | None:
    """Return status and reason of a request that is not let through."""
    host = headers.get("host", "")
    if urlsplit(f"//{host}").hostname not in HOSTS:
        return 421, "This server answers on this machine only: open it as http://localhost"
    if body is None:
        return 413, f"More than {LARGEST // 1024} kB were sent. Nothing was kept: send less."
    if method in HARMLESS:
        return None
    origin = headers.get("origin")
    other = origin is not None and urlsplit(origin).netloc != host
    if other or headers.get("sec-fetch-site") in {"cross-site", "same-site"}:
        return 403, "A page of another server asked for this. Nothing was changed."
    return None


async def _body(receive: Receive) -> bytes | None:
    """Return the body of a request, or None where it is too large."""
    parts = bytearray()
    while True:
        message = await receive()
        parts += message.get("body", b"")
        if len(parts) > LARGEST:
            return None
        if not message.get("more_body"):
            return bytes(parts)


def _again(body: bytes | None, receive: Receive) -> Receive:
    """Return what hands on a body that has been read; after it comes what comes."""
    left: list[Message] = [{"type": "http.request", "body": body or b"", "more_body": False}]

    async def handed() -> Message:
        return left.pop() if left else await receive()

    return handed


def _dressed(send: Send) -> Send:
    """Return what sends an answer with the headers of safety."""

    async def sent(message: Message) -> None:
        if message["type"] == "http.response.start":
            headers = MutableHeaders(scope=message)
            for name, value in HEADERS.items():
                headers.setdefault(name, value)
        await send(message)

    return sent
