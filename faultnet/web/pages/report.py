"""The service report of a case: to read, to print, to keep."""

from base64 import b64encode
from collections.abc import Callable
from hashlib import sha256

from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from faultnet.report.document import Document
from faultnet.report.html import STYLE, html
from faultnet.report.markdown import markdown
from faultnet.report.pdf import pdf
from faultnet.report.report import service_report
from faultnet.web.office import NoSuchCaseError, Office
from faultnet.web.pages.paper import trouble
from faultnet.web.pages.who import writer_of
from faultnet.web.safe.guard import POLICY

FORMS: dict[str, tuple[str, Callable[[Document], str | bytes]]] = {
    "html": ("text/html", html),
    "md": ("text/markdown", markdown),
    "pdf": ("application/pdf", pdf),
}

OWN_STYLE = f"'sha256-{b64encode(sha256(STYLE.encode()).digest()).decode()}'"
"""The style that stands in the report itself, so that it is whole when it is saved."""


def report(request: Request) -> Response:
    """Return the customer's copy in the form that the address ends with."""
    office: Office = request.app.state.office
    name, form = request.path_params["id"], request.path_params["form"]
    if form not in FORMS:
        return trouble(request, "A report is html, md or pdf.", 404)
    with office.thinking:
        try:
            visit = office.visit(name, writer_of(request))
        except NoSuchCaseError:
            return trouble(request, "There is no such case here.", 404)
        document = service_report(visit.talk.subject, visit.entries, office.site(visit), "customer")
    kind, write = FORMS[form]
    headers = {"content-security-policy": POLICY.format(style=OWN_STYLE)}
    return Response(write(document), media_type=kind, headers=headers)


ROUTES = [Route("/cases/{id}/report.{form}", report, name="report")]
