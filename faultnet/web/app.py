"""The application: what answers which address."""

from collections.abc import AsyncIterator
from contextlib import asynccontextmanager
from pathlib import Path

from starlette.applications import Starlette
from starlette.middleware import Middleware
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import BaseRoute, Mount
from starlette.staticfiles import StaticFiles

from faultnet.advice.subject import UnknownNameError
from faultnet.authoring.problem import KnowledgeError
from faultnet.cases.store.trouble import StoreError
from faultnet.web.office import NoSuchCaseError, Office
from faultnet.web.pages.paper import trouble
from faultnet.web.safe.gate import Gate
from faultnet.web.safe.guard import Guard
from faultnet.web.settings import Settings
from faultnet.web.watch import Watch
from faultnet.web.wording import wording

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

    refusals = {
        404: _nothing_there,
        StoreError: _store_trouble,
        UnknownNameError: _unknown,
        KnowledgeError: _unfit_file,
        NoSuchCaseError: _no_case,
    }
    app = Starlette(
        routes=_routes(),
        lifespan=lifespan,
        exception_handlers=refusals,
        middleware=[Middleware(Guard, reach=settings.reach), Middleware(Gate)],
    )
    app.state.watch = Watch()
    return app


def _nothing_there(request: Request, _: Exception) -> Response:
    return trouble(request, wording()("trouble.nowhere"), 404)


def _no_case(request: Request, _: Exception) -> Response:
    return trouble(request, wording()("trouble.no-case"), 404)


def _store_trouble(request: Request, error: Exception) -> Response:
    return trouble(request, wording()("trouble.store", error=error), 503)


def _unknown(request: Request, error: Exception) -> Response:
    return trouble(request, wording()("trouble.unknown", error=error), 409)


def _unfit_file(request: Request, error: Exception) -> Response:
    problems = error.problems if isinstance(error, KnowledgeError) else ()
    told = "; ".join(f"{p.file}, line {p.line}: {p.message} {p.hint}" for p in problems)
    return trouble(request, wording()("trouble.file", error=told), 503)


def _routes() -> list[BaseRoute]:
    from faultnet.web.api.answering import api
    from faultnet.web.pages import (
        accounts,
        board,
        call,
        call_outcome,
        call_site,
        case,
        entrance,
        knowledge,
        live,
        opening,
        pocket,
        report,
    )

    return [
        *board.ROUTES,
        *opening.ROUTES,
        *pocket.ROUTES,
        *report.ROUTES,
        *case.ROUTES,
        *call_outcome.ROUTES,
        *call_site.ROUTES,
        *call.ROUTES,
        *live.ROUTES,
        *knowledge.ROUTES,
        *entrance.ROUTES,
        *accounts.ROUTES,
        api(),
        Mount("/static", StaticFiles(directory=STATIC), name="static"),
    ]
