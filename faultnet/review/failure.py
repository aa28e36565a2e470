"""A case that failed, in words: expected, came, which authored lines spoke for which cause."""

from collections.abc import Iterator, Sequence
from math import inf

import msgspec

from faultnet.advice.against import Against, Push
from faultnet.advice.prove import Miss, Proof

STRONGEST = 3
"""Pushes told for either cause."""


class Told(msgspec.Struct, frozen=True):
    """A line of text, how far it is indented, what stands before it, and what it is."""

    text: str
    indent: int = 0
    before: str = ""
    kind: str = "text"


def failure(proof: Proof) -> Iterator[Told]:
    """Yield the lines that tell of a failure; kinds are ``text``, ``head`` and ``aside``."""
    yield Told(f"{proof.case} fails", kind="head")
    yield Told(f"{proof.place}, {proof.system}", 2, kind="aside")
    yield Told(proof.reason, 2)
    yield from _misses(proof.misses)
    if proof.against is not None:
        yield from _sides(proof.against)
    if proof.top:
        yield Told("The likeliest causes:", 2)
    for cause in proof.top:
        yield Told(cause.id, 11, f"    {cause.probability:6.1%}", "aside")


def as_text(proof: Proof) -> str:
    """Return a failure as plain text."""
    return "\n".join(f"{told.before.ljust(told.indent)}{told.text}" for told in failure(proof))


def _misses(misses: Sequence[Miss]) -> Iterator[Told]:
    for miss in misses:
        yield Told(f"{miss.expectation}: expected {miss.expected}", 4, "  -")
        yield Told(f"came: {miss.came}", 4)


def _sides(against: Against) -> Iterator[Told]:
    came, wanted = against.one, against.other
    pushes = [push for push in against.pushes if push.factor >= 1.0][:STRONGEST]
    others = [push for push in against.pushes if push.factor < 1.0][:STRONGEST]
    for cause, rival, some in ((came, wanted, pushes), (wanted, came, others)):
        if some:
            yield Told(f"For {cause}, against {rival}:", 2)
        for push in some:
            yield from _push(push, rival)


def _push(push: Push, rival: str) -> Iterator[Told]:
    factor = push.factor if push.factor >= 1.0 else _inverse(push.factor)
    name = f"{push.about}={push.answer}" if push.answer else push.about
    told = f"rules out {rival}" if factor == inf else f"{factor:.1f} times"
    yield Told(f"{name}: {told}", 4, "  +")
    for line in push.lines:
        yield Told(line.text, 6)
        yield Told(line.place, 8, kind="aside")


def _inverse(factor: float) -> float:
    return 1.0 / factor if factor else inf
