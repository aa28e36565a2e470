"""What entries owe each other: findings their causes, checks their findings."""

import itertools
from collections.abc import Iterator

from faultnet.authoring.problem import Problem, problem
from faultnet.model.finding import Finding
from faultnet.model.knowledge import Knowledge
from faultnet.model.reading import Reading

MOST_REVEALED = 5


def entries(knowledge: Knowledge) -> Iterator[Problem]:
    """Yield findings that nothing produces, crowded checks, hiders with needs, no families."""
    yield from _unproduced(knowledge)
    yield from _crowded(knowledge)
    yield from _hides_with_needs(knowledge)
    yield from _not_a_family(knowledge)


def _unproduced(knowledge: Knowledge) -> Iterator[Problem]:
    shown = {link.finding for cause in knowledge.causes.values() for link in cause.shows}
    for finding in knowledge.findings.values():
        if finding.id not in shown and not finding.follows_from and not finding.dangers:
            yield problem(
                "finding-nobody-produces",
                finding.origin,
                "No cause shows this finding and it follows from no other.",
                "Name it under `shows` of a cause, or give it `follows-from`.",
                entity=finding.id,
            )


def _crowded(knowledge: Knowledge) -> Iterator[Problem]:
    for check in knowledge.checks.values():
        if len(check.reveals) > MOST_REVEALED:
            message = f"The check reveals and looks for {len(check.reveals)} things together."
            hint = f"Split it: at most {MOST_REVEALED} can be weighed together."
            yield problem("check-reveals-too-much", check.origin, message, hint, entity=check.id)


def _hides_with_needs(knowledge: Knowledge) -> Iterator[Problem]:
    for finding in knowledge.findings.values():
        for other in (*finding.hidden_by, *finding.needs):
            hider = knowledge.findings.get(other)
            if hider is not None and hider.needs:
                verb = "hides" if other in finding.hidden_by else "is needed by"
                message = f"`{other}` {verb} `{finding.id}`, but has `needs` itself."
                hint = f"Take `needs` away from `{other}`, or name what it needs here instead."
                yield problem("hides-with-needs", hider.origin, message, hint, entity=other)


def _not_a_family(knowledge: Knowledge) -> Iterator[Problem]:
    """Yield readings about several findings that could show together, or have more answers."""
    for reading in knowledge.readings.values():
        message = next(_apart(knowledge, reading), "")
        if message:
            hint = "Write two readings, or give one of the findings `hidden-by` the other."
            yield problem("unfit-reading", reading.origin, message, hint, entity=reading.id)


def _apart(knowledge: Knowledge, reading: Reading) -> Iterator[str]:
    family = [knowledge.findings[f] for f in reading.findings if f in knowledge.findings]
    for finding in family if len(family) > 1 else ():
        if len(finding.answers) != 2:
            yield f"`{finding.id}` has other answers than no and yes."
    for first, second in itertools.combinations(family, 2):
        if not (_hides(knowledge, first, second) or _hides(knowledge, second, first)):
            yield f"`{first.id}` and `{second.id}` can show together."


def _hides(knowledge: Knowledge, hider: Finding, hidden: Finding) -> bool:
    """Whether one finding hides another, by way of others too."""
    reached, left = set[str](), [hidden.id]
    while left:
        above = knowledge.findings.get(left.pop())
        new = set(above.hidden_by) - reached if above else set[str]()
        reached |= new
        left += new
    return hider.id in reached
