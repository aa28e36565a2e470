"""The board: every open case."""

from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from faultnet.cases.store.listing import cases
from faultnet.web.office import Office
from faultnet.web.pages.paper import page


def board(request: Request) -> Response:
    """Show the open cases."""
    office: Office = request.app.state.office
    titles = {system.id: system.title for system in office.knowledge.systems.values()}
    fields = {"cases": cases(office.store, ended=False), "titles": titles}
    return page(request, "board.html", fields)


ROUTES = [Route("/", board, name="board")]
