"""Cookies that no script reads and no other page sends along with a change."""

from starlette.requests import Request
from starlette.responses import Response

from faultnet.web.office import Office

SESSION = "faultnet-session"
DOOR = "faultnet-door"
"""Holds a secret for the form of the log-in page, before there is a session."""


def cookie(request: Request, name: str) -> str:
    """Return the value of a cookie, or nothing."""
    return request.cookies.get(_named(request, name), "")


def give(request: Request, response: Response, name: str, value: str) -> None:
    """Have the browser keep a cookie until it is closed."""
    response.set_cookie(
        _named(request, name), value, secure=_secure(request), httponly=True, samesite="lax"
    )


def take(request: Request, response: Response, name: str) -> None:
    """Have the browser forget a cookie."""
    response.delete_cookie(
        _named(request, name), secure=_secure(request), httponly=True, samesite="lax"
    )


def _secure(request: Request) -> bool:
    office: Office = request.app.state.office
    return office.settings.reach.secure


def _named(request: Request, name: str) -> str:
    """Return the name of a cookie; with this prefix no other host may set it (RFC 6265bis)."""
    return f"__Host-{name}" if _secure(request) else name
