"""The knowledge, to be read: systems, causes and all else, linked, each number with its source."""

from typing import Any

from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from faultnet.authoring.nearest import did_you_mean
from faultnet.handbook.entries.ground import sources_section, words_section
from faultnet.handbook.entry import section_of
from faultnet.web.office import Office
from faultnet.web.pages.paper import page, trouble
from faultnet.web.wording import wording
from faultnet.writing.document import Section
from faultnet.writing.html import block, section

LISTED = ("causes", "findings", "checks", "repairs", "procedures", "set-ups", "readings")
"""Kinds that have a list of their own."""

KINDS = ("systems", *LISTED, "layouts", "circumstances")
"""Kinds with a page for each entry, as they are called in addresses."""

LONGEST = 200
"""Letters of a search; more are left out."""


def home(request: Request) -> Response:
    """Show where to begin, or what was found for the words that were asked."""
    words = request.query_params.get("q", "").strip()[:LONGEST]
    found = _office(request).index.find(words) if words else []
    return _page(request, "home", {"words": words, "found": found, "listed": LISTED})


def entries(request: Request) -> Response:
    """Show all entries of a kind."""
    kind = request.path_params["kind"]
    if kind not in LISTED:
        return _missing(request, kind, LISTED)
    return _page(request, "list", {"kind": kind, "entries": _entries(request, kind)})


def entry(request: Request) -> Response:
    """Show one entry."""
    kind, name = request.path_params["kind"], request.path_params["id"]
    if kind not in KINDS:
        return _missing(request, kind, KINDS)
    held = _entries(request, kind)
    if name not in held:
        return _missing(request, name, tuple(held))
    told = section_of(_office(request).teller, held[name])
    fields = {"kind": kind, "entry": held[name], "told": _body(request, told)}
    return _page(request, "entry", fields)


def sources(request: Request) -> Response:
    """Show where numbers come from."""
    teller = _office(request).teller
    told, words = sources_section(teller), words_section(teller)
    body = Section(told.title, told.blocks, sections=(words, *told.sections))
    return _page(request, "sources", {"title": told.title, "told": _body(request, body)})


def _body(request: Request, told: Section) -> str:
    """Return a section as HTML, for a page that has its title already."""

    def place(name: str) -> str:
        kind, _, rest = name.partition("/")
        if kind == "sources":
            return f"{request.url_for('sources')}#{name}"
        entry, _, inside = rest.partition("/")
        address = str(request.url_for("entry", kind=kind, id=entry))
        return f"{address}#{name}" if inside else address

    blocks = [block(each, place) for each in told.blocks]
    return "\n".join([*blocks, *(section(each, 2, place) for each in told.sections)])


def _office(request: Request) -> Office:
    office: Office = request.app.state.office
    return office


def _entries(request: Request, kind: str) -> dict[str, Any]:
    held: dict[str, Any] = getattr(_office(request).knowledge, kind.replace("-", "_"))
    return held


def _page(request: Request, name: str, fields: dict[str, object]) -> Response:
    given = {"known": _office(request).knowledge}
    return page(request, f"knowledge/{name}.html", {**given, **fields})


def _missing(request: Request, name: str, known: tuple[str, ...]) -> Response:
    return trouble(request, wording()("trouble.no-entry", hint=did_you_mean(name, known)), 404)


ROUTES = [
    Route("/knowledge", home, name="knowledge"),
    Route("/knowledge/sources", sources, name="sources"),
    Route("/knowledge/{kind}", entries, name="entries"),
    Route("/knowledge/{kind}/{id}", entry, name="entry"),
]
