"""Accounts, tokens and the trail, to look at; they are changed at the server."""

from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from faultnet.accounts import register, tokens, trail
from faultnet.accounts.role import MAY, RIGHTS, ROLES
from faultnet.cases.entry import time_text
from faultnet.web.office import Office
from faultnet.web.pages.paper import page


def accounts(request: Request) -> Response:
    """Show who may come in, what each role may do, and what was done of late."""
    office: Office = request.app.state.office
    now = time_text(office.clock())
    fields = {
        "accounts": register.accounts(office.store),
        "tokens": [(each, each.state(now)) for each in tokens.tokens(office.store)],
        "roles": [(role, [RIGHTS[r] for r in RIGHTS if r in MAY[role]]) for role in ROLES],
        "noted": trail.noted(office.store),
    }
    return page(request, "accounts.html", fields)


ROUTES = [Route("/accounts", accounts, name="accounts")]
