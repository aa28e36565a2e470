"""The board: every open case, whoever has to be gone to first at the top."""

from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from faultnet.web.open_cases import open_cases
from faultnet.web.pages.paper import page
from faultnet.web.safe.visitor import office_of


def board(request: Request) -> Response:
    """Show the open cases; nothing is ranked, so nobody waits for it."""
    office = office_of(request)
    titles = {system.id: system.title for system in office.knowledge.systems.values()}
    fields = {"cases": open_cases(office), "titles": titles, "now": office.clock()}
    fields["pocket"] = office.cellar.is_offered
    return page(request, "board.html", fields)


ROUTES = [Route("/", board, name="board")]
