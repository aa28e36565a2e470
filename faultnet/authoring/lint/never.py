"""Links whose conditions on the layout never hold together, so that they say nothing."""

from collections.abc import Iterator

from faultnet.authoring.problem import Problem, warning
from faultnet.model.condition import When
from faultnet.model.knowledge import Knowledge
from faultnet.model.origin import Origin

Told = tuple[str, Origin, str]


def never(knowledge: Knowledge) -> Iterator[Problem]:
    """Yield links, chains, factors, rules and checks that no layout lets hold."""
    for looks in (_of_causes, _of_findings, _of_checks):
        for entity, origin, what in looks(knowledge):
            message = f"{what} under no layout: the conditions shut each other out."
            hint = "Look at `only-when` and `when` of both, or take the line away."
            yield warning("never-holds", entity, origin, message, hint)


def _of_causes(knowledge: Knowledge) -> Iterator[Told]:
    for cause in knowledge.causes.values():
        only = cause.only_when
        for link in cause.shows:
            finding = knowledge.findings[link.finding]
            if not finding.found_cause and not _meet(only, link.when, finding.only_when):
                yield cause.id, link.origin, f"It shows `{finding.id}`"
        for arc in cause.leads_to:
            if not _meet(only, knowledge.causes[arc.cause].only_when):
                yield cause.id, arc.origin, f"It leads to `{arc.cause}`"
        for factor in cause.likelier_when:
            if not _meet(only, {factor.about: (factor.value,)}):
                told = f"It is likelier with `{factor.about}: {factor.value}`"
                yield cause.id, factor.factor.origin, told


def _of_findings(knowledge: Knowledge) -> Iterator[Told]:
    for finding in knowledge.findings.values():
        for rule in finding.follows_from:
            first = knowledge.findings[rule.finding]
            if not _meet(finding.only_when, rule.when, first.only_when):
                yield finding.id, rule.origin, f"It follows from `{first.id}`"


def _of_checks(knowledge: Knowledge) -> Iterator[Told]:
    for check in knowledge.checks.values():
        for name in check.reveals:
            finding = knowledge.findings.get(name)
            if finding is None:
                continue
            cause = knowledge.causes.get(finding.found_cause)
            only = cause.only_when if cause else finding.only_when
            if not _meet(check.only_when, only):
                told = f"It looks for `{cause.id}`" if cause else f"It reveals `{name}`"
                yield check.id, check.origin, told


def _meet(*conditions: When) -> bool:
    """Tell whether some value of each layout is allowed by all conditions."""
    left: dict[str, frozenset[str]] = {}
    for condition in conditions:
        for layout, values in condition.items():
            left[layout] = left.get(layout, frozenset(values)) & frozenset(values)
    return all(left.values())
