"""The engine for networks of any shape: a clique tree with the hypotheticals as rows."""

from collections.abc import Iterable, Mapping, Sequence
from itertools import product
from typing import TypeAlias

import numpy as np
import numpy.typing as npt

from faultnet.inference.cliques import cells, find_cliques, join_cliques
from faultnet.inference.engine import (
    Beliefs,
    Candidate,
    Evidence,
    ImpossibleEvidenceError,
    TooLargeError,
)
from faultnet.inference.messages import Tree
from faultnet.network.tables import Tables

Array = npt.NDArray[np.float64]

CELL_LIMIT = 2**25
"""Cells of all cliques together; 2**25 doubles are 256 MiB."""
CHUNK_CELLS = 2**20
"""Rows are worked through in chunks of about this many cells."""

Answer: TypeAlias = str | tuple[str, ...]
"""The state of a candidate; a tuple where the candidate is one."""


class CliqueTree:
    """Exact inference on tables; implements ``Engine``.

    Evidence and targets are variable ids; a likelihood is zero for the states that it
    leaves out. Ids that are not in the network raise ``KeyError``.
    """

    def __init__(self, tables: Tables, limit: int = CELL_LIMIT) -> None:
        """Find the cliques, and multiply the tables into them.

        Raises ``TooLargeError`` before anything is multiplied; it names the variables
        of the largest clique, those with the most states first.
        """
        self.index = {variable.id: k for k, variable in enumerate(tables.variables)}
        self.states = [variable.states for variable in tables.variables]
        sizes = [len(states) for states in self.states]
        scopes = [[self.index[v] for v in (x.id, *x.parents)] for x in tables.variables]
        cliques = find_cliques(scopes, sizes)
        self.cells = sum(cells(clique, sizes) for clique in cliques)
        if self.cells > limit:
            largest = max(cliques, key=lambda clique: cells(clique, sizes))
            dear = sorted(largest, key=lambda v: -sizes[v])
            raise TooLargeError(self.cells, limit, [tables.variables[v].id for v in dear])
        self.tree = Tree(tables, join_cliques(cliques, sizes))

    def beliefs(self, evidence: Evidence, targets: Sequence[str] | None = None) -> Beliefs:
        """Return P(state | evidence) of every target, or of every variable.

        Raises ``ImpossibleEvidenceError``.
        """
        names = list(self.index) if targets is None else targets
        weights, beliefs = self.tree.marginals(self._likelihoods(evidence), self._at(names))
        if weights[0] == -np.inf:
            raise ImpossibleEvidenceError
        return self._row(beliefs, 0, names)

    def probability(self, evidence: Evidence) -> float:
        """Return P(evidence); zero where it is impossible."""
        weights, _ = self.tree.marginals(self._likelihoods(evidence), ())
        return float(np.exp(weights[0]))

    def what_if(
        self, evidence: Evidence, targets: Sequence[str], candidates: Sequence[Candidate]
    ) -> dict[Candidate, dict[Answer, tuple[float, Beliefs]]]:
        """Return, per candidate and answer, its probability and the beliefs after it.

        The beliefs after an impossible answer are empty. Raises
        ``ImpossibleEvidenceError`` for the evidence itself.
        """
        likelihoods = self._likelihoods(evidence)
        weight, _ = self.tree.marginals(likelihoods, ())
        if weight[0] == -np.inf:
            raise ImpossibleEvidenceError
        asked = [(c, answer) for c in candidates for answer in self._answers(c)]
        results: dict[Candidate, dict[Answer, tuple[float, Beliefs]]] = {c: {} for c in candidates}
        chunk = max(1, CHUNK_CELLS // self.cells)
        for start in range(0, len(asked), chunk):
            part = asked[start : start + chunk]
            rows = self._with_rows(likelihoods, [self._picks(*pair) for pair in part])
            weights, beliefs = self.tree.marginals(rows, self._at(targets))
            chances = np.exp(weights - weight)
            for row, (candidate, answer) in enumerate(part):
                after = self._row(beliefs, row, targets) if chances[row] > 0.0 else {}
                results[candidate][answer] = (float(chances[row]), after)
        return results

    def _at(self, names: Iterable[str]) -> list[int]:
        return [self.index[name] for name in names]

    def _row(self, beliefs: Mapping[int, Array], row: int, names: Iterable[str]) -> Beliefs:
        result: Beliefs = {}
        for name in names:
            variable = self.index[name]
            chances = beliefs[variable]
            values = chances[row if len(chances) > 1 else 0].tolist()
            result[name] = dict(zip(self.states[variable], values, strict=True))
        return result

    def _likelihoods(self, evidence: Evidence) -> dict[int, Array]:
        result = {}
        for name, said in evidence.items():
            variable = self.index[name]
            likelihood = {said: 1.0} if isinstance(said, str) else said
            array = np.zeros((1, len(self.states[variable])))
            for state, chance in likelihood.items():
                array[0, self._state(variable, state)] = chance
            result[variable] = array
        return result

    def _state(self, variable: int, state: str) -> int:
        if state not in self.states[variable]:
            raise KeyError(state)
        return self.states[variable].index(state)

    def _answers(self, candidate: Candidate) -> list[Answer]:
        if isinstance(candidate, str):
            return list(self.states[self.index[candidate]])
        return list(product(*(self.states[v] for v in self._at(candidate))))

    def _picks(self, candidate: Candidate, answer: Answer) -> list[tuple[int, int]]:
        """Return the variables of a candidate with their state indices."""
        names = (candidate,) if isinstance(candidate, str) else candidate
        states = (answer,) if isinstance(answer, str) else answer
        pairs = zip(self._at(names), states, strict=True)
        return [(variable, self._state(variable, state)) for variable, state in pairs]

    def _with_rows(
        self, likelihoods: Mapping[int, Array], rows: Sequence[Sequence[tuple[int, int]]]
    ) -> dict[int, Array]:
        """Return the likelihoods with each row's picks worked in."""
        result = dict(likelihoods)
        spread: dict[int, Array] = {}
        for row, picks in enumerate(rows):
            for variable, state in picks:
                if variable not in spread:
                    none = np.ones((1, len(self.states[variable])))
                    base = likelihoods.get(variable, none)
                    spread[variable] = np.repeat(base, len(rows), axis=0)
                kept = spread[variable][row, state]
                spread[variable][row] = 0.0
                spread[variable][row, state] = kept
        return result | spread
