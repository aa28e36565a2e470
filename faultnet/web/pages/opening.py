"""A new case: which system stands there or at which known site, by phone or at the pump."""

from starlette.concurrency import run_in_threadpool
from starlette.datastructures import FormData
from starlette.requests import Request
from starlette.responses import RedirectResponse, Response
from starlette.routing import Route

from faultnet.cases.events import Opened, Speaker
from faultnet.cases.site import begun_at
from faultnet.web.office import Office
from faultnet.web.pages.paper import page, trouble
from faultnet.web.pages.who import remember, writer_of
from faultnet.web.sites import LONGEST, known_site, sites_like
from faultnet.web.wording import wording

PHONE = "phone"
"""How an address asks for a new call."""


def ask(request: Request) -> Response:
    """Ask what stands there, or where."""
    office: Office = request.app.state.office
    words = request.query_params.get("q", "").strip()[:LONGEST]
    fields = {
        "systems": office.knowledge.systems.values(),
        "by_phone": request.query_params.get("by") == PHONE,
        "words": words,
        "sites": sites_like(office, words),
    }
    return remember(request, page(request, "opening.html", fields))


async def begin(request: Request) -> Response:
    """Begin the case and lead to it."""
    async with request.form() as form:
        return await run_in_threadpool(_begun, request, form)


def _begun(request: Request, form: FormData) -> Response:
    office: Office = request.app.state.office
    speaker: Speaker = "caller" if form.get("speaker") == "caller" else "technician"
    # Whoever is at the pump does the work: by phone that is the caller, who gets no other steps.
    name, system = str(form.get("site", "")), str(form.get("system", ""))
    version = office.knowledge.version
    opened = Opened("" if name else system, speaker, speaker, knowledge=version)
    if name:
        site = known_site(office, name)
        if site is None:
            return trouble(request, wording()("trouble.no-site"), 400)
        opened = begun_at(site, opened)
    if opened.system not in office.knowledge.systems:
        return trouble(request, wording()("trouble.no-system"), 400)
    case = office.begin(opened, writer_of(request))
    place = request.url_for("call" if speaker == "caller" else "case", id=case)
    return remember(request, RedirectResponse(place, 303))


ROUTES = [
    Route("/new", ask, name="new"),
    Route("/new", begin, methods=["POST"], name="begin"),
]
