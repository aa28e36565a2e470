"""What belongs into a book: all of the knowledge, or what one system has."""

from collections.abc import Iterable

import msgspec

from faultnet.handbook.teller import kind_of
from faultnet.model.cause import Cause
from faultnet.model.check import Check
from faultnet.model.finding import Finding
from faultnet.model.knowledge import Knowledge
from faultnet.model.layout import Circumstance, Layout
from faultnet.model.procedure import Procedure
from faultnet.model.reading import Reading
from faultnet.model.repair import Repair
from faultnet.model.set_up import SetUp
from faultnet.model.system import System
from faultnet.network.build import UNLISTED, members


class Scope(msgspec.Struct, frozen=True):
    """The entries of a book by kind; findings that are a look at one cause are told with it."""

    systems: tuple[System, ...]
    causes: tuple[Cause, ...]
    findings: tuple[Finding, ...]
    checks: tuple[Check, ...]
    repairs: tuple[Repair, ...]
    set_ups: tuple[SetUp, ...]
    procedures: tuple[Procedure, ...]
    readings: tuple[Reading, ...]
    layouts: tuple[Layout, ...]
    circumstances: tuple[Circumstance, ...]

    def names(self) -> frozenset[str]:
        """Return the names of all entries, as links call them."""
        return frozenset(
            f"{kind_of(entry)}/{entry.id}"
            for field in self.__struct_fields__
            for entry in getattr(self, field)
        )


def everything(known: Knowledge) -> Scope:
    """Return all of the knowledge."""
    findings = tuple(each for each in known.findings.values() if not each.found_cause)
    return Scope(
        systems=tuple(known.systems.values()),
        causes=tuple(known.causes.values()),
        findings=findings,
        checks=tuple(known.checks.values()),
        repairs=tuple(known.repairs.values()),
        set_ups=tuple(known.set_ups.values()),
        procedures=tuple(known.procedures.values()),
        readings=tuple(known.readings.values()),
        layouts=tuple(known.layouts.values()),
        circumstances=tuple(known.circumstances.values()),
    )


def of_system(known: Knowledge, system: System) -> Scope:
    """Return what one system has; procedures and set-ups are those that its work needs."""
    here = members(known, system)
    causes = [known.causes[each] for each in here.causes if each != UNLISTED]
    inside = frozenset({*here.findings, *here.roots})
    checks = [
        c
        for c in known.checks.values()
        if c.part in system.parts and any(each in inside for each in c.reveals)
    ]
    repairs = _repairs(known, causes)
    works = [check.work for check in checks] + [repair.work for repair in repairs]
    set_ups = _set_ups(known, (name for work in works for name in work.set_ups))
    named = {name for work in works for name in work.procedures}
    named |= {name for set_up in set_ups for name in set_up.procedures}
    named |= {each.id for each in known.procedures.values() if each.by_phone}
    return Scope(
        systems=(system,),
        causes=tuple(causes),
        findings=tuple(f for f in known.findings.values() if f.id in inside and not f.found_cause),
        checks=tuple(checks),
        repairs=tuple(repairs),
        set_ups=set_ups,
        procedures=tuple(p for p in known.procedures.values() if p.id in named),
        readings=tuple(r for r in known.readings.values() if any(f in inside for f in r.findings)),
        layouts=tuple(known.layouts[each] for each in system.layout),
        circumstances=tuple(known.circumstances[each] for each in system.circumstances),
    )


def _repairs(known: Knowledge, causes: Iterable[Cause]) -> list[Repair]:
    """Return the repairs of causes, and what may be done instead of them."""
    names = {cause.repair for cause in causes}
    names |= {known.repairs[name].or_replace for name in names} - {""}
    return [each for each in known.repairs.values() if each.id in names]


def _set_ups(known: Knowledge, names: Iterable[str]) -> tuple[SetUp, ...]:
    """Return set-ups with all that they need first."""
    found, waiting = set[str](), list(names)
    while waiting:
        name = waiting.pop()
        if name not in found:
            found.add(name)
            waiting += known.set_ups[name].requires
    return tuple(each for each in known.set_ups.values() if each.id in found)
