"""What the cases beside the knowledge exercise, and what none of them does.

A case exercises what it would notice: a cause that it expects; a finding that it answers, or
that a reading of it speaks about; a strength, when it expects the cause and answers the
finding; a check that it expects next, or of which it gives an answer; a danger that it
expects and gives; a value of the layout that it names. What a check finds of the cause it
looks for comes of itself and is left out.
"""

from collections import defaultdict
from collections.abc import Iterable, Iterator
from functools import cached_property
from typing import TypeAlias

import msgspec

from faultnet.advice.observe import dangers_of
from faultnet.model.cause import Cause, Shows
from faultnet.model.condition import When
from faultnet.model.example import Example
from faultnet.model.knowledge import Knowledge
from faultnet.model.origin import Origin
from faultnet.model.system import System

KINDS = ("cause", "finding", "strength", "likelier-when", "check", "layout", "danger")
"""What can be exercised, in the order in which it is told."""


class Entry(msgspec.Struct, frozen=True):
    """Something authored, where it stands, and the ids of the cases that exercise it."""

    kind: str
    id: str
    place: Origin
    cases: tuple[str, ...]


def coverage(knowledge: Knowledge, examples: Iterable[Example]) -> tuple[Entry, ...]:
    """Return everything that cases can exercise, by kind and then as authored."""
    return tuple(_Covering(knowledge, [_Read(knowledge, e) for e in examples]).entries())


class _Read(msgspec.Struct, frozen=True, dict=True):
    """A case, asked what it gives and expects."""

    knowledge: Knowledge
    example: Example

    @cached_property
    def system(self) -> System:
        return self.knowledge.systems[self.example.system]

    @cached_property
    def causes(self) -> frozenset[str]:
        """The causes that it expects in some way."""
        expect = self.example.expect
        named = [*expect.first, *expect.at_least, *(c for each in expect.before for c in each)]
        return frozenset((*named, *(c for each in expect.within.values() for c in each)))

    @cached_property
    def answers(self) -> dict[str, set[str]]:
        """The findings that it gives, with the answers told; none for those of a reading."""
        given: defaultdict[str, set[str]] = defaultdict(set)
        for round_ in self.example.evidence.rounds:
            for answer in round_.answers:
                given[answer.finding].add(answer.answer)
            for taken in round_.taken:
                for finding in self.knowledge.readings[taken.reading].findings:
                    given[finding].update()
        return given

    @cached_property
    def site(self) -> dict[str, str]:
        """Layout and circumstances as it gives them."""
        held = self.example.evidence.circumstances.items()
        return {**self.example.evidence.layout, **{c: "yes" if so else "no" for c, so in held}}

    def allows(self, when: When) -> bool:
        """Whether a condition can hold at its site."""
        layout = self.example.evidence.layout
        return all(
            layout[name] in values if name in layout else bool(self._possible(name) & {*values})
            for name, values in when.items()
        )

    def _possible(self, layout: str) -> set[str]:
        return {v for v, prior in self.system.layout.get(layout, {}).items() if prior.value > 0.0}


class _Covering(msgspec.Struct, frozen=True):
    """Walks the knowledge kind by kind; each yields a name, a place and the cases."""

    knowledge: Knowledge
    cases: list[_Read]

    def entries(self) -> Iterator[Entry]:
        walks = {
            "cause": self.causes,
            "finding": self.findings,
            "strength": self.strengths,
            "likelier-when": self.factors,
            "check": self.checks,
            "layout": self.layout,
            "danger": self.dangers,
        }
        for kind in KINDS:
            for name, place, cases in walks[kind]():
                yield Entry(kind, name, place, tuple(case.example.id for case in cases))

    def causes(self) -> "Walk":
        for cause in self.knowledge.causes.values():
            yield cause.id, cause.origin, self._expecting(cause.id)

    def findings(self) -> "Walk":
        for finding in self.knowledge.findings.values():
            if not finding.found_cause:
                yield finding.id, finding.origin, self._giving(finding.id)

    def strengths(self) -> "Walk":
        for cause in self.knowledge.causes.values():
            expecting = self._expecting(cause.id)
            for shows in self._authored(cause):
                name = f"{cause.id} shows {shows.finding}{_where(shows.when)}"
                cases = [c for c in expecting if shows.finding in c.answers]
                yield name, shows.origin, [c for c in cases if c.allows(shows.when)]
        for finding in self.knowledge.findings.values():
            for rule in finding.follows_from:
                name = f"{finding.id} follows from {rule.finding}{_where(rule.when)}"
                showing = self._showing(rule.finding)
                yield (
                    name,
                    rule.origin,
                    [
                        case
                        for case in self._giving(finding.id)
                        if (rule.finding in case.answers or showing & case.causes)
                        and case.allows(rule.when)
                    ],
                )

    def factors(self) -> "Walk":
        for cause in self.knowledge.causes.values():
            expecting = self._expecting(cause.id)
            for factor in cause.likelier_when:
                name = f"{cause.id} likelier when {factor.about}={factor.value}"
                cases = [c for c in expecting if c.site.get(factor.about) == factor.value]
                yield name, factor.factor.origin, cases

    def checks(self) -> "Walk":
        for check in self.knowledge.checks.values():
            cases = [
                case
                for case in self.cases
                if check.id in case.example.expect.next
                or any(finding in case.answers for finding in check.reveals)
            ]
            yield check.id, check.origin, cases

    def layout(self) -> "Walk":
        for layout in self.knowledge.layouts.values():
            for value in layout.values:
                if self._possible(layout.id, value.id):
                    cases = [c for c in self.cases if c.site.get(layout.id) == value.id]
                    yield f"{layout.id}={value.id}", value.prior.origin, cases

    def dangers(self) -> "Walk":
        for finding in self.knowledge.findings.values():
            cases = [c for c in self.cases if c.example.expect.danger == finding.id]
            for danger in finding.dangers:
                met = [
                    case
                    for case in cases
                    if any(danger in dangers_of(finding, a) for a in case.answers[finding.id])
                ]
                yield f"{finding.id}={danger.answer}", finding.origin, met

    def _authored(self, cause: Cause) -> Iterator[Shows]:
        """The links of a cause, without those to what the checks that look for it find."""
        for shows in cause.shows:
            if not self.knowledge.findings[shows.finding].found_cause:
                yield shows

    def _expecting(self, cause: str) -> list[_Read]:
        return [case for case in self.cases if cause in case.causes]

    def _giving(self, finding: str) -> list[_Read]:
        return [case for case in self.cases if finding in case.answers]

    def _showing(self, finding: str) -> set[str]:
        causes = self.knowledge.causes.values()
        return {c.id for c in causes if any(s.finding == finding for s in c.shows)}

    def _possible(self, layout: str, value: str) -> bool:
        systems = self.knowledge.systems.values()
        priors = [system.layout.get(layout, {}).get(value) for system in systems]
        return any(prior is not None and prior.value > 0.0 for prior in priors)


Walk: TypeAlias = Iterator[tuple[str, Origin, list[_Read]]]


def _where(when: When) -> str:
    """A condition as it is said behind a name."""
    told = ", ".join(f"{name}={' or '.join(values)}" for name, values in when.items())
    return f" when {told}" if told else ""
