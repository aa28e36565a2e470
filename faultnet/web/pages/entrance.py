"""Logging in and out."""

from math import ceil
from urllib.parse import urlsplit

from starlette.concurrency import run_in_threadpool
from starlette.datastructures import FormData
from starlette.requests import Request
from starlette.responses import RedirectResponse, Response
from starlette.routing import Route

from faultnet.accounts import sessions
from faultnet.accounts.entrance import NotAdmittedError, enter, leave
from faultnet.accounts.secret import drawn, form_token, is_form_token
from faultnet.web.office import Office
from faultnet.web.pages.paper import page
from faultnet.web.safe.cookie import DOOR, SESSION, cookie, give, take
from faultnet.web.safe.form import FIELD
from faultnet.web.safe.visitor import address_of, visitor_of
from faultnet.web.wording import wording


def ask(request: Request) -> Response:
    """Show the log-in page; whoever needs none goes on."""
    office: Office = request.app.state.office
    onward = _place(request.query_params.get("next", ""))
    if not office.needs_log_in():
        return RedirectResponse(onward, 303)
    return _page(request, "", onward)


async def log_in(request: Request) -> Response:
    """Log somebody in and lead on to where they wanted to go."""
    async with request.form() as form:
        return await run_in_threadpool(_logged_in, request, form)


def _logged_in(request: Request, form: FormData) -> Response:
    office: Office = request.app.state.office
    onward = _place(str(form.get("next", "")))
    if not is_form_token(cookie(request, DOOR), str(form.get(FIELD, ""))):
        return _page(request, wording()("login.old"), onward, status=403)
    name, password = str(form.get("name", "")).strip().lower(), str(form.get("password", ""))
    try:
        _, secret = enter(office.store, name, password, address_of(request), office.clock())
    except NotAdmittedError as refused:
        if not refused.wait:
            return _page(request, wording()("login.wrong"), onward, name, 401)
        told = wording()("login.wait", minutes=ceil(refused.wait / 60))
        answer = _page(request, told, onward, name, 429)
        answer.headers["retry-after"] = str(ceil(refused.wait))
        return answer
    sessions.end(office.store, cookie(request, SESSION))  # one browser, one session
    answer = RedirectResponse(onward, 303)
    take(request, answer, DOOR)
    give(request, answer, SESSION, secret)
    return answer


def log_out(request: Request) -> Response:
    """Log somebody out, at the server as well, and show the log-in page."""
    office: Office = request.app.state.office
    visitor = visitor_of(request)
    if visitor.secret:
        address = address_of(request)
        leave(office.store, visitor.name, visitor.secret, address, office.clock())
    answer = RedirectResponse(request.url_for("login"), 303)
    take(request, answer, SESSION)
    answer.headers["clear-site-data"] = '"cache"'
    return answer


def _page(request: Request, note: str, onward: str, name: str = "", status: int = 200) -> Response:
    """Return the log-in page, its form bound to this browser."""
    door = drawn()
    fields = {"note": note, "onward": onward, "name": name[:40], "form_token": form_token(door)}
    answer = page(request, "login.html", fields, status)
    give(request, answer, DOOR, door)
    return answer


def _place(asked: str) -> str:
    """Return a place of this server to go on to; anything else is its first page."""
    try:
        parts = urlsplit(asked)
    except ValueError:
        return "/"
    plain = asked.isascii() and asked.isprintable() and "\\" not in asked
    own = not (parts.scheme or parts.netloc) and asked.startswith("/") and asked[1:2] != "/"
    return asked if plain and own else "/"


ROUTES = [
    Route("/login", ask, name="login"),
    Route("/login", log_in, methods=["POST"], name="log_in"),
    Route("/logout", log_out, methods=["POST"], name="log_out"),
]
