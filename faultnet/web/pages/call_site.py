"""The site of a call, found among those that are known by part of its name or address."""

from starlette.concurrency import run_in_threadpool
from starlette.datastructures import FormData
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from faultnet.cases.events import AtSite, Named, Told
from faultnet.cases.site import Site
from faultnet.cases.store.trouble import OvertakenError
from faultnet.visit.visit import Visit
from faultnet.web.office import Office
from faultnet.web.pages.call import CALL
from faultnet.web.pages.case import LATE, keep, to_page
from faultnet.web.pages.paper import page, trouble
from faultnet.web.sites import LONGEST, known_site, sites_like
from faultnet.web.wording import wording


def ask(request: Request) -> Response:
    """Show the sites that are like what was typed."""
    words = request.query_params.get("q", "").strip()[:LONGEST]
    office, call, _ = CALL.read(request)
    fields = {
        "call": call,
        "last": call.entries[-1].id,
        "words": words,
        "sites": sites_like(office, words, call.at.case.system),
    }
    return page(request, "call_site.html", fields)


async def choose(request: Request) -> Response:
    """Take the site that was chosen, then lead back to the call."""
    async with request.form() as form:
        return await run_in_threadpool(_chosen, request, form)


def _chosen(request: Request, form: FormData) -> Response:
    office, call, place = CALL.read(request)
    site = known_site(office, str(form.get("site", "")))
    if site is None or site.system != call.at.case.system:
        return trouble(request, wording()("trouble.no-site"), 400)
    if form.get("last") != call.entries[-1].id:
        return to_page(request, call, CALL, LATE)
    try:
        _keep(office, call, site, place)
    except OvertakenError:
        return to_page(request, call, CALL, LATE)
    return to_page(request, call, CALL, {})


def _keep(office: Office, call: Visit, site: Site, place: int) -> None:
    """Keep the site, and what is known of it that was not told in the call itself."""
    told, sheet = call.at.evidence.layout, call.at.call_sheet
    known = {"name": site.name, "address": site.address, "call-back": site.contact}
    left = {field: "" if sheet.get(field) else text for field, text in known.items()}
    before = keep(office, call, CALL, AtSite(site.id), place)
    after = before.after(Named(left["name"], left["address"], left["call-back"]))
    for about, value in site.layout.items():
        if about not in told:
            after = after.after(Told(about, value))
    office.keep(before, after)


ROUTES = [
    Route("/calls/{id}/site", ask, name="call-site"),
    Route("/calls/{id}/site", choose, methods=["POST"], name="call-site-chosen"),
]
"""The page that finds a site."""
