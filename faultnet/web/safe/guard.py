"""Strangers are kept out: other names, other origins, bodies too large or of another kind."""

from ipaddress import ip_address
from urllib.parse import urlsplit

from starlette.datastructures import Headers, MutableHeaders
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from faultnet.web.safe.body import KINDS, LARGEST, PATIENCE, again, kind_of, whole
from faultnet.web.safe.refusal import refusal
from faultnet.web.settings import Reach

HOSTS = ("localhost", "127.0.0.1", "::1")
"""Names of this machine that nobody else can reach."""

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

Refused = tuple[str, str]
"""A kind of refusal and the reason."""


class Guard:
    """Stands before the application and refuses what does not come from its own pages.

    A name other than its own is refused, so that a page elsewhere cannot reach the server
    under a name of its own; so is a change that another origin asks for.
    """

    def __init__(self, app: ASGIApp, reach: Reach | None = None) -> None:
        self._app = app
        self._reach = reach or Reach()

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Let a request through, or answer it with the reason."""
        if scope["type"] != "http":
            await self._app(scope, receive, send)
            return
        if self._reach.secure:
            scope["scheme"] = "https"  # whoever took the TLS off may not have said so
        send = _dressed(send)
        body = b""
        refused = self._refused(scope)
        if not refused:
            body, refused = await _read(scope, receive)
        if refused:
            await refusal(scope["path"], *refused)(scope, receive, send)
            return
        await self._app(scope, again(body, receive), send)

    def _refused(self, scope: Scope) -> Refused | None:
        """Return why a request is not let through, as far as its head tells."""
        headers = Headers(scope=scope)
        host = headers.get("host", "")
        if not self._is_own(host):
            return "other-host", f"This server has another name. {self._called()}"
        if scope["method"] in HARMLESS:
            return None
        origin = headers.get("origin")
        other = origin is not None and origin != f"{scope['scheme']}://{host}"
        if other or headers.get("sec-fetch-site") in {"cross-site", "same-site"}:
            return "other-origin", "A page of another server asked for this. Nothing was changed."
        return None

    def _is_own(self, host: str) -> bool:
        try:
            parts = urlsplit(f"//{host}")
            name = parts.hostname or ""
        except ValueError:
            return False
        if name in HOSTS or name in self._reach.names:
            return "@" not in parts.netloc
        return self._reach.any_address and _is_address(name)

    def _called(self) -> str:
        if self._reach.names:
            return f"Open it as {', '.join(sorted(self._reach.names))}."
        if self._reach.any_address:
            return "Open it by its address, or have it started with --name."
        return "It answers on this machine only: open it as http://localhost."


async def _read(scope: Scope, receive: Receive) -> tuple[bytes, Refused | None]:
    """Return the body of a request, and why it is not let through."""
    try:
        body = await whole(receive)
    except TimeoutError:
        return b"", ("too-slow", f"What was sent did not come within {PATIENCE:.0f} seconds.")
    if body is None:
        said = f"More than {LARGEST // 1024} kB were sent. Nothing was kept: send less."
        return b"", ("too-long", said)
    kind = kind_of(Headers(scope=scope).get("content-type", ""))
    if body and kind and kind not in KINDS:
        said = "Only forms and JSON are taken here, no files. Nothing was kept."
        return b"", ("not-sent-as-json", said)
    return body, None


def _is_address(name: str) -> bool:
    try:
        ip_address(name)
    except ValueError:
        return False
    return True


def _dressed(send: Send) -> Send:
    """Return what sends an answer with the headers of safety."""

    async def sent(message: Message) -> None:
        if message["type"] == "http.response.start":
            headers = MutableHeaders(scope=message)
            for name, value in HEADERS.items():
                headers.setdefault(name, value)
        await send(message)

    return sent
