"""Conditions on the layout that hold in no system: what stands below them is never there."""

from collections.abc import Iterator

import msgspec

from faultnet.authoring.problem import Problem, warning
from faultnet.model.condition import When
from faultnet.model.knowledge import Knowledge
from faultnet.model.origin import Origin
from faultnet.model.system import System


class _Condition(msgspec.Struct, frozen=True):
    """Conditions that must hold together for something of a part to be there.

    ``given`` are conditions of others; where they alone never hold, that is told of them.
    """

    entity: str
    what: str
    origin: Origin
    parts: frozenset[str]
    own: When
    given: tuple[When, ...] = ()


def never_holding(knowledge: Knowledge) -> Iterator[Problem]:
    """Yield findings, checks, links and rules that no system's layout allows.

    Causes are told by ``raising.nowhere``. What stands in no system at all is passed over, and
    conditions that shut each other out, whatever the system: lint tells of both.
    """
    for each in _conditions(knowledge):
        systems = [s for s in knowledge.systems.values() if each.parts <= set(s.parts)]
        systems = [s for s in systems if all(_possible((when,), s) for when in each.given)]
        when = (*each.given, each.own)
        if systems and _meet(when) and not any(_possible(when, system) for system in systems):
            named = ", ".join(dict.fromkeys(layout for part in when for layout in part))
            yield warning(
                "no-system-allows",
                each.entity,
                each.origin,
                f"{each.what} is never there: no system can have such a layout ({named}).",
                "Change the condition, the `only-when` of what it belongs to, or the `layout` of "
                "a system.",
            )


def _conditions(knowledge: Knowledge) -> Iterator[_Condition]:
    for check in knowledge.checks.values():
        here = frozenset({check.part})
        yield _Condition(check.id, "The check", check.origin, here, check.only_when)
    for finding in knowledge.findings.values():
        here, given = frozenset({finding.part}), (finding.only_when,)
        yield _Condition(finding.id, "The finding", finding.origin, here, finding.only_when)
        for rule in finding.follows_from:
            what = f"What follows from `{rule.finding}`"
            yield _Condition(finding.id, what, rule.origin, here, rule.when, given)
    for cause in knowledge.causes.values():
        for link in cause.shows:
            shown = knowledge.findings[link.finding]
            both = (cause.only_when, shown.only_when)
            parts = frozenset({cause.part, shown.part})
            what = f"The link to `{link.finding}`"
            yield _Condition(cause.id, what, link.origin, parts, link.when, both)


def _possible(when: tuple[When, ...], system: System) -> bool:
    """Whether all the conditions can hold at once in a system."""
    return all(
        any(system.layout[layout][v].value > 0.0 for v in values if v in system.layout[layout])
        for layout, values in _together(when).items()
        if layout in system.layout
    )


def _meet(when: tuple[When, ...]) -> bool:
    """Whether some value of each layout is allowed by all the conditions."""
    return all(_together(when).values())


def _together(when: tuple[When, ...]) -> dict[str, set[str]]:
    """The values of each layout that all the conditions allow."""
    wanted: dict[str, set[str]] = {}
    for each in when:
        for layout, values in each.items():
            wanted[layout] = wanted.get(layout, set(values)) & set(values)
    return wanted
