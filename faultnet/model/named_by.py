"""What names what, told from the other end: which causes show a finding, and the like."""

from collections.abc import Iterable, Iterator
from functools import cached_property
from typing import TypeVar

import msgspec

from faultnet.model.cause import Cause, Factor, LeadsTo, Shows
from faultnet.model.check import Check
from faultnet.model.finding import Finding, Follows
from faultnet.model.knowledge import Knowledge
from faultnet.model.look_alike import LookAlike
from faultnet.model.origin import Number
from faultnet.model.procedure import Procedure
from faultnet.model.reading import Reading
from faultnet.model.repair import Repair
from faultnet.model.set_up import SetUp
from faultnet.model.system import System

T = TypeVar("T")
Links = dict[str, tuple[T, ...]]
"""Ids to what names them, in the order of the files."""


class NamedBy(msgspec.Struct, frozen=True, dict=True):
    """The links of a knowledge followed backwards; what nobody names is not in them."""

    knowledge: Knowledge

    @cached_property
    def shown_by(self) -> Links[tuple[Cause, Shows]]:
        """Finding to the causes that show it, each with the link that says so."""
        causes = self.knowledge.causes.values()
        return _gathered((s.finding, (cause, s)) for cause in causes for s in cause.shows)

    @cached_property
    def followed_by(self) -> Links[tuple[Finding, Follows]]:
        """Finding to the findings that follow from it, each with its rule."""
        findings = self.knowledge.findings.values()
        return _gathered((f.finding, (each, f)) for each in findings for f in each.follows_from)

    @cached_property
    def revealed_by(self) -> Links[Check]:
        """Finding, circumstance or layout to the checks that reveal it."""
        checks = self.knowledge.checks.values()
        return _gathered((about, check) for check in checks for about in check.reveals)

    @cached_property
    def looked_for_by(self) -> Links[Check]:
        """Cause to the checks that look for it."""
        findings = self.knowledge.findings
        return _gathered(
            (findings[about].found_cause, check)
            for about, checks in self.revealed_by.items()
            if about in findings and findings[about].found_cause
            for check in checks
        )

    @cached_property
    def read_by(self) -> Links[Reading]:
        """Finding to the readings that speak about it."""
        readings = self.knowledge.readings.values()
        return _gathered((finding, each) for each in readings for finding in each.findings)

    @cached_property
    def mends(self) -> Links[Cause]:
        """Repair to the causes that it mends."""
        return _gathered((cause.repair, cause) for cause in self.knowledge.causes.values())

    @cached_property
    def comes_from(self) -> Links[tuple[Cause, LeadsTo]]:
        """Cause to the causes that lead to it, each with the link that says so."""
        causes = self.knowledge.causes.values()
        return _gathered((to.cause, (cause, to)) for cause in causes for to in cause.leads_to)

    @cached_property
    def brought_by(self) -> Links[tuple[Repair, Number]]:
        """Cause to the repairs that may bring it in, each with the chance."""
        repairs = self.knowledge.repairs.values()
        return _gathered((c, (repair, n)) for repair in repairs for c, n in repair.brings.items())

    @cached_property
    def tipped_by(self) -> Links[tuple[Cause, Factor]]:
        """Circumstance or layout to the causes whose odds it tips, each with the factor."""
        causes = self.knowledge.causes.values()
        return _gathered((f.about, (cause, f)) for cause in causes for f in cause.likelier_when)

    @cached_property
    def alike(self) -> Links[LookAlike]:
        """Cause to the groups of causes that look like it."""
        groups = self.knowledge.look_alikes.values()
        return _gathered((cause, group) for group in groups for cause in group.causes)

    @cached_property
    def done_by(self) -> Links[Check | Repair | SetUp]:
        """Procedure to the checks, repairs and set-ups that are done by it."""
        works = [(name, each) for each in self._works for name in each.work.procedures]
        set_ups = self.knowledge.set_ups.values()
        return _gathered([*works, *((name, each) for each in set_ups for name in each.procedures)])

    @cached_property
    def wanted_by(self) -> Links[Check | Repair | SetUp]:
        """Set-up to the checks, repairs and set-ups that need it."""
        works = [(name, each) for each in self._works for name in each.work.set_ups]
        set_ups = self.knowledge.set_ups.values()
        return _gathered([*works, *((name, each) for each in set_ups for name in each.requires)])

    @cached_property
    def causes_in(self) -> Links[Cause]:
        """Part to its causes."""
        return _gathered((cause.part, cause) for cause in self.knowledge.causes.values())

    @cached_property
    def built_from(self) -> Links[System]:
        """Part to the systems that have it."""
        systems = self.knowledge.systems.values()
        return _gathered((part, system) for system in systems for part in system.parts)

    @cached_property
    def seen_in(self) -> Links[Cause]:
        """Source to the causes that were seen in it."""
        causes = self.knowledge.causes.values()
        return _gathered((source, cause) for cause in causes for source in cause.seen_in)

    @cached_property
    def cited_by(self) -> Links[Reading | Procedure]:
        """Source to the readings and procedures with numbers out of it."""
        known = self.knowledge
        entries: list[Reading | Procedure] = [*known.readings.values()]
        entries += known.procedures.values()
        return _gathered(
            (source, entry)
            for entry in entries
            for source in dict.fromkeys(s for n in numbers_of(entry) for s in n.provenance)
            if source in known.sources
        )

    @property
    def _works(self) -> tuple[Check | Repair, ...]:
        return (*self.knowledge.checks.values(), *self.knowledge.repairs.values())


def _gathered(pairs: Iterable[tuple[str, T]]) -> Links[T]:
    found: dict[str, list[T]] = {}
    for name, each in pairs:
        found.setdefault(name, []).append(each)
    return {name: tuple(each) for name, each in found.items()}


def numbers_of(value: object) -> Iterator[Number]:
    """Yield the numbers that an entry holds, wherever in it they stand."""
    if isinstance(value, Number):
        yield value
    elif isinstance(value, msgspec.Struct):
        for field in value.__struct_fields__:
            yield from numbers_of(getattr(value, field))
    elif isinstance(value, dict | tuple):
        for each in value.values() if isinstance(value, dict) else value:
            yield from numbers_of(each)
