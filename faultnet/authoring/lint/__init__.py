"""Lint: what is allowed in knowledge, but probably not meant; warnings only.

What shows only when everything is weighed together is told by ``faultnet.review.facts``.
"""

from collections.abc import Iterator

from faultnet.authoring.lint.danger import dangers
from faultnet.authoring.lint.doubles import doubles
from faultnet.authoring.lint.durations import durations
from faultnet.authoring.lint.groups import groups
from faultnet.authoring.lint.never import never
from faultnet.authoring.lint.numbers import numbers
from faultnet.authoring.lint.question import questions
from faultnet.authoring.lint.sourced import sourced
from faultnet.authoring.lint.unused import unused
from faultnet.authoring.lint.wording import doubtful
from faultnet.authoring.problem import Problem, in_order, warning
from faultnet.model.condition import When
from faultnet.model.example import Example
from faultnet.model.knowledge import Knowledge
from faultnet.model.system import System

FEWEST_CAUSES, MOST_CAUSES = 1.2, 1.6
"""Causes per trouble call, the unlisted included, between which a system should lie."""


def lint(knowledge: Knowledge, examples: tuple[Example, ...]) -> tuple[Problem, ...]:
    """Return the warnings about knowledge without errors, by file and line."""
    return in_order(
        (
            *(each for look in _LOOKS for each in look(knowledge)),
            *_unexamined(knowledge, examples),
        )
    )


def causes_per_call(system: System, knowledge: Knowledge) -> float:
    """Return the number of causes per trouble call, the unlisted included."""
    listed = (
        cause.how_common.value * _chance(cause.only_when, system)
        for cause in knowledge.causes.values()
        if cause.part in system.parts
    )
    return sum(listed) + system.unlisted.how_common.value


def _chance(when: When, system: System) -> float:
    """Return how likely a layout is under which a condition holds."""
    chance = 1.0
    for layout, values in when.items():
        priors = system.layout.get(layout, {})
        chance *= sum(priors[value].value for value in values if value in priors)
    return chance


def _sums(knowledge: Knowledge) -> Iterator[Problem]:
    for system in knowledge.systems.values():
        total = causes_per_call(system, knowledge)
        if system.faults == "several" and not FEWEST_CAUSES <= total <= MOST_CAUSES:
            yield warning(
                "how-common-sum",
                system.id,
                system.origin,
                f"Its causes come to {total:.2f} per trouble call.",
                f"Change `how-common` of causes until it is {FEWEST_CAUSES} to {MOST_CAUSES}.",
            )


def _unrevealed(knowledge: Knowledge) -> Iterator[Problem]:
    revealed = {name for check in knowledge.checks.values() for name in check.reveals}
    revealed.update(f for reading in knowledge.readings.values() for f in reading.findings)
    for finding in knowledge.findings.values():
        if finding.id not in revealed:
            yield warning(
                "finding-no-check-reveals",
                finding.id,
                finding.origin,
                "No check and no reading reveals this finding.",
                "Name it under `reveals` of a check.",
            )


def _unproved(knowledge: Knowledge) -> Iterator[Problem]:
    for repair in knowledge.repairs.values():
        if not repair.proof:
            yield warning(
                "repair-without-proof",
                repair.id,
                repair.origin,
                "Nothing says how to see that the repair worked.",
                "Add `proof` and `proof-minutes`.",
            )


def _unexamined(knowledge: Knowledge, examples: tuple[Example, ...]) -> Iterator[Problem]:
    looked_for = {finding.found_cause for finding in knowledge.findings.values()}
    expected = {cause for example in examples for cause in example.expect.causes}
    for cause in knowledge.causes.values():
        if cause.id not in looked_for:
            yield warning(
                "cause-no-check-looks-for",
                cause.id,
                cause.origin,
                "No check looks for this cause, so nothing settles it.",
                "Name it under `looks-for` of a check.",
            )
        if cause.id not in expected:
            yield warning(
                "cause-without-case",
                cause.id,
                cause.origin,
                "No case expects this cause.",
                "Write a case for it in a .cases.yaml file.",
            )


_LOOKS = (
    doubtful, questions, dangers, numbers, durations, sourced, groups, never, unused,
    doubles, _unrevealed, _unproved, _sums,
)  # fmt: skip
"""Each takes the knowledge and yields what is probably not meant."""
