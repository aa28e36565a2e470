"""The form of a reading."""

import itertools
import math

from faultnet.authoring.collection import MapOf
from faultnet.authoring.form import Form, Key
from faultnet.authoring.kind import TERM, TEXT
from faultnet.authoring.naming import Id, any_name
from faultnet.authoring.nearest import did_you_mean
from faultnet.authoring.node import Mapping, Node, Sequence
from faultnet.authoring.number import ANY_NUMBER, FACTOR
from faultnet.authoring.scope import Scope
from faultnet.model.origin import Number, Origin
from faultnet.model.reading import Reading, Span

FALL = "fall"
FALL_PARTS = ("start", "end")

_SPAN = Form(
    Span, {"over": Key(ANY_NUMBER, None), "under": Key(ANY_NUMBER, None)}, "{under: 2} or {over: 2}"
)


class SpansKind:
    """Answers to the range of the true value that means each."""

    stand_in: tuple[Span, ...] = ()

    def read(self, node: Node, scope: Scope) -> tuple[Span, ...]:
        """Return the ranges in their order."""
        if not isinstance(node, Mapping):
            scope.wrong_type(node, "answers with ranges", "Write {no: {under: 2}, yes: {over: 2}}.")
            return ()
        scope = scope.nearer(node)
        spans = [
            _SPAN.read(entry.node, scope, answer=answer)
            for answer, entry in node.entries.items()
            if answer != "from"
        ]
        return tuple(span for span in spans if span)


class PairKind:
    """The least and the greatest number that can be read."""

    @property
    def stand_in(self) -> tuple[Number, Number]:
        """No numbers."""
        return ANY_NUMBER.stand_in, ANY_NUMBER.stand_in

    def read(self, node: Node, scope: Scope) -> tuple[Number, Number]:
        """Return least and greatest."""
        if not isinstance(node, Sequence) or len(node.items) != 2:
            scope.wrong_type(node, "the least and the greatest number", "Write [0, 150].")
            return self.stand_in
        low, high = (ANY_NUMBER.read(item, scope) for item in node.items)
        if low.value >= high.value:
            scope.tell(
                "number-out-of-range",
                node.origin,
                "The least is not below the greatest.",
                "Put the least number first.",
            )
        return low, high


_READING = Form(
    Reading,
    {
        "title": Key(TEXT),
        "finding": Key(Id("finding")),
        "takes": Key(MapOf(any_name, TERM)),
        "value": Key(TERM),
        "accuracy": Key(FACTOR),
        "answers": Key(SpansKind()),
        "at-least": Key(MapOf(any_name, ANY_NUMBER), {}),
        "possible": Key(MapOf(any_name, PairKind()), {}),
        "note": Key(TEXT, ""),
    },
)


def read_reading(name: str, part: str, origin: Origin, node: Node, scope: Scope) -> Reading | None:
    """Return a reading; its parts and answers must fit each other and the finding."""
    reading = _READING.read(node, scope, id=name, part=part, origin=origin)
    if reading and isinstance(node, Mapping):
        _check_parts(reading, node, scope)
        _check_spans(reading, node, scope)
    return reading


def _check_parts(reading: Reading, node: Mapping, scope: Scope) -> None:
    needed = FALL_PARTS if reading.value == FALL else (reading.value,)
    for part in (*needed, *reading.at_least, *reading.possible):
        if reading.takes and part and part not in reading.takes:
            key = next(k for k in ("value", "at-least", "possible") if _mentions(node, k, part))
            message = f"The reading takes no `{part[:40]}`."
            hint = did_you_mean(part, (*reading.takes, FALL))
            scope.tell("unknown-value", node.entries[key].origin, message, hint)


def _mentions(node: Mapping, key: str, part: str) -> bool:
    entry = node.entries.get(key)
    if entry is None:
        return False
    return part in entry.node.entries if isinstance(entry.node, Mapping) else True


def _check_spans(reading: Reading, node: Mapping, scope: Scope) -> None:
    known = scope.names.answers.get(reading.finding, ())
    if not known or "answers" not in node.entries:
        return
    origin = node.entries["answers"].origin
    named = {span.answer for span in reading.answers}
    for answer in sorted(named ^ set(known)):
        reason = "is no answer of" if answer in named else "is missing, an answer of"
        message = f"`{answer[:40]}` {reason} `{reading.finding}`."
        scope.tell("unknown-value", origin, message, f"Its answers are {', '.join(known)}.")
    if not _cover(reading.answers):
        message = "The ranges leave a gap, overlap, or do not go on without end on both sides."
        hint = "Write {no: {under: 2}, yes: {over: 2}}, each range starting where another ends."
        scope.tell("number-out-of-range", origin, message, hint)


def _cover(spans: tuple[Span, ...]) -> bool:
    """Tell whether ranges cover the whole line once; a range may be without an end."""
    ends = sorted(
        (
            -math.inf if span.over is None else span.over.value,
            math.inf if span.under is None else span.under.value,
        )
        for span in spans
    )
    if any(math.isnan(end) for pair in ends for end in pair):
        return True
    joined = all(a[1] == b[0] for a, b in itertools.pairwise(ends))
    return bool(ends) and joined and ends[0][0] == -math.inf and ends[-1][1] == math.inf
