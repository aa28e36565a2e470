"""The application: what answers which address."""

from collections.abc import AsyncIterator
from contextlib import asynccontextmanager
from pathlib import Path

from starlette.applications import Starlette
from starlette.routing import BaseRoute, Mount
from starlette.staticfiles import StaticFiles

from faultnet.web.office import Office
from faultnet.web.settings import Settings

STATIC = Path(__file__).parent / "static"


def application(settings: Settings) -> Starlette:
    """Return the application; it opens the store when it starts and closes it when it ends."""

    @asynccontextmanager
    async def lifespan(app: Starlette) -> AsyncIterator[None]:
        app.state.office = office = Office(settings)
        try:
            yield
        finally:
            office.close()

    return Starlette(routes=_routes(), lifespan=lifespan)


def _routes() -> list[BaseRoute]:
    from faultnet.web.pages import board, case, opening, report

    return [
        *board.ROUTES,
        *opening.ROUTES,
        *report.ROUTES,
        *case.ROUTES,
        Mount("/static", StaticFiles(directory=STATIC), name="static"),
    ]
