"""Problems as lines for a terminal and as plain values for JSON."""

from collections.abc import Iterable
from typing import Any

import msgspec

from faultnet.authoring.problem import Problem


def as_text(problems: Iterable[Problem]) -> str:
    """Return the problems one below the other, hints indented; empty when there are none."""
    return "\n".join(_lines(each) for each in problems)


def as_json(problems: Iterable[Problem]) -> list[dict[str, Any]]:
    """Return the problems as plain dictionaries with the names of the fields."""
    return [msgspec.to_builtins(each) for each in problems]


def _lines(each: Problem) -> str:
    about = f"{each.entity}: " if each.entity else ""
    first = f"{_place(each)}: {each.severity} [{each.code}] {about}{each.message}"
    return f"{first}\n    {each.hint}" if each.hint else first


def _place(each: Problem) -> str:
    return f"{each.file}:{each.line}:{each.column}" if each.line else each.file
