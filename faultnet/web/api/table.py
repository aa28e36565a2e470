"""Every call; the routes and the document are both made of it."""

import msgspec

from faultnet.web.api import advice, along, board, cases, events, systems, who
from faultnet.web.api.call import JSON, Call
from faultnet.web.api.problem import KINDS, RefusedError
from faultnet.web.office import Office


class KindAsked(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """Which kind of refusal."""

    kind: str


class KindTold(msgspec.Struct, frozen=True):
    """A kind of refusal: the status it comes with, and what it is called."""

    kind: str
    status: int
    title: str


def problem(_: Office, asked: KindAsked) -> KindTold:
    """Tell what a kind of refusal is: the `type` of a problem leads here."""
    if asked.kind not in KINDS:
        reason = f"There is no kind of refusal `{asked.kind[:40]}`."
        raise RefusedError("nothing-there", "path kind", reason, f"Known: {', '.join(KINDS)}.")
    return KindTold(asked.kind, KINDS[asked.kind].status, KINDS[asked.kind].title)


CALLS: tuple[Call, ...] = (
    *who.CALLS,
    *systems.CALLS,
    *advice.CALLS,
    *board.CALLS,
    *cases.CALLS,
    *along.CALLS,
    *events.CALLS,
    Call(
        "GET",
        "/problems/{kind}",
        "problem",
        KindAsked,
        problem,
        {JSON: KindTold},
        ("nothing-there",),
    ),
)

EVERY = (
    *("bad-parameter", "no-log-in", "may-not", "too-slow", "too-long", "other-host"),
    *("store", "fault"),
)
"""Refusals of every call."""

CHANGING = ("not-json", "other-log-in", "other-origin", "not-sent-as-json", "wrong-shape")
"""Refusals of every call that sends a body."""


def refusals(call: Call) -> tuple[str, ...]:
    """Return every kind of refusal that a call may come to."""
    changing = CHANGING if call.method == "POST" else ()
    return tuple(dict.fromkeys((*EVERY, *changing, *call.refuses)))
