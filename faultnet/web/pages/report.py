"""The service report of a case: to read, to print, to keep."""

from base64 import b64encode
from hashlib import sha256

from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from faultnet.report.document import Document
from faultnet.report.html import STYLE
from faultnet.report.written import written
from faultnet.web.office import NoSuchCaseError, Office
from faultnet.web.pages.paper import trouble
from faultnet.web.safe.guard import POLICY
from faultnet.web.wording import wording

KINDS = {"html": "text/html", "md": "text/markdown", "pdf": "application/pdf"}
"""The forms of a report, each with its media type."""

OWN_STYLE = f"'sha256-{b64encode(sha256(STYLE.encode()).digest()).decode()}'"
"""The style that stands in the report itself, so that it is whole when it is saved."""


def report(request: Request) -> Response:
    """Return the customer's copy in the form that the address ends with."""
    office: Office = request.app.state.office
    name, form = request.path_params["id"], request.path_params["form"]
    if form not in KINDS:
        return trouble(request, wording()("trouble.no-report"), 404)
    with office.thinking:
        try:
            document = office.report(name, "customer")
        except NoSuchCaseError:
            return trouble(request, wording()("trouble.no-case"), 404)
    return paper_of(document, form)


def paper_of(document: Document, form: str, size: str = "a4") -> Response:
    """Return a report in a form; ``size`` is that of the paper of a PDF."""
    headers = {"content-security-policy": POLICY.format(style=OWN_STYLE)}
    return Response(written(document, form, size), media_type=KINDS[form], headers=headers)


ROUTES = [Route("/cases/{id}/report.{form}", report, name="report")]
