"""From a request to the answer of its call; what goes wrong is told as a problem."""

import logging
from collections.abc import Awaitable, Callable, Mapping

import msgspec
from starlette.concurrency import run_in_threadpool
from starlette.exceptions import HTTPException
from starlette.middleware import Middleware
from starlette.middleware.exceptions import ExceptionMiddleware
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Mount, Route

from faultnet.cases.store.trouble import StoreError
from faultnet.shapes.plain import plain
from faultnet.shapes.version import SCHEMA_VERSION
from faultnet.web.api.call import JSON, Call
from faultnet.web.api.deeds import deeds
from faultnet.web.api.document import document
from faultnet.web.api.problem import PREFIX, RefusedError, answer_to, by_store
from faultnet.web.api.table import CALLS
from faultnet.web.safe.visitor import note, office_of, thinking_of, visitor_of

LOG = logging.getLogger(__name__)

Endpoint = Callable[[Request], Awaitable[Response]]


def api() -> Mount:
    """Return the API with its own way of telling what is wrong."""
    by_path: dict[str, dict[str, Call]] = {}
    for call in CALLS:
        # What is asked for is first read here: msgspec makes a type ready when it is first met, and
        # threads that meet it at the same time crash the process.
        msgspec.json.Decoder(call.asks)
        by_path.setdefault(call.path, {})[call.method] = call
    routes = [Route(p, _endpoint(calls), methods=[*calls]) for p, calls in by_path.items()]
    handlers = {HTTPException: _no_call, Exception: _refused}
    telling = Middleware(ExceptionMiddleware, handlers=handlers)
    return Mount(PREFIX, routes=[*routes, Route("/openapi.json", _described)], middleware=[telling])


def _endpoint(calls: Mapping[str, Call]) -> Endpoint:
    async def answered(request: Request) -> Response:
        call = calls["GET" if request.method == "HEAD" else request.method]
        run = thinking_of(request).about if call.thinks else run_in_threadpool
        return await run(_answer, call, request, await request.body())

    return answered


def _answer(call: Call, request: Request, body: bytes) -> Response:
    """Return the answer of a call; runs in a thread of its own."""
    asked = call.asked(request, body)
    about = visitor_of(request) if call.of_visitor else asked
    answer = call.run(office_of(request), about)
    for deed, case in deeds(asked):
        note(request, deed, case)
    if isinstance(answer, Response):
        return answer
    told = {"schema_version": SCHEMA_VERSION, **plain(answer)}
    return Response(msgspec.json.encode(told), media_type=JSON)


def _described(_: Request) -> Response:
    return Response(document(), media_type=JSON)


async def _no_call(request: Request, error: Exception) -> Response:
    """Tell of an address or a method that is not there."""
    assert isinstance(error, HTTPException)
    if error.status_code == 405:
        allowed = (error.headers or {}).get("Allow", "")
        reason = f"{request.method} is not taken here."
        refused = RefusedError("not-done-here", "method", reason, f"Send one of {allowed}.")
        return answer_to(refused, {"Allow": allowed})
    reason = f"There is nothing at {request.url.path[:80]}."
    mend = f"What there is stands in {PREFIX}/openapi.json"
    return answer_to(RefusedError("nothing-there", "path", reason, mend))


async def _refused(_: Request, error: Exception) -> Response:
    """Tell of a refusal; anything else is a fault of ours, and goes into the log."""
    if isinstance(error, RefusedError):
        return answer_to(error)
    if isinstance(error, StoreError):
        return answer_to(by_store(error))
    LOG.error("A call failed.", exc_info=error)
    reason = "This is a fault of faultnet, not yours."
    mend = "Nothing more can be told here; the log of the server has it."
    return answer_to(RefusedError("fault", "server", reason, mend))
