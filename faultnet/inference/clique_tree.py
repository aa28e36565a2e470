"""The engine for networks of any shape: clique trees, calibrated once per question."""

from collections import OrderedDict
from collections.abc import Callable, Hashable, Iterable, Mapping, Sequence
from itertools import product
from math import exp, inf, log, prod
from typing import TypeAlias, TypeVar

import numpy as np

from faultnet.inference.cliques import cells
from faultnet.inference.engine import (
    Beliefs,
    Candidate,
    Evidence,
    ImpossibleEvidenceError,
    TooLargeError,
)
from faultnet.inference.families import Families
from faultnet.inference.questions import Found, Known, Marginal, Pattern, forest_of
from faultnet.inference.together import Both, Together
from faultnet.inference.tree_layout import Forest, find_forest, forest_cells
from faultnet.inference.weights import weigh
from faultnet.network.tables import Array, Tables

CELL_LIMIT = 2**25
"""Cells of all cliques together; 2**25 doubles are 256 MiB."""
KEPT = 32
"""Questions whose layout is kept."""
NAMED = 8
"""Variables that a refusal names."""
JOINT_STATES = 256
"""Joint answers of a candidate that are carried at once."""

Answer: TypeAlias = str | tuple[str, ...]
"""The state of a candidate; a tuple where the candidate is one."""
Made = TypeVar("Made", Forest, Together, Marginal)
"""What a question is laid out as."""
Answers: TypeAlias = dict[Answer, tuple[float, Beliefs]]


class CliqueTree:
    """Exact inference on tables; implements ``Engine``.

    Evidence and targets are variable ids; a likelihood is zero for the states that it
    leaves out. Ids that are not in the network raise ``KeyError``. What a question needs
    is worked out per pattern of evidence (which variables, not which states), and kept.
    """

    name = "clique tree"

    def __init__(self, tables: Tables, limit: int = CELL_LIMIT) -> None:
        """Number the variables; nothing is computed yet."""
        self.families = Families(tables)
        self.ids = [variable.id for variable in tables.variables]
        self.limit = limit
        self._kept: OrderedDict[Hashable, Forest | Together | Marginal] = OrderedDict()

    def beliefs(self, evidence: Evidence, targets: Sequence[str] | None = None) -> Beliefs:
        """Return P(state | evidence) of every target, or of every variable.

        Raises ``ImpossibleEvidenceError`` and ``TooLargeError``.
        """
        names = self.ids if targets is None else targets
        known = self._known(evidence)
        asked = self.families.numbers(names)
        marginal = self._marginal(asked, known.pattern)
        weight, _, chances = marginal(known)
        if weight == -inf:
            raise ImpossibleEvidenceError
        told = chances.tolist()
        beliefs: Beliefs = {}
        for name, variable in zip(names, asked, strict=True):
            states = self.families.states[variable]
            if variable in known.states:
                beliefs[name] = {
                    s: float(k == known.states[variable]) for k, s in enumerate(states)
                }
            else:
                beliefs[name] = dict(zip(states, told[marginal.at[variable]], strict=True))
        return beliefs

    def probability(self, evidence: Evidence) -> float:
        """Return P(evidence); zero where it is impossible. Raises ``TooLargeError``."""
        known = self._known(evidence)
        return exp(self._marginal((), known.pattern)(known)[0])

    def weigh(self, evidence: Evidence, likelihoods: Mapping[str, Array]) -> Array:
        """Return P(evidence and row) of each row of likelihoods.

        ``likelihoods`` holds an array (rows, states) for each of some variables; where
        evidence is soft, a row comes on top of it. Raises ``TooLargeError``.
        """
        known = self._known(evidence)
        rows = max((len(array) for array in likelihoods.values()), default=1)
        arrays = {v: array[None] for v, array in known.likelihoods.items()}
        total = np.full(rows, exp(known.scale))
        for name, array in likelihoods.items():
            variable = self.families.index[name]
            if variable in known.states:
                total *= array[:, known.states[variable]]
            else:
                arrays[variable] = arrays.get(variable, 1.0) * array
        pattern = Pattern(known.pattern.hard, frozenset(arrays))

        def make() -> Forest:
            found = self._find((), pattern)
            self._refuse(found)
            return forest_of(self.families, (), pattern, found)

        forest = self._keep(Forest, pattern, make)
        return total * weigh(self.families, forest, known.states, arrays, rows)

    def predicted_cells(
        self,
        evidence: Evidence,
        targets: Sequence[str] | None = None,
        candidates: Sequence[Candidate] = (),
    ) -> int:
        """Return the cells of all cliques that a question needs; nothing is computed."""
        names = self.ids if targets is None else targets
        pattern = self._known(evidence).pattern
        asked = [*self.families.numbers(names), *map(self._variable, candidates)]
        return forest_cells(self.families, self._find(asked, pattern))

    def what_if(
        self, evidence: Evidence, targets: Sequence[str], candidates: Sequence[Candidate]
    ) -> dict[Candidate, Answers]:
        """Return, per candidate and answer, its probability and the beliefs after it.

        The beliefs after an impossible answer are empty. The candidate ``()`` asks
        nothing; after its one answer the beliefs are as they are. Raises
        ``ImpossibleEvidenceError`` for the evidence itself, and ``TooLargeError``.
        """
        names = list(dict.fromkeys(targets))
        large = {c for c in candidates if not isinstance(c, str) and self._count(c) > JOINT_STATES}
        at = {c: self._variable(c) for c in candidates if c and c not in large}
        both = self._together(
            self.families.numbers(names), list(dict.fromkeys(at.values())), evidence
        )
        states = [(name, self.families.states[self.families.index[name]]) for name in names]
        results: dict[Candidate, Answers] = {}
        for candidate in candidates:
            if not candidate:
                results[candidate] = {(): (1.0, _beliefs(states, both.before))}
                continue
            if candidate in large and not isinstance(candidate, str):
                results[candidate] = self._one_by_one(evidence, targets, candidate)
                continue
            place = both.rows[at[candidate]]
            told = zip(
                self._answers(candidate), both.chances[place], both.after[place], strict=True
            )
            results[candidate] = {
                answer: (chance, _beliefs(states, after) if chance > 0.0 else {})
                for answer, chance, after in told
            }
        return results

    def _together(
        self, targets: Sequence[int], candidates: Sequence[int], evidence: Evidence
    ) -> Both:
        known = self._known(evidence)
        key = (tuple(targets), tuple(candidates), known.pattern)

        def make() -> Together:
            return Together(self.families, *key, self._refuse)

        return self._keep(Together, key, make)(known)

    def _marginal(self, asked: Sequence[int], pattern: Pattern) -> Marginal:
        free = tuple(v for v in asked if v not in pattern.hard)

        def make() -> Marginal:
            found = self._find(free, pattern)
            self._refuse(found)
            return Marginal(self.families, free, pattern, found)

        return self._keep(Marginal, (free, pattern), make)

    def _find(self, asked: Iterable[int], pattern: Pattern) -> Found:
        return find_forest(self.families, asked, pattern.hard, pattern.soft)

    def _refuse(self, found: Found) -> None:
        count = forest_cells(self.families, found)
        if count <= self.limit:
            return
        sizes = self.families.sizes
        # Dearest are the variables that most cells would be without.
        saved: dict[int, int] = {}
        for clique in (clique for tree in found for clique, _ in tree):
            size = cells(clique, sizes)
            for variable in clique:
                saved[variable] = saved.get(variable, 0) + size - size // sizes[variable]
        named = sorted((v for v in saved if v < len(self.ids)), key=lambda v: (-saved[v], v))
        mend = "say what is known of, or do not ask about, one or more of"
        raise TooLargeError(count, self.limit, [self.ids[v] for v in named[:NAMED]], mend)

    def _keep(self, kind: type[Made], key: Hashable, make: Callable[[], Made]) -> Made:
        """Return what was made of a kind for a key before, or make it."""
        kept = self._kept.get(key)
        if isinstance(kept, kind):
            self._kept.move_to_end(key)
            return kept
        made = self._kept[key] = make()
        if len(self._kept) > KEPT:
            self._kept.popitem(last=False)
        return made

    def _known(self, evidence: Evidence) -> Known:
        states: dict[int, int] = {}
        likelihoods: dict[int, Array] = {}
        scale = 0.0
        for name, said in evidence.items():
            variable = self.families.index[name]
            if isinstance(said, str):
                states[variable] = self.families.state(variable, said)
                continue
            array = np.zeros(len(self.families.states[variable]))
            for state, chance in said.items():
                array[self.families.state(variable, state)] = chance
            possible = np.flatnonzero(array)
            if len(possible) == 1:
                states[variable] = int(possible[0])
                scale += log(array[possible[0]])
            else:
                likelihoods[variable] = array
        pattern = Pattern(frozenset(states), frozenset(likelihoods))
        return Known(pattern, states, likelihoods, scale)

    def _variable(self, candidate: Candidate) -> int:
        if isinstance(candidate, str):
            return self.families.index[candidate]
        return self.families.together(self.families.numbers(candidate))

    def _count(self, candidate: tuple[str, ...]) -> int:
        return prod(len(self.families.states[v]) for v in self.families.numbers(candidate))

    def _answers(self, candidate: Candidate) -> list[Answer]:
        if isinstance(candidate, str):
            return list(self.families.states[self.families.index[candidate]])
        return list(product(*(self.families.states[v] for v in self.families.numbers(candidate))))

    def _one_by_one(
        self, evidence: Evidence, targets: Sequence[str], candidate: tuple[str, ...]
    ) -> Answers:
        """Return a joint candidate's answers with its first member taken as evidence."""
        first, rest = candidate[0], candidate[1:]
        before = evidence.get(first)
        results: Answers = {}
        for state, chance in self.beliefs(evidence, [first])[first].items():
            after: Answers = dict.fromkeys(self._answers(rest), (0.0, {}))
            if chance > 0.0:
                kept = before.get(state, 0.0) if isinstance(before, Mapping) else 1.0
                after = self.what_if({**evidence, first: {state: kept}}, targets, [rest])[rest]
            for answer, (share, beliefs) in after.items():
                results[state, *answer] = (chance * share, beliefs)
        return results


def _beliefs(names: Sequence[tuple[str, tuple[str, ...]]], row: Iterable[float]) -> Beliefs:
    """Return a row of chances by name and state; each name takes as many as it has states."""
    left = iter(row)
    return {name: dict(zip(states, left, strict=False)) for name, states in names}
