"""What entries owe each other: findings their causes, checks their findings."""

from collections.abc import Iterator

from faultnet.authoring.problem import Problem, problem
from faultnet.model.knowledge import Knowledge

MOST_REVEALED = 5


def entries(knowledge: Knowledge) -> Iterator[Problem]:
    """Yield findings that nothing produces, crowded checks, hiders that have needs."""
    yield from _unproduced(knowledge)
    yield from _crowded(knowledge)
    yield from _hides_with_needs(knowledge)


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
