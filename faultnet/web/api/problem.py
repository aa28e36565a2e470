"""Why a call is refused: place, reason and mend (problem details, RFC 9457)."""

from dataclasses import dataclass

import msgspec
from starlette.responses import Response

from faultnet.shapes.warnings import DangerShape

PREFIX = "/api/v1"
"""Where the API stands."""

MEDIA = "application/problem+json"


@dataclass(frozen=True)
class Kind:
    """A kind of refusal: the status of HTTP it comes with, and what it is called."""

    status: int
    title: str


KINDS = {
    "not-json": Kind(400, "The body is no JSON"),
    "bad-parameter": Kind(400, "The address has a parameter that is not understood"),
    "other-origin": Kind(403, "A page of another server asked for a change"),
    "nothing-there": Kind(404, "There is nothing at this address"),
    "no-such-system": Kind(404, "There is no such system"),
    "no-such-case": Kind(404, "There is no such case or site"),
    "not-done-here": Kind(405, "This address does not take that method"),
    "kept-otherwise": Kind(409, "An entry is kept already, with other content"),
    "deleted": Kind(409, "The case or site was deleted"),
    "other-knowledge": Kind(409, "The knowledge of this server does not hold the case's system"),
    "too-long": Kind(413, "The body is too large"),
    "not-sent-as-json": Kind(415, "The body is not sent as JSON"),
    "other-host": Kind(421, "The server answers on this machine only"),
    "wrong-shape": Kind(422, "The body does not have the shape that is asked for"),
    "unknown-name": Kind(422, "A name is not in the knowledge"),
    "unfit-evidence": Kind(422, "Something that was said cannot be taken"),
    "unfit-reading": Kind(422, "A reading cannot be used"),
    "unfit-entry": Kind(422, "An entry cannot be kept"),
    "too-large": Kind(422, "An exact answer would be too large"),
    "fault": Kind(500, "A fault of faultnet"),
    "store": Kind(503, "The store cannot be used"),
}
"""Every kind of refusal."""


class Problem(msgspec.Struct, frozen=True, omit_defaults=True):
    """Why there is no answer; ``place`` is where in the request, or the store.

    ``of`` and ``name`` come with an unknown name; ``cells``, ``limit``, ``leave_out`` and
    ``dangers`` with an answer that would be too large: dangers count all the same.
    """

    type: str
    title: str
    status: int
    detail: str
    kind: str
    place: str
    reason: str
    mend: str
    of: str | None = None
    name: str | None = None
    cells: int | None = None
    limit: int | None = None
    leave_out: tuple[str, ...] | None = None
    dangers: tuple[DangerShape, ...] | None = None


class RefusedError(Exception):
    """A call that is refused; ``more`` are further fields of the problem."""

    def __init__(self, kind: str, place: str, reason: str, mend: str = "", **more: object) -> None:
        kept = KINDS[kind]
        problem = Problem(
            type=f"{PREFIX}/problems/{kind}",
            title=kept.title,
            status=kept.status,
            detail=" ".join(filter(None, (reason, mend))),
            kind=kind,
            place=place,
            reason=reason,
            mend=mend,
        )
        self.problem = msgspec.structs.replace(problem, **more)
        super().__init__(self.problem.detail)


def answer_to(refused: RefusedError, headers: dict[str, str] | None = None) -> Response:
    """Return a refusal as an answer of HTTP."""
    body = msgspec.json.encode(refused.problem)
    return Response(body, refused.problem.status, headers, MEDIA)


GUARDED = {
    403: ("other-origin", "header Origin", "Ask from a page of this server, or from a program."),
    413: ("too-long", "body", "Send it in several parts."),
    421: ("other-host", "header Host", "Ask on the machine that it runs on."),
}
"""By the status of what the guard refuses: kind, place and mend."""


def guarded(status: int, reason: str) -> Response:
    """Return what the guard refused as an answer of HTTP."""
    kind, place, mend = GUARDED[status]
    return answer_to(
        RefusedError(kind, place, reason if reason.endswith(".") else f"{reason}.", mend)
    )
