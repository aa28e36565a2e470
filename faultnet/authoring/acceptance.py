"""Acceptance: warnings that an author accepts at an entry, each with a reason.

``accepted: {code: reason}`` may stand in every entry. The forms of entries never see it.
"""

from typing import TypeVar

import msgspec

from faultnet.authoring.code import CODES, NEVER_ACCEPTED, WARNINGS
from faultnet.authoring.kind import TEXT
from faultnet.authoring.nearest import did_you_mean
from faultnet.authoring.node import Entry, Mapping, Node, Scalar
from faultnet.authoring.problem import Problem, in_order, warning
from faultnet.authoring.schema.book import Book, Schema
from faultnet.authoring.scope import Scope
from faultnet.model.accepted import Accepted

N = TypeVar("N", bound=Node)

KEY = "accepted"
_SAYS = "Warnings of `lint` that do not apply to this entry, each with the reason in a sentence."
FEWEST_WORDS = 3
"""Words below which a reason says nothing."""


class Sifted(msgspec.Struct, frozen=True):
    """Problems that stand, and those that an author accepted, each with the reason."""

    problems: tuple[Problem, ...]
    accepted: tuple[tuple[Problem, Accepted], ...]


def without_accepted(node: N, scope: Scope) -> N:
    """Return an entry without what it accepts; that is noted in the scope."""
    if not isinstance(node, Mapping) or KEY not in node.entries:
        return node
    inner = node.entries[KEY].node
    if isinstance(inner, Mapping):
        for code, entry in inner.entries.items():
            _note(code, entry, scope)
    else:
        scope.wrong_type(inner, "codes with reasons", "Write {code: the reason in a sentence.}")
    rest = {key: entry for key, entry in node.entries.items() if key != KEY}
    return msgspec.structs.replace(node, entries=rest)


def accepted_schema(book: Book) -> Schema:
    """Return codes that can be accepted, each with a reason of a few words."""
    codes = [code for code in CODES if code in WARNINGS and code not in NEVER_ACCEPTED]
    reason = {"type": "string", "pattern": rf"^\s*\S+(\s+\S+){{{FEWEST_WORDS - 1},}}\s*$"}
    mapped = {
        "description": _SAYS,
        "type": "object",
        "propertyNames": {"enum": codes},
        "additionalProperties": reason,
    }
    return book.named("accepted", mapped)


def sift(problems: tuple[Problem, ...], accepted: tuple[Accepted, ...]) -> Sifted:
    """Part problems from accepted ones; what is accepted and not told of is told itself."""
    reasons = {(each.origin.file, each.entity, each.code): each for each in accepted}
    told = [(each, reasons.get((each.file, each.entity, each.code))) for each in problems]
    taken = tuple((each, by) for each, by in told if by)
    used = {by for _, by in taken}
    vain = (_in_vain(each) for each in accepted if each not in used)
    standing = (each for each, by in told if not by)
    return Sifted(in_order((*standing, *vain)), taken)


def _note(code: str, entry: Entry, scope: Scope) -> None:
    if code not in CODES:
        message = f"There is no code `{code[:40]}`."
        scope.tell("unknown-value", entry.origin, message, did_you_mean(code, WARNINGS))
    elif code not in WARNINGS or code in NEVER_ACCEPTED:
        why = NEVER_ACCEPTED.get(code, "it is an error")
        message = f"`{code}` cannot be accepted: {why}."
        scope.tell("not-acceptable", entry.origin, message, "Mend what it tells of.")
    elif not isinstance(entry.node, Scalar) or len(entry.node.text.split()) < FEWEST_WORDS:
        message = f"Nothing says why `{code}` does not apply here."
        hint = f"Write the reason in a sentence: at least {FEWEST_WORDS} words."
        scope.tell("accepted-without-reason", entry.origin, message, hint)
    else:
        reason = TEXT.read(entry.node, scope)
        scope.accepted.append(Accepted(scope.entity, code, reason, entry.origin))


def _in_vain(each: Accepted) -> Problem:
    message = f"`{each.code}` is accepted here, but nothing of the kind is told of this entry."
    hint = "Take the line away; what it excused is mended, or stands at another entry."
    return warning("accepted-in-vain", each.entity, each.origin, message, hint)
