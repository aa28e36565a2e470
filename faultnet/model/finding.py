"""Findings: what can be observed, with named answers."""

import msgspec

from faultnet.model.condition import When
from faultnet.model.origin import Number, Origin

CANNOT = "cannot"
"""The answer of a finding that could not be taken."""


class Follows(msgspec.Struct, frozen=True):
    """A rule: this finding follows from another with the given strengths per answer."""

    finding: str
    strength: tuple[Number, ...]
    when: When
    origin: Origin


class Trust(msgspec.Struct, frozen=True):
    """What a speaker's word is worth: P(said | so) and P(said | not so)."""

    hit: Number
    false_alarm: Number


class Danger(msgspec.Struct, frozen=True):
    """An answer that stops everything; ``stop`` is ``full`` or ``make-safe``."""

    answer: str
    stop: str
    say: str
    send: str


URGENCY = ("no-water", "degraded", "nuisance")
"""How much a complaint takes from a house, the worst first."""


class Finding(msgspec.Struct, frozen=True):
    """Something observable; the first answer is the normal one.

    ``urgency`` is what it takes from the house when a caller complains of it; empty where
    nobody would call for it alone.
    """

    id: str
    title: str
    part: str
    ask: str
    answers: tuple[str, ...]
    shows_anyway: tuple[Number, ...]
    origin: Origin
    ask_caller: str = ""
    only_when: When = {}
    hidden_by: tuple[str, ...] = ()
    needs: tuple[str, ...] = ()
    follows_from: tuple[Follows, ...] = ()
    trust: dict[str, Trust] = {}
    fitful: bool = False
    history: bool = False
    dangers: tuple[Danger, ...] = ()
    words: tuple[str, ...] = ()
    note: str = ""
    urgency: str = ""
    found_cause: str = ""

    @property
    def normal(self) -> str:
        """The answer that says nothing is wrong."""
        return self.answers[0]

    @property
    def all_answers(self) -> tuple[str, ...]:
        """The answers, with ``cannot`` where the finding has needs."""
        return (*self.answers, CANNOT) if self.needs else self.answers
