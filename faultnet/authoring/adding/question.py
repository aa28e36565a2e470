"""One question of the guide, and the guide as a walk through its questions."""

from collections.abc import Callable, Generator
from typing import TypeAlias, TypeVar

import msgspec

from faultnet.authoring.node import Value

T = TypeVar("T")


class UnfitError(Exception):
    """What was typed cannot stand; the message says why, and what can."""


class Option(msgspec.Struct, frozen=True):
    """Something to choose, with the answer that it is."""

    label: str
    value: Value


def _as_typed(text: str) -> Value:
    return text


class Question(msgspec.Struct, frozen=True):
    """What is asked, what it is for, and what can be answered.

    With ``prompt`` a text is typed; ``take`` makes the answer of it or raises ``UnfitError``.
    ``enter`` says what Enter alone means; empty where it means nothing.
    """

    heading: str
    title: str
    why: tuple[str, ...] = ()
    options: tuple[Option, ...] = ()
    prompt: str = ""
    take: Callable[[str], Value] = _as_typed
    enter: str = ""
    enter_value: Value = None
    alarm: bool = False


Walk: TypeAlias = Generator[Question, Value, T]
"""Yields questions, is sent the answers, returns what comes of them."""
Asking: TypeAlias = Walk[Value]
Entry: TypeAlias = dict[str, Value]
"""Keys with their values; None in its place says that the guide is to stop."""


class Guide:
    """Walks through questions; the answers are kept, so that one can go back."""

    def __init__(self, asking: Callable[[], Walk[Entry | None]]) -> None:
        """Begin with the first question."""
        self._asking = asking
        self._answers: list[Value] = []
        self._begin()

    def answer(self, value: Value) -> None:
        """Take the answer to the question at hand."""
        self._answers.append(value)
        self._step(value)

    def back(self) -> bool:
        """Return to the question before; False at the first."""
        if not self._answers:
            return False
        self._answers.pop()
        self._begin()
        return True

    def _begin(self) -> None:
        self._walk = self._asking()
        self.question: Question | None = next(self._walk)
        self.result: Entry | None = None
        for value in self._answers:
            self._step(value)

    def _step(self, value: Value) -> None:
        try:
            self.question = self._walk.send(value)
        except StopIteration as over:
            self.question, self.result = None, over.value
