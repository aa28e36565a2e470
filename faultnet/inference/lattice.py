"""The engine for authored knowledge: the lattice of what is already explained.

A question becomes one query per piece of evidence; the axes of its arrays are findings
and unknown roots, each open only while the sweep over the causes needs it.
"""

from collections.abc import Iterable, Mapping, Sequence
from itertools import product
from typing import TypeAlias

import msgspec

from faultnet.inference.downsets import Expander, Terms
from faultnet.inference.engine import (
    Beliefs,
    Candidate,
    Evidence,
    ImpossibleEvidenceError,
    TooLargeError,
)
from faultnet.inference.observed import Observed
from faultnet.inference.query import CELL_LIMIT, Query
from faultnet.inference.rows import Row
from faultnet.inference.what_ifs import answers, what_ifs
from faultnet.model.finding import CANNOT
from faultnet.network.network import PRESENCE, Network, seen
from faultnet.network.tables import Array

RARE = 1e-4
"""Answers rarer than this are asked about one by one; they are told by subtracting else."""

Answer: TypeAlias = str | tuple[str, ...]


class Lattice:
    """Exact inference on one round of a network; implements ``Engine``.

    Variables are roots, causes (``absent`` or ``present``) and findings, all by their ids;
    evidence may be hard or a likelihood on any of them. Everything is told given what
    ``faults`` says of the number of causes. Ids that are not there raise ``KeyError``.
    """

    name = "lattice"

    def __init__(self, network: Network, limit: int = CELL_LIMIT) -> None:
        """Give every cause a finding that shows it and nothing else: how it is observed."""
        self.ids = variables(network)
        self.limit = min(limit, CELL_LIMIT)
        count = len(network.findings)
        shown = tuple(seen(k, cause) for k, cause in enumerate(network.causes))
        self.network = msgspec.structs.replace(network, findings=(*network.findings, *shown))
        self.roots = {root.id: k for k, root in enumerate(network.roots)}
        self.causes = {cause.id: k for k, cause in enumerate(network.causes)}
        self.findings = {finding.id: k for k, finding in enumerate(network.findings)}
        self.findings |= {cause: count + k for cause, k in self.causes.items()}
        brings = [b for c in network.causes for b in c.brings if network.faults != "one"]
        self.brought = {bring.cause for bring in brings}

    def states(self, variable: str) -> tuple[str, ...]:
        """Return the states of a variable."""
        if variable in self.roots:
            return self.network.roots[self.roots[variable]].states
        finding = self.network.findings[self.findings[variable]]
        return (*finding.answers, CANNOT) if finding.needs else finding.answers

    def beliefs(self, evidence: Evidence, targets: Sequence[str] | None = None) -> Beliefs:
        """Return P(state | evidence) of every target, or of every variable.

        Raises ``ImpossibleEvidenceError`` and ``TooLargeError``.
        """
        names = self.ids if targets is None else list(targets)
        query = self._query(evidence, names)
        masses = query.masses()
        shown = self._shares(query, [v for v in names if self._by_rows(v)], masses.total)
        beliefs: Beliefs = {}
        for name in names:
            if name in shown:
                shares = shown[name]
            elif name in self.causes:
                present = min(masses.causes.get(self.causes[name], 0.0) / masses.total, 1.0)
                shares = [1.0 - present, present]
            else:
                shares = self._root(query, name, masses.roots, masses.total)
            beliefs[name] = dict(zip(self.states(name), map(float, shares), strict=True))
        return beliefs

    def probability(self, evidence: Evidence) -> float:
        """Return P(evidence), given what is known of the number of causes."""
        try:
            return self._total(evidence) / self._total({})
        except ImpossibleEvidenceError:
            return 0.0

    def predicted_cells(
        self,
        evidence: Evidence,
        targets: Sequence[str] | None = None,
        candidates: Sequence[Candidate] = (),
    ) -> int:
        """Return the cells of the largest array that a question needs; nothing is computed."""
        asked = [*(self.ids if targets is None else targets), *_names(candidates)]
        return max(1, self._compiled(evidence, asked).plan.cells)

    def what_if(
        self, evidence: Evidence, targets: Sequence[str], candidates: Sequence[Candidate]
    ) -> dict[Candidate, dict[Answer, tuple[float, Beliefs]]]:
        """Return, per candidate and answer, its probability and the beliefs after it.

        Where only causes are asked for, all answers are weighed at once. What follows a
        rare answer, or any other target, is asked anew with the answer as evidence, so that
        nothing is lost. The beliefs after an impossible answer are empty. Raises
        ``ImpossibleEvidenceError`` for the evidence itself, and ``TooLargeError``.
        """
        base = self._total(evidence)
        known = self._at_once(evidence, targets, candidates)
        results: dict[Candidate, dict[Answer, tuple[float, Beliefs]]] = {}
        for candidate in candidates:
            names = _names([candidate])
            results[candidate] = {}
            for states in product(*map(self.states, names)):
                answer = states[0] if isinstance(candidate, str) else states
                found = known.get((tuple(names), states))
                if found is None:
                    told = dict(zip(names, states, strict=True))
                    found = self._after(self._with(evidence, told, states, names), targets, base)
                results[candidate][answer] = found
        return results

    def _at_once(
        self, evidence: Evidence, targets: Sequence[str], candidates: Sequence[Candidate]
    ) -> dict[tuple[tuple[str, ...], tuple[str, ...]], tuple[float, Beliefs]]:
        """Weigh what can be weighed in one go: answers that are not rare, causes after them."""
        asked = [
            (tuple(names), states)
            for names in (_names([c]) for c in candidates)
            if names and not any(name in evidence or name in self.causes for name in names)
            for states in product(*map(self.states, names))
        ]
        if not asked or any(v not in self.causes or self._by_rows(v) for v in targets):
            return {}
        query = self._compiled(evidence, ())
        findings = [self.findings[v] for v in _names(candidates) if v in self.findings]
        ready = what_ifs(self.network, query.observed, findings)
        expander = Expander(ready.query)
        wanted = [
            expander.joint(self._term(expander, *pair) for pair in zip(names, states, strict=True))
            for names, states in asked
        ]
        weighed = answers(ready, wanted)
        total = float(ready.masses([Row()]).totals[0])
        found = {}
        for pair, weight, causes in zip(asked, weighed.totals, weighed.causes, strict=True):
            if weight > RARE * total:
                present = {v: min(float(causes[self.causes[v]] / weight), 1.0) for v in targets}
                beliefs = {
                    v: dict(zip(PRESENCE, (1.0 - p, p), strict=True)) for v, p in present.items()
                }
                found[pair] = (float(weight / total), beliefs)
        return found

    def _term(self, expander: Expander, name: str, state: str) -> Terms:
        states = self.states(name)
        if name in self.roots:
            return expander.root(self.roots[name], states.index(state))
        return expander.answer(self.findings[name], states.index(state))

    def _after(
        self, evidence: Evidence | None, targets: Sequence[str], base: float
    ) -> tuple[float, Beliefs]:
        try:
            if evidence is not None:
                return self._total(evidence) / base, self.beliefs(evidence, targets)
        except ImpossibleEvidenceError:
            pass
        return 0.0, {}

    def _with(
        self,
        evidence: Evidence,
        answers: Mapping[str, str],
        states: Sequence[str],
        names: Sequence[str],
    ) -> Evidence | None:
        """Return the evidence with answers, or None where they contradict it."""
        result = dict(evidence)
        for name, state in answers.items():
            before = evidence.get(name)
            kept = 1.0
            if isinstance(before, str):
                kept = float(before == state)
            elif before is not None:
                kept = before.get(state, 0.0)
            if kept == 0.0 or any(
                other != state for n, other in zip(names, states, strict=True) if n == name
            ):
                return None
            result[name] = {state: kept}
        return result

    def _total(self, evidence: Evidence) -> float:
        """P(evidence and what is known of the number of causes); a weight with one fault."""
        query = self._query(evidence, ())
        if query.statuses.impossible:
            raise ImpossibleEvidenceError
        total = float(query.weigh([Row()])[0])
        if total <= 0.0:
            raise ImpossibleEvidenceError
        return total

    def _query(self, evidence: Evidence, asked: Iterable[str]) -> Query:
        query = self._compiled(evidence, asked)
        if query.plan.cells > self.limit:
            dear = [self.network.findings[d.finding].id for d in query.draws if d.tracked]
            raise TooLargeError(
                query.plan.cells, self.limit, [name.removesuffix(" seen") for name in dear]
            )
        return query

    def _compiled(self, evidence: Evidence, asked: Iterable[str]) -> Query:
        roots: dict[int, tuple[float, ...]] = {}
        findings: dict[tuple[int, int], tuple[float, ...]] = {}
        for name, said in evidence.items():
            likelihood = {said: 1.0} if isinstance(said, str) else said
            states = self.states(name)
            for state in likelihood:
                if state not in states:
                    raise KeyError(state)
            chances = tuple(likelihood.get(state, 0.0) for state in states)
            if name in self.roots:
                roots[self.roots[name]] = chances
            else:
                findings[self.findings[name], 0] = chances
        candidates = [self.findings[v] for v in asked if self._by_rows(v)]
        return Query(self.network, Observed(1, roots, findings), candidates=candidates)

    def _by_rows(self, variable: str) -> bool:
        """Whether the chances of a variable come from rows: a cause come of itself does not."""
        if variable in self.causes:
            return self.causes[variable] in self.brought
        return variable not in self.roots

    def _shares(self, query: Query, names: Sequence[str], total: float) -> dict[str, list[float]]:
        """Return the chances of findings, as sums of rows worked through side by side."""
        expander = Expander(query)
        asked: list[tuple[str, Terms]] = [
            (name, expander.answer(self.findings[name], answer))
            for name in names
            for answer in range(len(self.states(name)))
        ]
        pairs = [(name, expander.rows(terms)) for name, terms in asked]
        weights = iter(query.weigh([row for _, rows in pairs for row, _ in rows]))
        shares: dict[str, list[float]] = {}
        for name, rows in pairs:
            chance = sum(c * next(weights) for _, c in rows) / total
            shares.setdefault(name, []).append(min(max(float(chance), 0.0), 1.0))
        return shares

    def _root(
        self, query: Query, name: str, masses: Mapping[int, Array], total: float
    ) -> list[float]:
        root = self.roots[name]
        known = query.known.get(root)
        if known is not None:
            return [float(k == known) for k in range(len(self.states(name)))]
        return [float(mass / total) for mass in masses[root]]


def variables(network: Network) -> list[str]:
    """Return the ids of all roots, causes and findings."""
    roots = [root.id for root in network.roots]
    return [*roots, *(c.id for c in network.causes), *(f.id for f in network.findings)]


def _names(candidates: Iterable[Candidate]) -> list[str]:
    return [v for c in candidates for v in ((c,) if isinstance(c, str) else c)]
