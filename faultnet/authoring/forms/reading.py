"""The form of a reading."""

import itertools
import math

import msgspec

from faultnet.authoring.collection import TERMS, ListOf, MapOf
from faultnet.authoring.form import Form, Key
from faultnet.authoring.forms.fitting import fitting
from faultnet.authoring.forms.instrument import AccuracyKind, PairKind, UnknownKind
from faultnet.authoring.kind import TERM, TEXT
from faultnet.authoring.naming import NAME, Id
from faultnet.authoring.node import Mapping, Node
from faultnet.authoring.number import ANY_NUMBER
from faultnet.authoring.schema.book import Book, Schema
from faultnet.authoring.scope import Scope
from faultnet.model.origin import Origin
from faultnet.model.reading import FALL, FALL_PARTS, NONE, Reading, Span
from faultnet.reckon.worked import COMPUTATIONS

_SPAN = Form(
    Span,
    {
        "over": Key(ANY_NUMBER, None, says="The range begins above this number."),
        "under": Key(ANY_NUMBER, None, says="The range ends below this number."),
    },
    "{under: 2} or {over: 2}",
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

    def schema(self, book: Book) -> Schema:
        """Return answers with ranges."""
        return book.by_name(_SPAN.schema(book))


_ACCURACY = AccuracyKind()

READING = Form(
    Reading,
    {
        "title": Key(TEXT, says="What people read: which instrument is read, and how."),
        "finding": Key(
            ListOf(Id("finding")),
            attribute="findings",
            says="The finding it tells of, or several of which one hides the others.",
        ),
        "takes": Key(MapOf(NAME, TERM), says="The parts that are read, each with its unit."),
        "value": Key(
            TERM,
            says="What counts: a part, fall (start less end), or a computation of "
            "docs/readings.md.",
        ),
        "accuracy": Key(
            _ACCURACY,
            None,
            says="Accuracy of the value, two standard deviations: a number, {percent: 2}, or "
            "{grade: B, full-scale: 100}.",
        ),
        "accuracy-of": Key(MapOf(NAME, _ACCURACY), {}, says="Accuracy of single parts."),
        "unknown": Key(
            MapOf(NAME, UnknownKind()),
            {},
            says="What holds of a part that was not read: a number, [least, greatest], or a "
            "layout.",
        ),
        "optional": Key(TERMS, (), says="Parts that may be left out."),
        "of-site": Key(
            TERMS, (), says="Parts for which a setting of the site of the same name may stand."
        ),
        "shows": Key(
            TERMS, (), says="Computations that are told beside the value and are no evidence."
        ),
        "answers": Key(
            SpansKind(),
            says="The range of the value that means each answer; together they leave no gap.",
        ),
        "at-least": Key(
            MapOf(NAME, ANY_NUMBER),
            {},
            says="Parts with a least number below which the reading says nothing.",
        ),
        "possible": Key(
            MapOf(NAME, PairKind()),
            {},
            says="Parts with the least and the greatest number that can be.",
        ),
        "note": Key(TEXT, "", says="A remark for whoever reads it."),
    },
    "a mapping with title, finding, takes",
    either=("accuracy", "accuracy-of"),
)


def read_reading(name: str, part: str, origin: Origin, node: Node, scope: Scope) -> Reading | None:
    """Return a reading; its parts and answers must fit each other and its findings."""
    reading = READING.read(node, scope, id=name, part=part, origin=origin)
    if reading is None or not isinstance(node, Mapping):
        return reading
    fitting(reading, node, scope)
    _check_spans(reading, node, scope)
    return msgspec.structs.replace(reading, unit=_unit(reading))


def _unit(reading: Reading) -> str:
    """The unit of the value."""
    if reading.value in COMPUTATIONS:
        return COMPUTATIONS[reading.value].unit
    return reading.takes.get(FALL_PARTS[0] if reading.value == FALL else reading.value, "")


def _check_spans(reading: Reading, node: Mapping, scope: Scope) -> None:
    known = _answers(reading, scope)
    if not known or "answers" not in node.entries:
        return
    origin = node.entries["answers"].origin
    about = "` and `".join(reading.findings)
    named = {span.answer for span in reading.answers}
    for answer in sorted(named ^ set(known)):
        reason = "is no answer of" if answer in named else "is missing, an answer of"
        message = f"`{answer[:40]}` {reason} `{about}`."
        scope.tell("unknown-value", origin, message, f"Its answers are {', '.join(known)}.")
    if not _cover(reading.answers):
        message = "The ranges leave a gap, overlap, or do not go on without end on both sides."
        hint = "Write {no: {under: 2}, yes: {over: 2}}, each range starting where another ends."
        scope.tell("number-out-of-range", origin, message, hint)


def _answers(reading: Reading, scope: Scope) -> tuple[str, ...]:
    """The answers that need a range; none where a finding is not known."""
    if any(finding not in scope.names.answers for finding in reading.findings):
        return ()
    if len(reading.findings) == 1:
        return scope.names.answers[reading.findings[0]]
    return (*reading.findings, NONE) if reading.findings else ()


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
