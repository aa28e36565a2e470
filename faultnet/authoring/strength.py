"""Strengths: how often something brings a finding to each of its abnormal answers."""

import math

import msgspec

from faultnet.authoring.form import Form, Key
from faultnet.authoring.nearest import did_you_mean
from faultnet.authoring.node import Mapping, Node, Sequence
from faultnet.authoring.number import LIKELIHOOD
from faultnet.authoring.schema.book import KEBAB, Book, Schema
from faultnet.authoring.scope import Scope
from faultnet.authoring.when import WHEN, overlap
from faultnet.model.condition import When
from faultnet.model.origin import Number, Origin

Strength = tuple[Number, ...]


class Link(msgspec.Struct, frozen=True):
    """A strength with the layout under which it holds."""

    strength: Strength
    when: When
    origin: Origin


class StrengthKind(msgspec.Struct, frozen=True):
    """One number per abnormal answer; a single word or number where there is only one."""

    answers: tuple[str, ...]

    @property
    def stand_in(self) -> Strength:
        """No number for any answer."""
        return tuple(LIKELIHOOD.stand_in for _ in self.answers[1:])

    def read(self, node: Node, scope: Scope) -> Strength:
        """Return the numbers in the order of the answers; their sum is at most 1."""
        if isinstance(node, Mapping) and "is" not in node.entries:
            return self._per_answer(node, scope.nearer(node))
        if len(self.answers) == 2:
            return (LIKELIHOOD.read(node, scope),)
        answers = ", ".join(f"{answer}: 0.2" for answer in self.answers[1:])
        message = "This finding has several answers that are not normal: each needs its number."
        scope.tell("strength-per-answer", node.origin, message, f"Write {{{answers}}}.")
        return self.stand_in

    def schema(self, book: Book) -> Schema:
        """Return one likelihood, or one for each answer; which answers is the loader's to say."""
        one = LIKELIHOOD.schema(book)
        each = {
            "type": "object",
            "properties": {"from": book.provenance()},
            "propertyNames": {"pattern": KEBAB, "not": {"enum": ["is", "strength", "when"]}},
            "additionalProperties": one,
            "minProperties": 1,
            "not": {"required": ["from"], "maxProperties": 1},
        }
        return book.named("strength", {"anyOf": [one, each]})

    def _per_answer(self, node: Mapping, scope: Scope) -> Strength:
        if not node.entries.keys() - {"from"}:
            scope.wrong_type(node, "a strength", "Write a word, a number, or {answer: number}.")
            return self.stand_in
        for answer, entry in node.entries.items():
            if answer not in (*self.answers[1:], "from"):
                message = f"`{answer[:40]}` is no answer that could be given a strength here."
                hint = did_you_mean(answer, self.answers[1:])
                scope.tell("unknown-value", entry.origin, message, hint)
        numbers = tuple(self._one(answer, node, scope) for answer in self.answers[1:])
        total = math.fsum(number.value for number in numbers)
        if total > 1 + 1e-9:
            message = f"The strengths of the answers come to {total:g}, more than 1."
            scope.tell("probability-out-of-range", node.origin, message, "Make them smaller.")
        return numbers

    def _one(self, answer: str, node: Mapping, scope: Scope) -> Number:
        entry = node.entries.get(answer)
        if entry is None:
            return Number(0.0, node.origin, scope.provenance)
        return LIKELIHOOD.read(entry.node, scope)


def links(finding: str, node: Node, origin: Origin, scope: Scope) -> tuple[Link, ...]:
    """Return the links to a finding: one, or several under layouts that exclude each other."""
    kind = StrengthKind(scope.names.answers.get(finding, ("no", "yes")))
    if not isinstance(node, Sequence):
        return (_link(kind, node, origin, scope),)
    read = [_link(kind, item, item.origin, scope) for item in node.items]
    for index, link in enumerate(read):
        if any(overlap(link.when, earlier.when) for earlier in read[:index]):
            message = "Two strengths of this link can hold at once."
            hint = "Give each a `when` with values that the others do not have."
            scope.tell("overlapping-when", link.origin, message, hint)
    return tuple(read)


def links_schema(book: Book) -> Schema:
    """Return ids with a strength, one with its layout, or a list of these."""
    strength = StrengthKind(("no", "yes"))
    one = {"anyOf": [strength.schema(book), _form(strength).schema(book)]}
    link = {"anyOf": [*one["anyOf"], {"type": "array", "items": one}]}
    return book.named("links", book.by_name(link))


def _form(kind: StrengthKind) -> Form[Link]:
    return Form(
        Link,
        {
            "strength": Key(kind, says="How often; a word or a number."),
            "when": Key(WHEN, {}, says="The layout under which this strength holds."),
        },
    )


def _link(kind: StrengthKind, node: Node, origin: Origin, scope: Scope) -> Link:
    if isinstance(node, Mapping) and {"strength", "when"} & node.entries.keys():
        return _form(kind).read(node, scope, origin=origin) or Link(kind.stand_in, {}, origin)
    return Link(kind.read(node, scope), {}, origin)
