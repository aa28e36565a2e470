"""The gate: who asks, and whether they may; it covers pages, files and calls alike."""

from urllib.parse import urlencode

from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import RedirectResponse, Response
from starlette.types import ASGIApp, Receive, Scope, Send

from faultnet.accounts import sessions, tokens, trail, tries
from faultnet.accounts.entrance import network_of
from faultnet.cases.store.trouble import StoreError
from faultnet.web.api.problem import KINDS, answer_to, by_store
from faultnet.web.office import Office
from faultnet.web.pages.paper import trouble
from faultnet.web.safe.body import again, whole
from faultnet.web.safe.cookie import SESSION, cookie
from faultnet.web.safe.doors import needed
from faultnet.web.safe.form import is_foreign
from faultnet.web.safe.guard import HARMLESS
from faultnet.web.safe.refusal import is_program, refusal
from faultnet.web.safe.visitor import LOCAL, Visitor, address_of, visitor_of
from faultnet.web.wording import wording

BY_SCRIPT = "empty"
"""The destination that browsers name where a script of a page asks (Fetch Metadata)."""

BAD_TOKENS = 20
"""Tokens that are no good, noted of one address within the time that tries are counted."""


class Gate:
    """Stands behind the guard; nothing behind it is reached without an answer to who asks."""

    def __init__(self, app: ASGIApp) -> None:
        self._app = app

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Let a request through with its visitor, or answer it with the reason."""
        if scope["type"] == "lifespan":
            await self._app(scope, receive, send)
        elif scope["type"] == "websocket":
            await send({"type": "websocket.close", "code": 1008})
        else:
            body = await whole(receive) or b""
            request = Request(scope)
            refused = await run_in_threadpool(_refused, request, body)
            await (refused or self._app)(scope, again(body, receive), send)


def _refused(request: Request, body: bytes) -> Response | None:
    """Return why a request is not let through, or None; its visitor is put beside it."""
    try:
        return _looked_at(request, body)
    except StoreError as error:
        if is_program(request.scope["path"]):
            return answer_to(by_store(error))
        return trouble(request, wording()("trouble.store", error=error), 503)


def _looked_at(request: Request, body: bytes) -> Response | None:
    request.state.visitor = None
    right = needed(request.method, request.scope["path"])
    if right == "nothing":
        return None
    visitor = _visitor(request)
    if visitor is None:
        return _who(request)
    request.state.visitor = visitor
    if is_foreign(request, body, visitor):
        return _no(request, visitor, "other-log-in", wording()("login.other"))
    if right != "log-in" and not visitor.may(right):
        return _no(request, visitor, "may-not", wording()("login.may-not", role=visitor.role))
    return None


def still_there(request: Request) -> bool:
    """Whether whoever was let in with a request would be let in now, with the same rights.

    Raises ``StoreError``.
    """
    return _visitor(request) == visitor_of(request)


def _visitor(request: Request) -> Visitor | None:
    """Return who asks: a program by its token, a person by a session, or whoever is here."""
    office: Office = request.app.state.office
    kind, _, secret = request.headers.get("authorization", "").partition(" ")
    if kind:
        token = tokens.token_of(office.store, secret.strip(), office.clock())
        if kind.lower() != "bearer" or token is None:
            _note_bad_token(request)
            return None
        return Visitor(token.name, token.role, "token", token=token.id)
    session = cookie(request, SESSION)
    account = None
    if session:
        person = request.headers.get("sec-fetch-dest") != BY_SCRIPT
        account = sessions.account_of(office.store, session, office.clock(), in_person=person)
    if account:
        return Visitor(account.name, account.role, "session", session)
    return None if office.needs_log_in() else LOCAL


def _who(request: Request) -> Response:
    """Answer somebody who is not known: to the log-in page, or 401 (RFC 6750, section 3)."""
    path, program = request.scope["path"], "authorization" in request.headers
    if request.method in HARMLESS and not program and not is_program(path):
        asked = f"{path}?{request.url.query}" if request.url.query else path
        query = f"?{urlencode({'next': asked})}" if asked != "/" else ""
        return RedirectResponse(str(request.url_for("login")) + query, 303)
    answer = _told(request, "no-log-in", wording()("login.nobody"))
    answer.headers["www-authenticate"] = 'Bearer error="invalid_token"' if program else "Bearer"
    return answer


def _no(request: Request, visitor: Visitor, kind: str, said: str) -> Response:
    """Answer somebody who is known and may not, and note it."""
    office: Office = request.app.state.office
    about = f"{request.method} {request.scope['path']}"
    office.note(visitor.name, "refused", about, address=address_of(request))
    return _told(request, kind, said)


def _told(request: Request, kind: str, said: str) -> Response:
    """Return why a request is refused: a page, or a problem for a program."""
    path = request.scope["path"]
    if is_program(path):
        return refusal(path, kind, said)
    return trouble(request, said, KINDS[kind].status)


def _note_bad_token(request: Request) -> None:
    """Note a token that is no good; not so often that a stranger could fill the disk."""
    office: Office = request.app.state.office
    address = address_of(request)
    most = {f"tokens {network_of(address)}": BAD_TOKENS}
    if not tries.counted(office.store, most, office.clock()):
        about = f"token, {request.method} {request.scope['path']}"
        trail.note(
            office.store, "(unknown token)", "refused", about, address=address, at=office.clock()
        )
