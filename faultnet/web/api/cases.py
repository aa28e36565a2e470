"""Calls about cases: which there are, where one stands, its report."""

from collections.abc import Iterator
from contextlib import contextmanager
from typing import Annotated, Literal

import msgspec
from starlette.responses import Response

from faultnet.advice.subject import UnknownNameError
from faultnet.authoring.nearest import did_you_mean
from faultnet.cases.events import ENDS
from faultnet.cases.fold import fold
from faultnet.report.words import Audience
from faultnet.shapes.cases import CaseLogShape, ListedShape, case_log_shape, listed_shape
from faultnet.shapes.report import ReportShape, report_shape
from faultnet.web.api.call import JSON, Call
from faultnet.web.api.problem import PREFIX, RefusedError
from faultnet.web.office import NoSuchCaseError, Office
from faultnet.web.pages.report import KINDS, paper_of

MOST = 1000
"""Cases listed at once."""

FARTHEST = 2**31 - 1
"""No count goes beyond it."""

ABOUT_A_CASE = ("no-such-case", "other-knowledge", "store")


class CasesAsked(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """Which cases: open ones by default; with ``ended`` those that were closed this way.

    ``author`` is how the name begins of whoever wrote last.
    """

    state: Literal["open", "closed", "all"] = "open"
    ended: str = ""
    site: str = ""
    system: str = ""
    author: str = ""
    skip: Annotated[int, msgspec.Meta(ge=0, le=FARTHEST)] = 0
    limit: Annotated[int, msgspec.Meta(ge=1, le=MOST)] = 200


class CaseAsked(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """Which case, by its whole id."""

    id: str


class ReportAsked(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """Which report: whose copy, in which format; ``paper`` is that of a PDF."""

    id: str
    format: Literal["json", "md", "html", "pdf"] = "json"
    for_: Audience = msgspec.field(name="for", default="customer")
    paper: Literal["a4", "letter"] = "a4"


class Cases(msgspec.Struct, frozen=True):
    """Cases, the last touched first; ``more`` says whether others follow."""

    cases: tuple[ListedShape, ...]
    more: bool


def cases(office: Office, asked: CasesAsked) -> Cases:
    """List cases, the last touched first.

    `events` counts what is kept of a case: more than the cursor of your last GET /events
    means that there is something new in it.
    """
    if asked.ended and asked.ended not in ENDS:
        hint = did_you_mean(asked.ended, ENDS) or f"Known: {', '.join(ENDS)}."
        reason = f"No case ends as `{asked.ended[:40]}`."
        raise RefusedError("bad-parameter", "query ended", reason, hint)
    states: dict[str, bool | None] = {"open": False, "closed": True, "all": None}
    found = office.cases(
        ended=asked.ended or states[asked.state],
        site=asked.site,
        system=asked.system,
        author=asked.author,
    )
    last = asked.skip + asked.limit
    return Cases(tuple(map(listed_shape, found[asked.skip : last])), len(found) > last)


def case(office: Office, asked: CaseAsked) -> CaseLogShape:
    """Tell where a case stands, with all of its events in order."""
    with about_a_case(asked.id):
        subject, log = office.kept(asked.id)
        return case_log_shape(fold(subject, log.entries), log)


def report(office: Office, asked: ReportAsked) -> ReportShape | Response:
    """Write the service report of a case.

    The customer's copy has plain words and neither ids nor probabilities; that of the
    office has them, with notes and rankings.
    """
    with about_a_case(asked.id):
        document = office.report(asked.id, asked.for_)
    if asked.format == "json":
        return report_shape(asked.id, document)
    return paper_of(document, asked.format, asked.paper)


@contextmanager
def about_a_case(name: str) -> Iterator[None]:
    """Refuse a case that is not kept, or whose system the knowledge does not hold."""
    try:
        yield
    except NoSuchCaseError:
        raise no_such_case(name) from None
    except UnknownNameError as error:
        reason = f"It is about the system `{error.name[:80]}`, which this server does not know."
        if not error.name:
            reason = "How it was opened has not arrived."
        mend = f"Its events can be had all the same: {PREFIX}/events?log={name[:80]}"
        raise RefusedError("other-knowledge", "path id", reason, mend) from None


def no_such_case(name: str) -> RefusedError:
    """Return the refusal of a case that is not kept."""
    mend = f"{PREFIX}/cases?state=all lists them."
    return RefusedError("no-such-case", "path id", f"There is no case `{name[:80]}`.", mend)


CALLS = (
    Call("GET", "/cases", "cases", CasesAsked, cases, {JSON: Cases}, ("store",)),
    Call("GET", "/cases/{id}", "case", CaseAsked, case, {JSON: CaseLogShape}, ABOUT_A_CASE),
    Call(
        "GET",
        "/cases/{id}/report",
        "report",
        ReportAsked,
        report,
        {JSON: ReportShape, **dict.fromkeys(KINDS.values())},
        ABOUT_A_CASE,
        thinks=True,
    ),
)
