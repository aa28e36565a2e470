"""The states of trouble at which checks are looked at: what is told, and what is then likely."""

from collections.abc import Iterator, Sequence
from itertools import combinations

import msgspec
import numpy as np
import numpy.typing as npt

from faultnet.advice.candidates import Candidate
from faultnet.advice.screen import Screen
from faultnet.review.facts.told import Pair, Told

Array = npt.NDArray[np.float64]

SELDOM = 0.001
"""Pairs of complaints that come together on fewer calls than this are no state; judgement."""
MOST_PAIRS = 1000
"""Pairs that are taken, the commonest; a bound on the work in large systems."""


class State(msgspec.Struct, frozen=True, eq=False):
    """The findings that are told, and P(cause) by cause in network order."""

    told: tuple[str, ...]
    chances: Array

    def __str__(self) -> str:
        """Name what is told."""
        return " and ".join(f"`{finding}`" for finding in self.told) or "nothing told"


def states(told: Told) -> Iterator[State]:
    """Yield the call with nothing told, with each complaint, and with each pair of them."""
    known = told.subject.knowledge.findings
    complaints = [f for f in told.subject.findings if known[f].urgency and told.often[f] > 0.0]
    yield State((), told.causes)
    for finding in complaints:
        yield State((finding,), told.after(finding))
    for pair, chances in _pairs(told, complaints):
        yield State(pair, chances)


def most_telling(
    all_states: Sequence[State], candidates: Sequence[Candidate], screen: Screen
) -> list[list[int]]:
    """Return the states by check, those first at which its answers part the likely causes most.

    That is by the variance, over the causes as likely as they are then, of the chance that a
    cause alone shows what the check reveals, the finding or value that varies most.
    """
    subject = screen.subject
    tables = [
        np.concatenate(
            [
                screen.shown[[subject.findings[f] for f in candidate.findings]],
                *(screen.root(subject.roots[r]) for r in candidate.roots),
            ]
        )
        for candidate in candidates
    ]
    first = np.cumsum([0, *(len(rows) for rows in tables[:-1])])
    table = np.concatenate(tables)
    chances = np.array([state.chances for state in all_states])
    weights = chances / np.maximum(chances.sum(axis=1, keepdims=True), 1e-300)
    spread = weights @ (table**2).T - (weights @ table.T) ** 2
    best = np.maximum.reduceat(spread, first, axis=1)
    return [each.tolist() for each in np.argsort(-best, axis=0, kind="stable").T]


def _pairs(told: Told, complaints: list[str]) -> Iterator[tuple[Pair, Array]]:
    pairs = list(combinations(sorted(complaints, key=lambda f: -told.often[f]), 2))
    if not pairs:
        return
    often, chances = told.of_pairs(pairs)
    order = np.argsort(-often, kind="stable")[:MOST_PAIRS]
    for k in order[often[order] >= SELDOM].tolist():
        yield pairs[k], chances[k]
