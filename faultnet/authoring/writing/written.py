"""Values as YAML lines, in the manner of the shipped files."""

import json
import math
import re
import textwrap
from collections.abc import Iterator

from faultnet.authoring.node import Plain, Value
from faultnet.authoring.scalar import plain_value

WIDTH = 98
STEP = 2
"""By how much what stands inside something is indented further, where nothing else is in use."""
_BLOCK = frozenset(
    ("shows", "likelier-when", "looks-for", "follows-from", "given", "expect", "steps", "cautions")
)
"""Keys whose values stand below them, one to a line, also where they would fit beside."""
_PLAIN = re.compile(r"\w(?:[^\x00-\x1f\x7f-\xa0\ufeff\u2028\u2029:#,\[\]{}]|:(?=\S)|(?<=\S)#)*")
_SENTENCE = re.compile(r"\w(?:[^\x00-\x1f\x7f-\xa0\ufeff\u2028\u2029:#]|:(?=\S)|(?<=\S)#)*")
_FOLDABLE = re.compile(r"[!-~\xa1-\ufefe]+(?: [!-~\xa1-\ufefe]+)*")


def entry(key: str, value: Value, column: int, step: int) -> list[str]:
    """Return a key with its value as lines, the key at a column, ``step`` more for each level."""
    head = f"{' ' * column}{beside(key)}:"
    if isinstance(value, str):
        return _text(head, value, column + step)
    line = f"{head} {beside(value)}"
    if not isinstance(value, (dict, list)) or not value or _fits(key, value, line):
        return [line]
    return [head, *_below(value, column + step, step)]


def item(value: Value, column: int, step: int) -> list[str]:
    """Return an item of a list as lines, its hyphen at a column."""
    mark = " " * column + "-"
    if isinstance(value, str):
        return _text(mark, value, column + 2)
    if isinstance(value, dict) and value:
        lines = list(_below(value, column + 2, step))
        return [f"{mark} {lines[0].lstrip()}", *lines[1:]]
    return [f"{mark} {beside(value)}"]


def beside(value: Value) -> str:
    """Return a value in one line, as it may stand in braces too."""
    if isinstance(value, dict):
        return (
            "{" + ", ".join(f"{beside(key)}: {beside(each)}" for key, each in value.items()) + "}"
        )
    if isinstance(value, list):
        return "[" + ", ".join(map(beside, value)) + "]"
    return scalar(value, _PLAIN)


def scalar(value: Plain, bare: re.Pattern[str] = _PLAIN) -> str:
    """Return a single value; text goes in quotes where it would not be read as such."""
    if value is None:
        return "null"
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, (int, float)):
        return _number(value)
    if bare.fullmatch(value) and value == value.strip() and plain_value(value) == value:
        return value
    quoted = json.dumps(value, ensure_ascii=False)
    return re.sub(r"[\x7f-\xa0\ud800-\udfff\ufeff\u2028\u2029]", _escaped, quoted)


def _escaped(found: re.Match[str]) -> str:
    return f"\\u{ord(found[0]):04x}"


def _number(value: float) -> str:
    if isinstance(value, float) and value.is_integer() and abs(value) < 1e15:
        return str(int(value))
    if math.isfinite(value):
        return repr(value)
    return ".nan" if math.isnan(value) else f"{'-' if value < 0 else ''}.inf"


def _text(head: str, text: str, column: int) -> list[str]:
    line = f"{head} {scalar(text, _SENTENCE)}"
    if len(line) <= WIDTH or not _FOLDABLE.fullmatch(text):
        return [line]
    indent = " " * column
    folded = textwrap.wrap(text, WIDTH - column, break_long_words=False, break_on_hyphens=False)
    return [f"{head} >-", *(indent + each for each in folded)]


def _fits(key: str, value: Value, line: str) -> bool:
    if key in _BLOCK or len(line) > WIDTH or (isinstance(value, dict) and "title" in value):
        return False
    return isinstance(value, list) or not any(
        isinstance(each, dict) for each in (value.values() if isinstance(value, dict) else ())
    )


def _below(value: dict[str, Value] | list[Value], column: int, step: int) -> Iterator[str]:
    if isinstance(value, list):
        for each in value:
            yield from item(each, column, step)
    else:
        for key, each in value.items():
            yield from entry(key, each, column, step)
