"""Problems: what is wrong in a knowledge file, where, why and how to mend it."""

from collections.abc import Iterable
from typing import Literal

import msgspec

from faultnet.authoring.code import Code, WarningCode
from faultnet.model.origin import Origin

Severity = Literal["error", "warning"]
_LONGEST = 500
"""Letters of a text of a problem."""


class Problem(msgspec.Struct, frozen=True):
    """One thing wrong in one place; line and column count from one, 0 is the whole file.

    ``message`` gives the reason in one sentence, ``hint`` the mend; ``entity`` is the id
    of the entry it stands in, or empty.
    """

    severity: Severity
    code: str
    file: str
    line: int
    column: int
    entity: str
    message: str
    hint: str = ""

    @property
    def origin(self) -> Origin:
        """The place as a value of the model."""
        return Origin(self.file, self.line, self.column)


class KnowledgeError(Exception):
    """The knowledge cannot be used; ``problems`` say why."""

    def __init__(self, problems: tuple[Problem, ...]) -> None:
        """Keep the problems; the message counts the errors."""
        self.problems = problems
        count = len(errors(problems))
        super().__init__(f"{count} error{'' if count == 1 else 's'} in the knowledge files")


def problem(
    code: Code,
    origin: Origin,
    message: str,
    hint: str = "",
    *,
    entity: str = "",
) -> Problem:
    """Return the error at a place."""
    return _told("error", code, origin, entity, message, hint)


def warning(code: WarningCode, entity: str, origin: Origin, message: str, hint: str) -> Problem:
    """Return the warning about an entry at a place."""
    return _told("warning", code, origin, entity, message, hint)


def _told(severity: Severity, code: Code, origin: Origin, *texts: str) -> Problem:
    """Return a problem; what it quotes can be seen, and does not run on for pages."""
    entity, message, hint = (_short(_seen(text)) for text in texts)
    return Problem(severity, code, origin.file, origin.line, origin.column, entity, message, hint)


def _short(text: str) -> str:
    return text if len(text) <= _LONGEST else f"{text[: _LONGEST - 3]}..."


def _seen(text: str) -> str:
    if text.isprintable():
        return text
    return "".join(letter if letter.isprintable() else " " for letter in text)


def errors(problems: Iterable[Problem]) -> tuple[Problem, ...]:
    """Return the problems that forbid using the knowledge."""
    return tuple(each for each in problems if each.severity == "error")


def in_order(problems: Iterable[Problem]) -> tuple[Problem, ...]:
    """Return the problems by file, line and column, each once."""
    return tuple(
        sorted(dict.fromkeys(problems), key=lambda p: (p.file, p.line, p.column, p.code, p.message))
    )
