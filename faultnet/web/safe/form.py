"""Forms are bound to the session of the page that they stand on."""

from urllib.parse import parse_qs

from starlette.requests import Request

from faultnet.accounts.secret import is_form_token
from faultnet.web.safe.body import KINDS, kind_of
from faultnet.web.safe.guard import HARMLESS
from faultnet.web.safe.visitor import Visitor

FIELD = "form_token"
"""The field of a form that carries the token of its session."""

HEADER = "x-form-token"
"""The header that may carry it instead."""


def is_foreign(request: Request, body: bytes, visitor: Visitor) -> bool:
    """Whether a change was not sent by a form of the visitor's own session.

    A program with a token needs none: no browser sends that along by itself.
    """
    if not visitor.secret or request.method in HARMLESS:
        return False
    return not is_form_token(visitor.secret, _given(request, body))


def _given(request: Request, body: bytes) -> str:
    given = request.headers.get(HEADER, "")
    if given or kind_of(request.headers.get("content-type", "")) != KINDS[0]:
        return given
    try:
        fields = parse_qs(body.decode("ascii", "replace"), max_num_fields=1000)
    except ValueError:
        return ""
    return fields.get(FIELD, [""])[-1]
