"""Causes that the files may lack: what they are called, how they show, how common they are."""

from collections import Counter

import msgspec

from faultnet.learning.estimate.range_of import range_of_chance
from faultnet.learning.newcomers.groups import Group, Mark, groups_of, recurring
from faultnet.learning.newcomers.sightings import Gathered, Sighting, gathering
from faultnet.learning.proposed import Interval
from faultnet.learning.source import Source
from faultnet.model.finding import Finding
from faultnet.model.knowledge import Knowledge
from faultnet.sharing.sharing import Sharing
from faultnet.sharing.sums import added_up

RATE = 0.05
"""How often anything is told where the sightings have nothing in common."""
HOLDS = 0.9
NAMED = 8
"""Cases that are named."""


class Strength(msgspec.Struct, frozen=True):
    """How often a newcomer, alone, shows a finding, by abnormal answer; ``asked`` in so many."""

    finding: str
    by_answer: dict[str, float]
    interval: Interval
    asked: int


class Newcomer(msgspec.Struct, frozen=True):
    """A cause that the files may lack.

    ``words`` are those that its texts share. ``share`` is how common it is on a call, ``marks``
    what tells it from the other sightings; those that it brings about have a strength.
    ``months`` counts the sightings by month (``2026-01``).
    """

    words: tuple[str, ...]
    sightings: int
    share: float
    interval: Interval
    marks: tuple[Mark, ...]
    strengths: tuple[Strength, ...]
    months: dict[str, int]
    systems: tuple[str, ...]
    regions: tuple[str, ...]
    cases: tuple[str, ...]


class Newcomers(msgspec.Struct, frozen=True):
    """What was found among so many ``unlisted`` sightings, of which ``looked_at`` were looked at.

    ``recurring`` are words that stand in several texts, whether or not anything goes with them.
    """

    found: tuple[Newcomer, ...]
    unlisted: int
    looked_at: int
    rate: float
    recurring: tuple[tuple[str, int], ...]


def learn_newcomers(
    knowledge: Knowledge, source: Source, sharing: Sharing, seed: int = 1, rate: float = RATE
) -> Newcomers:
    """Return the causes that the files may lack.

    Raises what the sharing or a part raises.
    """
    parts = source.parts()
    gather = gathering(knowledge)
    gathered = added_up(sharing, gather, parts, Gathered.add) if parts else Gathered()
    return newcomers_of(knowledge, gathered, seed, rate)


def newcomers_of(
    knowledge: Knowledge, gathered: Gathered, seed: int = 1, rate: float = RATE
) -> Newcomers:
    """Return the causes that gathered sightings tell of."""
    groups = groups_of(gathered.sightings, seed, rate)
    return Newcomers(
        tuple(_newcomer(knowledge, gathered, group) for group in groups),
        gathered.unlisted,
        len(gathered.sightings),
        rate,
        recurring(gathered.sightings),
    )


def _newcomer(knowledge: Knowledge, gathered: Gathered, group: Group) -> Newcomer:
    members = [gathered.sightings[place] for place in group.members]
    systems = tuple(sorted({each.system for each in members}))
    cases = sum(gathered.cases[system] for system in systems)
    seen = len(members) * gathered.unlisted / len(gathered.sightings)
    share = seen / cases
    return Newcomer(
        words=group.words,
        sightings=len(members),
        share=share,
        interval=range_of_chance(share, cases * len(members) / seen, HOLDS),
        marks=group.marks,
        strengths=tuple(
            _strength(knowledge.findings[mark.name], members)
            for mark in group.marks
            if mark.of_finding and mark.oftener
        ),
        months=dict(sorted(Counter(each.opened[:7] for each in members).items())),
        systems=systems,
        regions=tuple(sorted({each.region for each in members if each.region})),
        cases=tuple(sorted(each.case for each in members)[:NAMED]),
    )


def _strength(finding: Finding, members: list[Sighting]) -> Strength:
    """Return how often it shows, less what shows anyway; ``yes`` is shared out over answers."""
    told = [each.answers[finding.id] for each in members if finding.id in each.answers]
    anyway = min(sum(number.value for number in finding.shows_anyway), 0.99)

    def alone(share: float) -> float:
        return max(0.0, (share - anyway) / (1.0 - anyway))

    shown = [answer for answer in told if answer]
    share = len(shown) / len(told)
    exact = Counter(answer for answer in shown if answer in finding.answers)
    graded = finding.answers[1:]
    total = sum(exact.values())
    by_answer = {
        answer: alone(share) * (exact[answer] / total if total else 1.0 / len(graded))
        for answer in graded
    }
    found = range_of_chance(share, len(told), HOLDS)
    interval = Interval(alone(found.low), alone(found.high), HOLDS)
    return Strength(finding.id, by_answer, interval, len(told))
