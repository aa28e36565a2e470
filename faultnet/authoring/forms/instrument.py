"""Kinds of what stands about an instrument: accuracy, what can be, what holds unread."""

from faultnet.authoring.form import Form, Key
from faultnet.authoring.kind import TERM, Choice
from faultnet.authoring.naming import Id
from faultnet.authoring.node import Mapping, Node, Scalar, Sequence
from faultnet.authoring.number import ANY_NUMBER, FACTOR
from faultnet.authoring.schema.book import Book, Schema
from faultnet.authoring.scope import Scope
from faultnet.model.origin import Number
from faultnet.model.reading import Accuracy, Unknown
from faultnet.reckon.gauge import GRADES

_WRITE = "Write 1, {percent: 2} or {grade: B, full-scale: 100}."

_PERCENT = Form(
    Accuracy, {"percent": Key(FACTOR, says="Per cent of what is read.")}, "{percent: 2}"
)
_GRADE = Form(
    Accuracy,
    {
        "grade": Key(Choice(*GRADES), says="The grade of a pressure gauge."),
        "full-scale": Key(FACTOR, says="The greatest number on the dial."),
    },
    "{grade: B, full-scale: 100}",
)


class AccuracyKind:
    """Two deviations: in the unit of what is read, in per cent of it, or by grade."""

    stand_in = Accuracy()

    def read(self, node: Node, scope: Scope) -> Accuracy:
        """Return the accuracy."""
        if isinstance(node, Mapping) and "is" not in node.entries:
            form = _GRADE if "grade" in node.entries else _PERCENT
            return form.read(node, scope) or self.stand_in
        if isinstance(node, Sequence):
            scope.wrong_type(node, "an accuracy", _WRITE)
            return self.stand_in
        return Accuracy(amount=FACTOR.read(node, scope))

    def schema(self, book: Book) -> Schema:
        """Return a number, per cent, or a grade."""
        forms = [_PERCENT.schema(book), _GRADE.schema(book)]
        return book.named("accuracy", {"anyOf": [FACTOR.schema(book), *forms]})


class PairKind:
    """A least and a greatest number."""

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

    def schema(self, book: Book) -> Schema:
        """Return a list of two numbers."""
        number = ANY_NUMBER.schema(book)
        return {"type": "array", "items": number, "minItems": 2, "maxItems": 2}


class UnknownKind:
    """What holds of a part that was not read: a number, a range, or a layout."""

    stand_in = Unknown()

    def read(self, node: Node, scope: Scope) -> Unknown:
        """Return it."""
        if isinstance(node, Sequence):
            return Unknown(*PairKind().read(node, scope))
        if isinstance(node, Scalar) and isinstance(node.value, str):
            return self._layout(TERM.read(node, scope), node, scope)
        number = ANY_NUMBER.read(node, scope)
        return Unknown(number, number)

    def _layout(self, name: str, node: Scalar, scope: Scope) -> Unknown:
        Id("layout").check(name, node.origin, scope)
        words = [each for each in scope.names.values.get(name, ()) if not each.isdecimal()]
        if words:
            message = f"`{name}` has `{words[0][:40]}`, which is no number."
            hint = "Name a layout whose values are numbers, such as supply, or write a range."
            scope.tell("unfit-reading", node.origin, message, hint)
        return Unknown(layout=name)

    def schema(self, book: Book) -> Schema:
        """Return a number, two of them, or the id of a layout."""
        return {"anyOf": [ANY_NUMBER.schema(book), PairKind().schema(book), {"type": "string"}]}
