"""What is written to a case while somebody looks at it, as server-sent events.

The stream is that of the HTML standard (https://html.spec.whatwg.org/multipage/server-sent-events.html):
its ids are places in the case, so a browser that comes again misses nothing.
"""

from collections.abc import AsyncIterator
from time import monotonic

import msgspec
from starlette.requests import Request
from starlette.responses import PlainTextResponse, Response, StreamingResponse
from starlette.routing import Route
from starlette.types import Receive, Scope, Send

from faultnet.cases.entry import is_site
from faultnet.cases.store.trouble import StoreError
from faultnet.web.api.cases import FARTHEST
from faultnet.web.api.events import Events
from faultnet.web.pages.paper import trouble
from faultnet.web.safe.gate import still_there
from faultnet.web.safe.visitor import note, office_of, visitor_of
from faultnet.web.watch import FullError, Listener, Watch
from faultnet.web.wording import wording

KIND = "text/event-stream"
HEADERS = {"x-accel-buffering": "no"}
"""Proxies are not to gather what is sent."""

BEAT = 15.0
"""Seconds of silence after which a comment is sent, so that nobody takes it for broken."""

LONGEST = 600.0
"""Seconds after which a stream ends and the browser comes again, through the gate."""

AGAIN = 500
"""Milliseconds after which a browser comes again when a stream ended."""

FULL_FOR = 30
"""Seconds after which whoever found no room may ask again."""


class Stream(StreamingResponse):
    """A stream of events to one listener, who is let go however it ends."""

    def __init__(self, request: Request, listener: Listener, watch: Watch) -> None:
        super().__init__(self._events(), media_type=KIND, headers=HEADERS)
        self._request = request
        self._listener = listener
        self._watch = watch

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Send events until the listener goes, may no longer look, or the server stops."""
        try:
            await super().__call__(scope, receive, send)
        finally:
            self._watch.leave(self._listener)

    async def _events(self) -> AsyncIterator[str]:
        until = monotonic() + LONGEST
        yield f"retry: {AGAIN}\n\n"
        while monotonic() < until and not self._listener.over:
            try:
                found = await self._watch.aside(_found, self._request, self._listener)
            except StoreError:
                return
            if found is None:
                return
            yield _told(found) if found.cursor > self._listener.place else ":\n\n"
            self._listener.place = max(self._listener.place, found.cursor)
            await self._listener.wait(BEAT)


async def live(request: Request) -> Response:
    """Send what is kept of a case from a place on, as it comes."""
    watch: Watch = request.app.state.watch
    if not await watch.aside(_is_there, request):
        return trouble(request, wording()("trouble.no-case"), 404)
    if request.method == "HEAD":
        return Response(media_type=KIND)
    visitor = visitor_of(request)
    listener = Listener(visitor.token or visitor.name, request.path_params["id"], _since(request))
    try:
        watch.listen(listener, office_of(request).reached)
    except FullError:
        headers = {"retry-after": str(FULL_FOR)}
        return PlainTextResponse(wording()("trouble.full"), 503, headers)
    return Stream(request, listener, watch)


def _is_there(request: Request) -> bool:
    case = request.path_params["id"]
    there = not is_site(case) and bool(office_of(request).reached({case}))
    if there:
        note(request, "case looked at", case)
    return there


def _since(request: Request) -> int:
    """Return the place to go on from: where the browser was, else what the page asks for."""
    asked = request.headers.get("last-event-id") or request.query_params.get("since", "")
    return min(int(asked), FARTHEST) if asked.isascii() and asked.isdigit() else 0


def _found(request: Request, listener: Listener) -> Events | None:
    """Return what was kept after a listener's place, or None where they may look no longer."""
    if not still_there(request):
        return None
    log = office_of(request).read(listener.log, listener.place)
    return Events(listener.log, log.place, log.unread, log.entries)


def _told(found: Events) -> str:
    return f"id: {found.cursor}\ndata: {msgspec.json.encode(found).decode()}\n\n"


ROUTES = [Route("/cases/{id}/live", live, name="live")]
