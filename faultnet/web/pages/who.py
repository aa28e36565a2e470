"""Who is at a browser: each account at each browser is an author of its own."""

import re
import secrets

from starlette.requests import Request
from starlette.responses import Response

from faultnet.cases.entry import Writer
from faultnet.web.safe.visitor import visitor_of

COOKIE = "device"
_DEVICE = re.compile(r"[0-9a-f]{12}", re.ASCII)


def writer_of(request: Request) -> Writer:
    """Return the author of what this browser or program sends."""
    visitor = visitor_of(request)
    return Writer(f"{visitor.name}@{visitor.token or _device(request)}")


def remember(request: Request, response: Response) -> Response:
    """Return the response; the browser is told its name where it had none."""
    if request.cookies.get(COOKIE) != _device(request):
        response.set_cookie(
            COOKIE,
            _device(request),
            max_age=31_536_000,
            secure=request.url.scheme == "https",
            httponly=True,
            samesite="strict",
        )
    return response


def _device(request: Request) -> str:
    given = request.cookies.get(COOKIE, "")
    if _DEVICE.fullmatch(given):
        return given
    if not hasattr(request.state, "device"):
        request.state.device = secrets.token_hex(6)
    return str(request.state.device)
