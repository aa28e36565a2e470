"""The form of a file that says which closed cases numbers were learnt from."""

import hashlib
from collections.abc import Iterable

import msgspec

from faultnet.authoring.collection import TERMS, ListOf
from faultnet.authoring.form import Form, Key
from faultnet.authoring.kind import TERM
from faultnet.authoring.naming import Id
from faultnet.authoring.node import Mapping
from faultnet.authoring.number import AMOUNT
from faultnet.authoring.scope import Scope
from faultnet.model.learnt import Learnt, LearntNumber
from faultnet.model.origin import Number, Origin

_NUMBER = Form(
    dict[str, object],
    {
        "number": Key(TERM, says="Which number, as `faultnet learn` names it."),
        "was": Key(AMOUNT, says="The number before."),
        "is": Key(AMOUNT, attribute="value", says="The number that was accepted."),
        "low": Key(AMOUNT, says="The lower end of the range that the cases leave."),
        "high": Key(AMOUNT, says="The upper end of that range."),
        "prior": Key(AMOUNT, says="How many cases the number before counted for."),
        "for": Key(AMOUNT, attribute="speak_for", says="Cases that speak for it, also by halves."),
        "against": Key(AMOUNT, says="Cases that speak against it, also by halves."),
        "cases": Key(TERMS, (), says="Some of these cases."),
    },
)


class _Written(msgspec.Struct, frozen=True):
    """The file as written."""

    id: str
    system: str
    since: str
    until: str
    count: Number
    digest: str
    knowledge: str
    method: str
    cases: tuple[str, ...]
    numbers: tuple[dict[str, object], ...]
    origin: Origin


LEARNT = Form(
    _Written,
    {
        "learnt": Key(
            Id("source"),
            attribute="id",
            says="The id of the source in sources.yaml that the numbers name; the file is "
            "called so too.",
        ),
        "system": Key(Id("system"), says="The system that the cases are about."),
        "since": Key(TERM, says="The day on which the first of the cases was closed."),
        "until": Key(TERM, says="The day on which the last of the cases was closed."),
        "knowledge": Key(TERM, says="The version of the knowledge that was learnt with."),
        "method": Key(TERM, says="How the numbers were worked out."),
        "count": Key(AMOUNT, says="How many cases were learnt from."),
        "digest": Key(TERM, says="What the ids of these cases come to (SHA-256)."),
        "numbers": Key(ListOf(_NUMBER, distinct=False), says="The numbers that were accepted."),
        "cases": Key(TERMS, (), says="The ids of all these cases, where they are not too many."),
    },
)


def digest_of(cases: Iterable[str]) -> str:
    """Return what the ids of cases come to, in whatever order they stand (SHA-256)."""
    return hashlib.sha256("\n".join(sorted(cases)).encode("utf-8", "replace")).hexdigest()


def read_learnt(node: Mapping, stem: str, scope: Scope) -> Learnt | None:
    """Return what was learnt from which cases; the list of them must be the one counted."""
    own = msgspec.structs.replace(scope, provenance=(stem,))
    written = LEARNT.read(node, own, origin=node.origin)
    if written is None:
        return None
    if written.id and written.id != stem:
        place = node.entries["learnt"].node.origin
        message = f"It is `{written.id[:40]}`, but the file is {stem}.yaml."
        scope.tell("id-not-file-name", place, message, "Give both the same name.")
    _as_listed(written, node, scope)
    return Learnt(
        written.id,
        written.system,
        written.since,
        written.until,
        _whole(written.count),
        written.digest,
        written.knowledge,
        written.method,
        tuple(map(_number, written.numbers)),
        node.origin,
    )


def _as_listed(written: _Written, node: Mapping, scope: Scope) -> None:
    """Tell where the cases that are listed are not those that were learnt from."""
    cases, place = written.cases, node.entries.get("cases")
    if place is None or not {"count", "digest"} <= node.entries.keys():
        return
    if len(cases) != written.count.value:
        message = f"{len(cases)} cases are listed, but {written.count.value:g} were learnt from."
    elif digest_of(cases) != written.digest:
        message = "The cases that are listed are not those that were learnt from."
    else:
        return
    hint = "Take the file out of the backup again; nobody changes it by hand."
    scope.tell("learnt-not-as-listed", place.origin, message, hint)


def _whole(number: Number) -> int:
    return round(number.value) if number.value == number.value else 0


def _number(read: dict[str, object]) -> LearntNumber:
    plain = {k: v.value if isinstance(v, Number) else v for k, v in read.items()}
    return msgspec.convert(plain, LearntNumber)
