"""The network that the engines work on; it knows variables, not pumps.

Four kinds of variable, arrows one way: roots -> causes -> findings -> findings.

A *root* is a discrete variable with a prior. A *cause* is present or absent; its
odds are its base odds times a factor for each root state that holds, and it is
impossible where one of its conditions fails. A present cause can *bring along*
others, each with a probability of its own; a brought cause shows its own findings
and brings nothing further along.

A *finding* takes the highest level that one of its causes, its leak or a finding
that it follows from brings it to (noisy-MAX; with two answers noisy-OR; Diez leak).
It reads its normal answer while one of its hiders is abnormal, and ``cannot`` while
one of its needs is abnormal.
"""

from typing import TypeAlias

import msgspec

Condition: TypeAlias = tuple[tuple[int, tuple[bool, ...]], ...]
"""Root indices, each with the states that are allowed; all must hold."""

Levels: TypeAlias = tuple[float, ...]
"""The chance of bringing a finding to each of its abnormal levels."""

PRESENCE = ("absent", "present")
"""The states of a cause."""


class Root(msgspec.Struct, frozen=True):
    """A variable without parents; the prior sums to one."""

    id: str
    states: tuple[str, ...]
    prior: tuple[float, ...]


class Link(msgspec.Struct, frozen=True):
    """How often a source (a cause or a finding, by index) alone shows a finding."""

    source: int
    levels: Levels
    when: Condition = ()


class Bring(msgspec.Struct, frozen=True):
    """A cause brought along by another with a probability."""

    cause: int
    probability: float


class Cause(msgspec.Struct, frozen=True):
    """A fault: base probability, factors on its odds by root state, conditions."""

    id: str
    probability: float
    factors: tuple[tuple[int, tuple[float, ...]], ...] = ()
    when: Condition = ()
    brings: tuple[Bring, ...] = ()


class Finding(msgspec.Struct, frozen=True):
    """A finding with its gate; answers are the normal one, then the levels in order."""

    id: str
    answers: tuple[str, ...]
    leak: Levels
    links: tuple[Link, ...] = ()
    follows: tuple[Link, ...] = ()
    hidden_by: tuple[int, ...] = ()
    needs: tuple[int, ...] = ()
    when: Condition = ()
    fitful: bool = False

    @property
    def has_sources(self) -> bool:
        """Whether anything but its leak can bring it about."""
        return bool(self.links or self.follows)


class Network(msgspec.Struct, frozen=True):
    """Everything an engine needs; findings stand after all findings they depend on.

    ``faults`` says what is taken as known before any evidence: ``several`` that at
    least one cause is present, ``one`` that exactly one is, ``any`` nothing.
    """

    id: str
    roots: tuple[Root, ...]
    causes: tuple[Cause, ...]
    findings: tuple[Finding, ...]
    faults: str = "any"


def seen(index: int, cause: Cause) -> Finding:
    """Return a finding that a cause shows always and nothing else does: it says who is there."""
    return Finding(f"{cause.id} seen", PRESENCE, (0.0,), (Link(index, (1.0,)),))


def cause_weight(cause: Cause, states: dict[int, int]) -> float:
    """Return the base probability times the factors that hold; zero where impossible."""
    if not holds(cause.when, states):
        return 0.0
    weight = cause.probability
    for root, factors in cause.factors:
        weight *= factors[states[root]]
    return weight


def cause_probability(cause: Cause, states: dict[int, int]) -> float:
    """Return P(present) of a cause not brought along, given its roots' state indices."""
    weight = cause_weight(cause, states)
    return weight / (1.0 - cause.probability + weight) if weight else 0.0


def cause_absence(cause: Cause, states: dict[int, int]) -> float:
    """Return P(absent) of a cause not brought along, without subtracting from one."""
    weight = cause_weight(cause, states)
    absent = 1.0 - cause.probability
    return absent / (absent + weight) if weight else 1.0


def holds(condition: Condition, states: dict[int, int]) -> bool:
    """Whether every root of a condition is in an allowed state."""
    return all(allowed[states[root]] for root, allowed in condition)


def cause_roots(cause: Cause) -> tuple[int, ...]:
    """Return the roots that the probability of a cause depends on, in order."""
    return tuple(sorted({root for root, _ in (*cause.factors, *cause.when)}))
