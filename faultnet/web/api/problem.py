"""Why a call is refused: place, reason and mend (problem details, RFC 9457)."""

from dataclasses import dataclass

import msgspec
from starlette.responses import Response

from faultnet.cases.store.trouble import DeletedError, KeptOtherwiseError, StoreError
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
    "no-log-in": Kind(401, "Nobody is logged in, and no token that is good was sent"),
    "may-not": Kind(403, "The role may not do this"),
    "other-log-in": Kind(403, "The form belongs to another log-in"),
    "other-origin": Kind(403, "A page of another server asked for a change"),
    "nothing-there": Kind(404, "There is nothing at this address"),
    "no-such-system": Kind(404, "There is no such system"),
    "no-such-case": Kind(404, "There is no such case or site"),
    "not-done-here": Kind(405, "This address does not take that method"),
    "too-slow": Kind(408, "The body does not come"),
    "kept-otherwise": Kind(409, "An entry is kept already, with other content"),
    "deleted": Kind(409, "The case or site was deleted"),
    "other-knowledge": Kind(409, "The knowledge of this server does not hold the case's system"),
    "too-long": Kind(413, "The body is too large"),
    "not-sent-as-json": Kind(415, "The body is not sent as JSON"),
    "other-host": Kind(421, "The server has another name"),
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


def by_store(error: StoreError) -> RefusedError:
    """Return what the store said as a refusal."""
    kinds = {KeptOtherwiseError: "kept-otherwise", DeletedError: "deleted"}
    kind = kinds.get(type(error), "store")
    place = "store" if kind == "store" else "$.entries"
    mend = error.mend or ("Try again." if kind == "store" else "Nothing was kept.")
    return RefusedError(kind, place, f"{error.reason[:1].upper()}{error.reason[1:]}.", mend)
