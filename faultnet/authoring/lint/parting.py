"""Causes that no finding parts, although no look-alikes group says so."""

from collections.abc import Iterator
from itertools import combinations

from faultnet.authoring.problem import Problem, warning
from faultnet.authoring.when import overlap
from faultnet.model.cause import Cause
from faultnet.model.knowledge import Knowledge

NEAR = 0.05
"""Strengths that differ by no more than this part nothing."""

Profile = dict[tuple[object, ...], float]


def unparted(knowledge: Knowledge) -> Iterator[Problem]:
    """Yield each pair of causes of one system with the same findings and strengths.

    What a check looks for outright does not count: it is no cheap finding.
    """
    grouped = [set(group.causes) for group in knowledge.look_alikes.values()]
    profiles = {
        cause.id: _profile(cause, knowledge)
        for cause in knowledge.causes.values()
        if not cause.audit
    }
    for first, second in combinations(profiles, 2):
        one, other = knowledge.causes[first], knowledge.causes[second]
        if (
            _alike(profiles[first], profiles[second])
            and overlap(one.only_when, other.only_when)
            and _meet(one, other, knowledge)
            and not any({first, second} <= group for group in grouped)
        ):
            yield warning(
                "causes-no-finding-parts",
                second,
                other.origin,
                f"No finding parts it from `{first}`: both show the same equally often.",
                "Give one of them another finding, or put both into a look-alikes group.",
            )


def _profile(cause: Cause, knowledge: Knowledge) -> Profile:
    """Return the chance of each answer of each finding, by layout."""
    return {
        (link.finding, place, tuple(sorted(link.when.items()))): number.value
        for link in cause.shows
        if not knowledge.findings[link.finding].found_cause
        for place, number in enumerate(link.strength)
    }


def _alike(first: Profile, second: Profile) -> bool:
    return all(
        abs(first.get(key, 0.0) - second.get(key, 0.0)) <= NEAR + 1e-9
        for key in first.keys() | second.keys()
    )


def _meet(first: Cause, second: Cause, knowledge: Knowledge) -> bool:
    """Tell whether two causes stand in one system."""
    return any({first.part, second.part} <= set(each.parts) for each in knowledge.systems.values())
