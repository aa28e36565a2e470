"""Numbers that say nothing: leaks above all strengths, grades out of order, near 0 or 1."""

from collections.abc import Iterator, Sequence
from itertools import pairwise
from math import fsum, inf

from faultnet.authoring.problem import Problem, warning
from faultnet.model.finding import Finding
from faultnet.model.named_by import NamedBy
from faultnet.model.origin import Number
from faultnet.model.reading import Reading
from faultnet.review.facts.told import Told

OFTEN = 0.9
"""A finding that is there on more calls than this says little; judgement."""
SELDOM = 1e-4
"""A finding that is there on fewer calls than this is met by nobody; judgement."""


def leaks(named: NamedBy) -> Iterator[Problem]:
    """Yield findings whose leak says more than their causes, and grades out of order."""
    for finding in named.knowledge.findings.values():
        yield from _leaking(finding, named)
        yield from _rising(finding)
    for reading in named.knowledge.readings.values():
        yield from _crossed(reading, named)


def how_often(named: NamedBy, all_told: Sequence[Told]) -> Iterator[Problem]:
    """Yield findings that are there on nearly every call, or on none."""
    for finding in named.knowledge.findings.values():
        yield from _how_often(finding, all_told)


def _leaking(finding: Finding, named: NamedBy) -> Iterator[Problem]:
    """A finding that shows with no cause as often as any cause or rule brings it about."""
    strengths = [link.strength for _, link in named.shown_by.get(finding.id, ())]
    strengths += [rule.strength for rule in finding.follows_from]
    strengths += [
        link.strength
        for system in named.knowledge.systems.values()
        for link in system.unlisted.shows
        if link.finding == finding.id
    ]
    leak, most = _sum(finding.shows_anyway), max(map(_sum, strengths), default=0.0)
    if strengths and leak >= most:
        yield warning(
            "leak-above-strengths",
            finding.id,
            finding.shows_anyway[0].origin,
            f"It shows with no cause ({leak:g}) at least as often as anything brings it about "
            f"({most:g} at most).",
            "Make the smaller number larger, or the larger one smaller.",
        )


def _rising(finding: Finding) -> Iterator[Problem]:
    """Worse answers that show with no cause more often than lighter ones."""
    grades = list(zip(finding.answers[1:], finding.shows_anyway, strict=True))
    for (lighter, low), (worse, high) in pairwise(grades):
        if high.value > low.value:
            yield warning(
                "grades-out-of-order",
                finding.id,
                high.origin,
                f"With no cause, `{worse}` ({high.value:g}) shows more often than the lighter "
                f"`{lighter}` ({low.value:g}).",
                "Write the answers from normal to worst, or change the numbers.",
            )


def _crossed(reading: Reading, named: NamedBy) -> Iterator[Problem]:
    """Ranges of a reading that do not run the way the answers of its finding do."""
    finding = named.knowledge.findings[reading.findings[0]]
    if len(reading.findings) > 1 or len(finding.answers) < 3:
        return
    low = {span.answer: span.over.value if span.over else -inf for span in reading.answers}
    order = [low[answer] for answer in finding.answers if answer in low]
    if order not in (sorted(order), sorted(order, reverse=True)):
        yield warning(
            "grades-out-of-order",
            reading.id,
            reading.origin,
            f"Its ranges neither rise nor fall along the answers of `{finding.id}` "
            f"({', '.join(finding.answers)}).",
            "Write the answers of the finding from normal to worst, or change the ranges.",
        )


def _how_often(finding: Finding, all_told: Sequence[Told]) -> Iterator[Problem]:
    """Findings that are there on nearly every call in some system, or on none in all."""
    chances = {
        told.subject.system.id: told.often[finding.id]
        for told in all_told
        if finding.id in told.often
    }
    if not chances:
        return
    system = max(chances, key=lambda name: chances[name])
    most = chances[system]
    if most > OFTEN:
        yield warning(
            "finding-on-every-call",
            finding.id,
            finding.origin,
            f"It is there on {100 * most:.0f} of 100 calls in {system}, so it parts little.",
            "Look at `shows-anyway` and at the strengths; or ask for something narrower.",
        )
    elif most < SELDOM and not finding.dangers:
        often = f"once in {1 / most:,.0f} calls" if most > 1e-9 else "on no call"
        yield warning(
            "finding-on-no-call",
            finding.id,
            finding.origin,
            f"It is there {often}, so nobody will meet it.",
            "Look at its strengths, at `only-when`, and at `how-common` of what shows it.",
        )


def _sum(strength: tuple[Number, ...]) -> float:
    return fsum(number.value for number in strength)
