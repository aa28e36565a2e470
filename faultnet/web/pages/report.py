"""The service report of a case: to read, to print, to keep."""

from base64 import b64encode
from hashlib import sha256

from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from faultnet.web.office import NoSuchCaseError
from faultnet.web.pages.paper import trouble
from faultnet.web.safe.guard import POLICY
from faultnet.web.safe.visitor import note, office_of, thinking_of
from faultnet.web.wording import wording
from faultnet.writing.document import Document
from faultnet.writing.html import STYLE
from faultnet.writing.written import written

KINDS = {"html": "text/html", "md": "text/markdown", "pdf": "application/pdf"}
"""The forms of a report, each with its media type."""

OWN_STYLE = f"'sha256-{b64encode(sha256(STYLE.encode()).digest()).decode()}'"
"""The style that stands in the report itself, so that it is whole when it is saved."""


async def report(request: Request) -> Response:
    """Return the customer's copy in the form that the address ends with."""
    return await thinking_of(request).about(_report, request)


def _report(request: Request) -> Response:
    office = office_of(request)
    name, form = request.path_params["id"], request.path_params["form"]
    if form not in KINDS:
        return trouble(request, wording()("trouble.no-report"), 404)
    try:
        document = office.report(name, "customer")
    except NoSuchCaseError:
        return trouble(request, wording()("trouble.no-case"), 404)
    note(request, "case exported", name)
    return paper_of(document, form)


def paper_of(document: Document, form: str, size: str = "a4") -> Response:
    """Return a report in a form; ``size`` is that of the paper of a PDF."""
    headers = {"content-security-policy": POLICY.format(style=OWN_STYLE)}
    return Response(written(document, form, size), media_type=KINDS[form], headers=headers)


ROUTES = [Route("/cases/{id}/report.{form}", report, name="report")]
