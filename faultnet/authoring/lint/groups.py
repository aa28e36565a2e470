"""Look-alikes whose own strengths say otherwise."""

from collections.abc import Iterator
from itertools import combinations

from faultnet.authoring.problem import Problem, warning
from faultnet.authoring.rules.safe_work import site_of
from faultnet.model.cause import Cause
from faultnet.model.check import Check
from faultnet.model.knowledge import Knowledge
from faultnet.model.look_alike import LookAlike
from faultnet.model.named_by import Links, NamedBy

PARTS = 0.25
"""Strengths that differ by this much part two causes a little (judgement)."""
PARTS_WELL = 0.75
"""And by this much so well that nobody takes the two for the same (judgement)."""

Chances = dict[str, float]
_Apart = tuple[Cause, Cause, Chances]


def groups(knowledge: Knowledge) -> Iterator[Problem]:
    """Yield groups that a cheaper check parts, and groups that their own check does not."""
    revealed_by = NamedBy(knowledge).revealed_by
    for group in knowledge.look_alikes.values():
        check = knowledge.checks.get(group.parted_by)
        if check is None:
            continue
        pairs = combinations([knowledge.causes[name] for name in group.causes], 2)
        apart = [(one, other, _apart(one, other)) for one, other in pairs]
        yield from _unparted(group, check, apart, knowledge)
        yield from _parted(group, check, apart, knowledge, revealed_by)


def _apart(one: Cause, other: Cause) -> Chances:
    """Return by how much the chances that two causes show each finding differ."""
    first, second = _chances(one), _chances(other)
    return {
        finding: abs(first.get(finding, 0.0) - second.get(finding, 0.0))
        for finding in dict.fromkeys((*first, *second))
    }


def _chances(cause: Cause) -> Chances:
    """Return the chance of any answer that is not normal, under the layout that shows it most."""
    chances: Chances = {}
    for link in cause.shows:
        chance = sum(number.value for number in link.strength)
        chances[link.finding] = max(chance, chances.get(link.finding, 0.0))
    return chances


def _unparted(
    group: LookAlike, check: Check, apart: list[_Apart], knowledge: Knowledge
) -> Iterator[Problem]:
    if any(name not in knowledge.findings for name in check.reveals):
        return  # a circumstance or the layout may part them
    for one, other, by in apart:
        if not any(by.get(name, 0.0) >= PARTS for name in check.reveals):
            message = f"`{check.id}` does not part `{one.id}` and `{other.id}`: "
            told = f"{message}it reveals nothing that they show differently."
            hint = "Name the check that does, or let it look for one of them."
            yield warning("look-alikes-not-parted", group.id, group.origin, told, hint)


def _parted(
    group: LookAlike, check: Check, apart: list[_Apart], knowledge: Knowledge, by: Links[Check]
) -> Iterator[Problem]:
    """Yield the pair that a check of fewer minutes parts best, looks for a cause left out."""
    cheaper = [
        (-share, one.id, other.id, finding, look.id)
        for one, other, chances in apart
        for finding, share in chances.items()
        if share >= PARTS_WELL and not knowledge.findings[finding].found_cause
        for look in by.get(finding, ())
        if look.id != check.id and _minutes(look, knowledge) < _minutes(check, knowledge)
    ]
    if cheaper:
        _, one, other, finding, name = min(cheaper)
        message = f"`{finding}` parts `{one}` and `{other}` well, and `{name}` is the cheaper look."
        hint = f"Write parted-by: {name}, take one of them out, or look at the strengths again."
        yield warning("look-alikes-parted", group.id, group.origin, message, hint)


def _minutes(check: Check, knowledge: Knowledge) -> float:
    """Return the minutes of a check with its waiting and with all its set-ups."""
    set_ups = [knowledge.set_ups[name] for name in site_of(check.work, knowledge)]
    made = sum(each.make.value + each.undo.value for each in set_ups)
    return check.work.minutes.value + check.work.waiting.value + made
