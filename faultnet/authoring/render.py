"""Problems as lines for a terminal and as plain values for JSON."""

from collections.abc import Iterable
from typing import Any

import msgspec

from faultnet.authoring.problem import Problem
from faultnet.model.accepted import Accepted


def as_text(problems: Iterable[Problem]) -> str:
    """Return the problems one below the other, hints indented; empty when there are none."""
    return "\n".join(_lines(each) for each in problems)


def as_json(problems: Iterable[Problem]) -> list[dict[str, Any]]:
    """Return the problems as plain dictionaries with the names of the fields."""
    return [msgspec.to_builtins(each) for each in problems]


def accepted_as_text(accepted: Iterable[tuple[Problem, Accepted]]) -> str:
    """Return what authors accept, one below the other, the reasons indented."""
    return "\n".join(
        f"{_first(each, 'accepted')}\n    Because: {by.reason}" for each, by in accepted
    )


def accepted_as_json(accepted: Iterable[tuple[Problem, Accepted]]) -> list[dict[str, Any]]:
    """Return what authors accept: the fields of the problem, the reason and its line."""
    return [
        {**msgspec.to_builtins(each), "reason": by.reason, "accepted_line": by.origin.line}
        for each, by in accepted
    ]


def _lines(each: Problem) -> str:
    first = _first(each, each.severity)
    return f"{first}\n    {each.hint}" if each.hint else first


def _first(each: Problem, kind: str) -> str:
    about = f"{each.entity}: " if each.entity else ""
    return f"{_place(each)}: {kind} [{each.code}] {about}{each.message}"


def _place(each: Problem) -> str:
    return f"{each.file}:{each.line}:{each.column}" if each.line else each.file
