"""Numbers: bare, as a word, or with an origin of their own."""

import math

import msgspec

from faultnet.authoring.code import Code
from faultnet.authoring.nearest import did_you_mean
from faultnet.authoring.node import Mapping, Node, Scalar
from faultnet.authoring.schema.book import Book, Schema
from faultnet.authoring.scope import Scope
from faultnet.model.origin import NOWHERE, Number

_PLAIN = "Write a plain number such as 0.3 or 15, without a unit."
_MARK = "Write `from: judgement` at the top of the file, or the id of a source."


class NumberKind(msgspec.Struct, frozen=True):
    """Numbers from ``low`` to ``high``; ``words`` names the table whose words may stand.

    ``code`` is told for what lies outside; a refused number reads as NaN.
    """

    low: float = -math.inf
    high: float = math.inf
    words: str = ""
    open_low: bool = False
    code: Code = "number-out-of-range"

    @property
    def stand_in(self) -> Number:
        """No number at all: no rule complains about it."""
        return Number(math.nan, NOWHERE, ())

    def read(self, node: Node, scope: Scope) -> Number:
        """Return the number with its place and where it comes from."""
        if isinstance(node, Mapping):
            return self._with_origin(node, scope)
        value, word = self._value(node, scope)
        if not scope.provenance:
            scope.tell(
                "no-provenance", node.origin, "Nothing says where this number comes from.", _MARK
            )
        return Number(value, node.origin, scope.provenance, word)

    def schema(self, book: Book) -> Schema:
        """Return the number, bare, as a word, or with an origin of its own."""
        return book.number(self.low, self.high, open_low=self.open_low, words=self.words)

    def _with_origin(self, node: Mapping, scope: Scope) -> Number:
        for key, entry in node.entries.items():
            if key not in ("is", "from"):
                hint = did_you_mean(key, ("is", "from"))
                scope.tell(
                    "unknown-key",
                    entry.origin,
                    f"The key `{key[:40]}` is not known in a number.",
                    hint,
                )
        inner = node.entries.get("is")
        if inner is None or isinstance(inner.node, Mapping):
            scope.wrong_type(node, "a number", "Write {is: 0.3, from: practice}.")
            return self.stand_in
        return self.read(inner.node, scope.nearer(node))

    def _value(self, node: Node, scope: Scope) -> tuple[float, str]:
        value = node.value if isinstance(node, Scalar) else None
        if isinstance(value, str) and self.words:
            return self._word(value, node, scope), value
        if isinstance(value, (bool, str)) or value is None:
            table = scope.words.tables.get(self.words, {})
            hint = f"Write a number or one of {', '.join(table)}." if table else _PLAIN
            scope.wrong_type(node, "a number", hint)
            return math.nan, ""
        return self._in_range(float(value), node, scope), ""

    def _word(self, word: str, node: Node, scope: Scope) -> float:
        table = scope.words.tables.get(self.words, {})
        if word in table:
            return table[word].value
        if scope.words.known:
            message = f"`{word[:40]}` is not one of the words for {self.words}."
            scope.tell("unknown-word", node.origin, message, did_you_mean(word, table))
        return math.nan

    def _in_range(self, value: float, node: Node, scope: Scope) -> float:
        if not math.isfinite(value):
            scope.tell(
                "number-out-of-range",
                node.origin,
                "This is not a finite number.",
                "Write a plain number.",
            )
            return math.nan
        if value < self.low or value > self.high or (self.open_low and value == self.low):
            scope.tell(self.code, node.origin, f"{value:g} is out of range.", self._range())
            return math.nan
        return value

    def _range(self) -> str:
        if math.isfinite(self.high):
            return f"Give a number from {self.low:g} to {self.high:g}."
        return f"Give a number {'above' if self.open_low else 'of at least'} {self.low:g}."


LIKELIHOOD = NumberKind(0, 1, "likelihood", code="probability-out-of-range")
HOW_COMMON = NumberKind(0, 1, "how-common", code="probability-out-of-range")
PROBABILITY = NumberKind(0, 1, code="probability-out-of-range")
AMOUNT = NumberKind(0)
"""Minutes or money: nothing or more."""
FACTOR = NumberKind(0, open_low=True)
ANY_NUMBER = NumberKind()
