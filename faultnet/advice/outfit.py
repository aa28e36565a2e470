"""What a visit needs: parts, tools, people and things to arrange, each with its chance.

A part is needed when at least one cause is present that is mended by a repair that takes
it. These chances are joint: one less P(none of those causes is present). They are exact, but
where that would take many seconds (``rough``). A tool is needed for repairs in the same way, and
for the checks that the advice begins with.
"""

from collections.abc import Iterable, Mapping, Sequence
from functools import cached_property

import msgspec

from faultnet.advice.grounds import grounds
from faultnet.advice.ranking import Beliefs, believe
from faultnet.advice.situation import without_roots
from faultnet.advice.subject import Subject
from faultnet.inference.query import Query
from faultnet.inference.rows import Row
from faultnet.model.check import Work
from faultnet.model.evidence import Evidence
from faultnet.model.repair import Repair
from faultnet.network.average import averaged

LEAST = 0.005
"""What is less likely to be needed is not listed."""

MOST = 50_000
"""Cells of an exact answer beyond which layout and circumstances are averaged out."""

Causes = frozenset[int]


class Need(msgspec.Struct, frozen=True):
    """Something that may be needed: the chance for repairs, and for the first checks."""

    id: str
    repair: float
    check: float = 0.0

    @property
    def probability(self) -> float:
        """The chance that it is needed: at least the greater of the two."""
        return max(self.repair, self.check)


class Outfitting(msgspec.Struct, frozen=True, dict=True):
    """The needs of a visit, for evidence; ``checks`` maps the first checks to their chance.

    What is less likely to be needed than ``least`` is not listed, and not reckoned.

    Every member raises ``ImpossibleEvidenceError`` and ``TooLargeError``.
    """

    subject: Subject
    evidence: Evidence
    checks: Mapping[str, float] = {}
    least: float = LEAST

    @cached_property
    def parts(self) -> tuple[Need, ...]:
        """Parts of repairs, likeliest first."""
        return self._needs({r.id: r.parts for r in self.repairs})

    @cached_property
    def tools(self) -> tuple[Need, ...]:
        """Tools of repairs and of the first checks, likeliest first."""
        known = self.subject.knowledge.checks
        return self._needs(
            {r.id: r.work.tools for r in self.repairs},
            {name: known[name].work.tools for name in self.checks},
        )

    @cached_property
    def people(self) -> tuple[Need, ...]:
        """Who has to do the repairs and the first checks."""
        known = self.subject.knowledge.checks
        return self._needs(
            {r.id: (r.work.who,) for r in self.repairs},
            {name: (known[name].work.who,) for name in self.checks},
        )

    @cached_property
    def items(self) -> tuple[Need, ...]:
        """Items of the stock, each as far as any part or tool that it serves as is needed."""
        known = self.subject.knowledge.checks
        return self._needs(
            {r.id: self._items(takes(r)) for r in self.repairs},
            {name: self._items(known[name].work.tools) for name in self.checks},
        )

    @cached_property
    def procedures(self) -> tuple[Need, ...]:
        """Procedures that repairs are done by, likeliest first."""
        return self._needs({r.id: r.work.procedures for r in self.repairs})

    @cached_property
    def lead_times(self) -> tuple[Need, ...]:
        """What has to be arranged ahead of a repair, likeliest first."""
        return self._needs({r.id: self.arranged(r) for r in self.repairs})

    def arranged(self, repair: Repair) -> tuple[str, ...]:
        """Return what has to be arranged ahead of one repair."""
        known = self.subject.knowledge.lead_times.values()
        wanted = takes(repair)
        return tuple(e.id for e in known if repair.id in e.repairs or set(e.needs) & wanted)

    @cached_property
    def repairs(self) -> tuple[Repair, ...]:
        """The repairs that mend something in this system."""
        return tuple(self.subject.knowledge.repairs[name] for name in self.subject.mended_by)

    @cached_property
    def beliefs(self) -> Beliefs:
        """What the evidence says about causes."""
        return believe(self.subject, self._query)

    def chance(self, repairs: Iterable[str]) -> float:
        """Return the chance that any of the causes is present that repairs mend."""
        causes = frozenset(c for r in repairs for c in self.subject.mended_by.get(r, ()))
        return self._present([causes])[causes]

    @property
    def rough(self) -> bool:
        """Whether unknown layout and circumstances are averaged out, as in plans."""
        return self._exact.plan.cells > MOST

    @cached_property
    def _exact(self) -> Query:
        return grounds(self.subject, self.evidence).query

    @cached_property
    def _query(self) -> Query:
        if not self.rough:
            return self._exact
        roots = believe(self.subject, self._exact, brought=False).roots
        network = averaged(self.subject.network, roots)
        return Query(network, without_roots(self._exact.observed))

    def _items(self, names: Iterable[str]) -> tuple[str, ...]:
        wanted = set(names)
        stock = self.subject.knowledge.stock.values()
        return tuple(item.id for item in stock if wanted & set(item.provides))

    def _needs(
        self,
        repairs: Mapping[str, Iterable[str]],
        checks: Mapping[str, Iterable[str]] | None = None,
    ) -> tuple[Need, ...]:
        """The needs of repairs and checks, from what each of them takes."""
        mended: dict[str, set[int]] = {}
        for repair, names in repairs.items():
            for name in names:
                mended.setdefault(name, set()).update(self.subject.mended_by[repair])
        used: dict[str, float] = {}
        for check, names in (checks or {}).items():
            for name in names:
                used[name] = max(used.get(name, 0.0), self.checks[check])
        causes = {name: frozenset(c) for name, c in mended.items()}
        present = self._present(list(causes.values()))
        chances = {name: present[c] for name, c in causes.items()}
        found = [Need(n, chances.get(n, 0.0), used.get(n, 0.0)) for n in {**chances, **used}]
        kept = [need for need in found if need.probability >= self.least]
        return tuple(sorted(kept, key=lambda need: (-need.probability, need.id)))

    def _present(self, sets: Sequence[Causes]) -> dict[Causes, float]:
        """P(any cause of a set is present); zero where it is surely below what is listed."""
        alone = [self.beliefs.causes[c.id] for c in self.subject.network.causes]
        new: list[Causes] = []
        for causes in dict.fromkeys(sets):
            most = sum(alone[c] for c in causes)
            if len(causes) == 1 or most < self.least:
                self._known[causes] = most if len(causes) == 1 else 0.0
            elif causes not in self._known:
                new.append(causes)
        weights = self._query.weigh([Row(absent=tuple(sorted(c))) for c in new])
        for causes, weight in zip(new, weights, strict=True):
            self._known[causes] = max(0.0, float(1.0 - weight / self.beliefs.total))
        return {causes: self._known[causes] for causes in sets}

    @cached_property
    def _known(self) -> dict[Causes, float]:
        """P(any cause of a set is present), as far as it has been reckoned."""
        return {}


def takes(repair: Repair) -> set[str]:
    """Return the parts and tools of a repair."""
    return {*repair.parts, *repair.work.tools}


def may_do(people: Iterable[str], work: Work) -> bool:
    """Whether work can be done with these people there; what a caller may do, anybody may."""
    return work.who == "caller" or work.who in set(people)
