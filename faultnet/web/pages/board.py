"""The board: every open case."""

from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from faultnet.web.pages.paper import page
from faultnet.web.safe.visitor import office_of


def board(request: Request) -> Response:
    """Show the open cases."""
    office = office_of(request)
    titles = {system.id: system.title for system in office.knowledge.systems.values()}
    fields = {"cases": office.cases(ended=False), "titles": titles}
    return page(request, "board.html", fields)


ROUTES = [Route("/", board, name="board")]
