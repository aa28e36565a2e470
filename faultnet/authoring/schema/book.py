"""What a schema is made of: the words that may stand, what is said once, a few shapes."""

import math
from collections.abc import Iterable, Mapping
from typing import Any

Schema = dict[str, Any]
"""A JSON Schema (2020-12) or a piece of one."""
KEBAB = "^[a-z0-9]+(-[a-z0-9]+)*$"
SCALAR: Schema = {"type": ["string", "number", "boolean"], "minLength": 1}
"""A text as YAML may read it: `115` and `true` are texts too where a text is wanted."""
_FROM = (
    "Where the numbers below come from: judgement, practice, memory, or the id of a source in"
    " sources.yaml; several in brackets."
)


class Book:
    """The words for numbers by table, and the pieces that a schema names once."""

    def __init__(self, words: Mapping[str, Mapping[str, float]]) -> None:
        """Keep the words; nothing is named yet."""
        self.words = words
        self.pieces: dict[str, Schema] = {}

    def named(self, name: str, piece: Schema) -> Schema:
        """Return a reference to a piece that is written once."""
        self.pieces.setdefault(name, piece)
        return {"$ref": f"#/$defs/{name}"}

    def numbers(self, table: object) -> str:
        """Return the words of a table with their numbers, as a sentence; empty for no table."""
        words = self.words.get(table, {}) if isinstance(table, str) else {}
        told = ", ".join(f"{word} is {number:g}" for word, number in words.items())
        return f"{told[:1].upper()}{told[1:]}." if told else ""

    def provenance(self) -> Schema:
        """Return what may stand behind `from`."""
        one = {"type": "string", "minLength": 1}
        several = {"type": "array", "items": one, "minItems": 1}
        return self.named("from", {"description": _FROM, "anyOf": [one, several]})

    def number(self, low: float, high: float, *, open_low: bool, words: str) -> Schema:
        """Return a number from low to high, as a word of a table, or with its own origin."""
        plain: Schema = {"type": "number"}
        if math.isfinite(low):
            plain["exclusiveMinimum" if open_low else "minimum"] = low
        if math.isfinite(high):
            plain["maximum"] = high
        told = self.words.get(words, {})
        bare = [plain, {"enum": list(told)}] if told else [plain]
        name = words or _name(low, high, open_low=open_low)
        return self.named(
            name,
            {
                "description": _number_said(low, high, told),
                "anyOf": [
                    *bare,
                    mapping({"is": {"anyOf": bare}, "from": self.provenance()}, ("is",)),
                ],
            },
        )

    def by_name(self, value: Schema, *, without_from: bool = False) -> Schema:
        """Return a mapping of names to values, in which `from` may stand."""
        beside = {} if without_from else {"properties": {"from": self.provenance()}}
        names = {"propertyNames": {"pattern": KEBAB}, "additionalProperties": value}
        return {"type": "object", **beside, **names}

    def by_key(self, words: Iterable[str], value: Schema) -> Schema:
        """Return a mapping of some known words to values."""
        return mapping({**dict.fromkeys(words, value), "from": self.provenance()})


def mapping(keys: Mapping[str, Schema], required: Iterable[str] = ()) -> Schema:
    """Return a mapping with these keys and no others."""
    must = {"required": list(required)} if required else {}
    return {"type": "object", "properties": dict(keys), **must, "additionalProperties": False}


def one_or_more(item: Schema, *, distinct: bool = False) -> Schema:
    """Return a list of items, or one item that stands without brackets."""
    unlike = {"uniqueItems": True} if distinct else {}
    return {"anyOf": [item, {"type": "array", "items": item, **unlike}]}


def _name(low: float, high: float, *, open_low: bool) -> str:
    if math.isfinite(high):
        return "probability"
    if math.isfinite(low):
        return "factor" if open_low else "amount"
    return "number"


def _number_said(low: float, high: float, words: Mapping[str, float]) -> str:
    span = f" from {low:g} to {high:g}" if math.isfinite(high) else ""
    word = f", or a word: {', '.join(f'{w} ({n:g})' for w, n in words.items())}" if words else ""
    return f"A number{span}{word}; {{is: ..., from: ...}} says where this one comes from."
