"""A new case: which system stands there, and whether somebody is at the pump."""

from starlette.concurrency import run_in_threadpool
from starlette.datastructures import FormData
from starlette.requests import Request
from starlette.responses import RedirectResponse, Response
from starlette.routing import Route

from faultnet.cases.events import Opened, Speaker
from faultnet.web.office import Office
from faultnet.web.pages.paper import page, trouble
from faultnet.web.pages.who import remember, writer_of
from faultnet.web.wording import wording


def ask(request: Request) -> Response:
    """Ask what stands there."""
    office: Office = request.app.state.office
    systems = office.knowledge.systems.values()
    return remember(request, page(request, "opening.html", {"systems": systems}))


async def begin(request: Request) -> Response:
    """Begin the case and lead to it."""
    async with request.form() as form:
        return await run_in_threadpool(_begun, request, form)


def _begun(request: Request, form: FormData) -> Response:
    office: Office = request.app.state.office
    system = str(form.get("system", ""))
    if system not in office.knowledge.systems:
        return trouble(request, wording()("trouble.no-system"), 400)
    speaker: Speaker = "caller" if form.get("speaker") == "caller" else "technician"
    # Whoever is at the pump does the work: by phone that is the caller, who gets no other steps.
    opened = Opened(system, speaker, speaker, knowledge=office.knowledge.version)
    case = office.begin(opened, writer_of(request))
    return remember(request, RedirectResponse(request.url_for("case", id=case), 303))


ROUTES = [
    Route("/new", ask, name="new"),
    Route("/new", begin, methods=["POST"], name="begin"),
]
