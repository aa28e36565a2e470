"""The knowledge, to be read: systems, causes and all else, linked, each number with its source."""

from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from faultnet.authoring.nearest import did_you_mean
from faultnet.web.office import Office
from faultnet.web.pages.paper import page, trouble
from faultnet.web.wording import wording

LISTED = ("causes", "findings", "checks", "repairs", "procedures", "set-ups", "readings")
"""Kinds that have a list of their own."""

KINDS = ("systems", *LISTED, "layouts", "circumstances")
"""Kinds with a page for each entry, as they are called in addresses."""

TEMPLATES = {
    "systems": "system",
    "causes": "cause",
    "findings": "finding",
    "checks": "work",
    "repairs": "work",
    "procedures": "procedure",
    "set-ups": "set_up",
    "readings": "reading",
    "layouts": "root",
    "circumstances": "root",
}

LONGEST = 200
"""Letters of a search; more are left out."""


def home(request: Request) -> Response:
    """Show where to begin, or what was found for the words that were asked."""
    words = request.query_params.get("q", "").strip()[:LONGEST]
    office: Office = request.app.state.office
    found = office.index.find(words) if words else []
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
    return _page(request, TEMPLATES[kind], {"kind": kind, "entry": held[name]})


def sources(request: Request) -> Response:
    """Show where numbers come from."""
    return _page(request, "sources", {})


def _entries(request: Request, kind: str) -> dict[str, object]:
    office: Office = request.app.state.office
    held: dict[str, object] = getattr(office.knowledge, kind.replace("-", "_"))
    return held


def _page(request: Request, name: str, fields: dict[str, object]) -> Response:
    office: Office = request.app.state.office
    given = {"known": office.knowledge, "by": office.named_by, "causes_of": office.causes_of}
    return page(request, f"knowledge/{name}.html", {**given, **fields})


def _missing(request: Request, name: str, known: tuple[str, ...]) -> Response:
    return trouble(request, wording()("trouble.no-entry", hint=did_you_mean(name, known)), 404)


ROUTES = [
    Route("/knowledge", home, name="knowledge"),
    Route("/knowledge/sources", sources, name="sources"),
    Route("/knowledge/{kind}", entries, name="entries"),
    Route("/knowledge/{kind}/{id}", entry, name="entry"),
]
