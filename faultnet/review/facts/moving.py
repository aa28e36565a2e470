"""Findings that move no ranking, whatever else is known: a bound that is proved.

However the world is, and whatever else was told, the chance of hearing an answer lies
between two numbers: that with every cause quiet, where only the leak is left, and that with
all of them present, brought along as well as come of themselves, and every rule holding.
Their ratio r is the most by which the answer can change the odds of anything, so no chance
moves by more than (sqrt r - 1) / (sqrt r + 1). That holds until a repair is done, for
findings on which no other hangs and which nothing hides or withholds; where the finding is
there only under some layout, for that layout known. Of any other nothing is said.
"""

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from functools import cached_property
from math import fsum, inf, prod, sqrt

import msgspec

from faultnet.advice.candidates import SPEAKER
from faultnet.advice.observe import said
from faultnet.advice.subject import Subject
from faultnet.authoring.problem import Problem, warning
from faultnet.model.evidence import Answer
from faultnet.model.finding import Finding
from faultnet.model.named_by import NamedBy
from faultnet.network.network import Finding as Node
from faultnet.review.facts.told import Told

LEAST = 0.05
"""Below this, what an answer can move is not worth its question; judgement."""


class Moving(msgspec.Struct, frozen=True, dict=True):
    """Bounds on what answers can move in one system."""

    subject: Subject
    named: NamedBy

    def most(self, finding: Finding) -> float:
        """Return the most that any answer moves any chance, 0 to 1; 1 where nothing is proved."""
        index = self.subject.findings[finding.id]
        node = self.subject.network.findings[index]
        if node.hidden_by or node.needs or index in self._parents:
            return 1.0
        low, high = _at_most(node, self._copies)
        ratio = max(_ratio(likelihood, low, high) for likelihood in self._heard(finding))
        return 1.0 if ratio == inf else (sqrt(ratio) - 1.0) / (sqrt(ratio) + 1.0)

    def _heard(self, finding: Finding) -> Iterator[tuple[float, ...]]:
        """Yield P(heard | level) for each answer that somebody, or an instrument, may give."""
        checks = self.named.revealed_by.get(finding.id, ())
        speakers = {SPEAKER.get(check.work.who, "technician") for check in checks}
        speakers |= {"caller"} if finding.ask_caller else set()
        count = len(finding.answers)
        for answer in finding.answers:
            for speaker in speakers or {"technician"}:
                yield said(self.subject, Answer(finding.id, answer, speaker))[:count]
            if finding.id in self._read:
                yield tuple(float(each == answer) for each in finding.answers)

    @cached_property
    def _parents(self) -> set[int]:
        """Findings that others hang on."""
        return {
            parent
            for node in self.subject.network.findings
            for parent in (*node.hidden_by, *node.needs, *(rule.source for rule in node.follows))
        }

    @cached_property
    def _copies(self) -> Counter[int]:
        """How often each cause can be there at once: of itself, and by each that brings it."""
        causes = self.subject.network.causes
        return Counter([*range(len(causes)), *(b.cause for cause in causes for b in cause.brings)])

    @cached_property
    def _read(self) -> set[str]:
        """Findings that an instrument speaks about."""
        return {f for each in self.named.knowledge.readings.values() for f in each.findings}


def unmoving(named: NamedBy, all_told: Sequence[Told]) -> Iterator[Problem]:
    """Yield the findings whose answers can move no chance by ``LEAST`` in any system."""
    bounds = [Moving(told.subject, named) for told in all_told]
    for finding in named.knowledge.findings.values():
        here = [each for each in bounds if finding.id in each.subject.findings]
        if not here or finding.dangers:
            continue
        moves = max(each.most(finding) for each in here)
        if moves < LEAST:
            yield warning(
                "finding-moves-nothing",
                finding.id,
                finding.origin,
                "No answer to it can move the chance of any cause by more than "
                f"{100 * moves:.1f} points of 100, whatever else is known.",
                "Make what shows it stronger, or `shows-anyway` smaller; or take it out.",
            )


def _at_most(node: Node, copies: Mapping[int, int]) -> tuple[list[float], list[float]]:
    """P(at most each level), the last left out: the least and the most that it can be."""
    levels = range(len(node.answers) - 1)
    leak = [1.0 - fsum(node.leak[k:]) for k in levels]
    sources = [(link.levels, copies[link.source]) for link in node.links]
    sources += [(rule.levels, 1) for rule in node.follows]
    low = [leak[k] * prod((1.0 - fsum(lv[k:])) ** times for lv, times in sources) for k in levels]
    return low, leak


def _ratio(likelihood: tuple[float, ...], low: list[float], high: list[float]) -> float:
    """The most by which the chance of hearing an answer can differ, as a factor.

    That chance is a sum over levels, written as one over P(at most the level): each term
    is then largest at one end of its range and smallest at the other.
    """
    least = most = likelihood[-1]
    for k, (bottom, top) in enumerate(zip(low, high, strict=True)):
        slope = likelihood[k] - likelihood[k + 1]
        ends = sorted((slope * bottom, slope * top))
        least, most = least + ends[0], most + ends[1]
    if most <= 0.0:
        return 1.0
    return most / least if least > 1e-12 else inf
