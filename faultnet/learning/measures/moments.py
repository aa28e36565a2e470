"""What was known at two moments of a closed case: at the call, and before anything was mended.

At the call it is what the caller said, and all of the first round where nobody drove there.
How the site is laid out and what happened just before count as told, but for what a check at
the site reveals that was done. What was seen only while mending (the finding that stands for
the confirmed cause) is no part of either, unless a check had found it before.
"""

from collections.abc import Iterator

from msgspec.structs import replace

from faultnet.learning.closed import ClosedCase
from faultnet.model.check import Check
from faultnet.model.evidence import Answer, Evidence, Round
from faultnet.model.knowledge import Knowledge


def at_call(knowledge: Knowledge, case: ClosedCase) -> Evidence | None:
    """Return what was known when the call was over; None where nobody had called."""
    if case.by_phone:
        return before_repair(knowledge, case)
    first = case.evidence.rounds[0]
    said = tuple(each for each in first.answers if each.speaker == "caller")
    if not said:
        return None
    seen = {name for check in _at_site(knowledge, case) for name in check.reveals}
    return Evidence(
        (Round(_not_confirmed(knowledge, case, said)),),
        {name: value for name, value in case.evidence.layout.items() if name not in seen},
        {name: held for name, held in case.evidence.circumstances.items() if name not in seen},
    )


def before_repair(knowledge: Knowledge, case: ClosedCase) -> Evidence:
    """Return what was known at the end of the first round, before its repair."""
    first = case.evidence.rounds[0]
    answers = _not_confirmed(knowledge, case, first.answers)
    return replace(
        case.evidence, rounds=(Round(answers, first.taken, spoiled=first.spoiled),), set_ups=()
    )


def true_causes(knowledge: Knowledge, case: ClosedCase) -> frozenset[str]:
    """Return the confirmed causes that were there from the start.

    What a repair of an earlier round may have brought in is not among them.
    """
    brought = [
        (number, cause)
        for number, round_ in enumerate(case.evidence.rounds)
        for name in round_.repairs
        if name in knowledge.repairs
        for cause in knowledge.repairs[name].brings
    ]
    return frozenset(
        each.cause
        for each in case.confirmed
        if not any(number < each.round and cause == each.cause for number, cause in brought)
    )


def seen_before(knowledge: Knowledge, case: ClosedCase) -> bool:
    """Whether a check had found a confirmed cause before anything was mended."""
    found = _found(knowledge, case)
    answers = before_repair(knowledge, case).now.answers
    return any(each.finding in found and each.answer != "no" for each in answers)


def _not_confirmed(
    knowledge: Knowledge, case: ClosedCase, answers: tuple[Answer, ...]
) -> tuple[Answer, ...]:
    """Answers without what was seen only while mending."""
    checks = _checks(knowledge, case)
    checked = {name for number, check in checks if number == 0 for name in check.reveals}
    mended = _found(knowledge, case) - checked
    return tuple(each for each in answers if each.finding not in mended)


def _at_site(knowledge: Knowledge, case: ClosedCase) -> Iterator[Check]:
    """The checks that were done by somebody who had come."""
    return (check for _, check in _checks(knowledge, case) if check.work.who != "caller")


def _checks(knowledge: Knowledge, case: ClosedCase) -> Iterator[tuple[int, Check]]:
    """The checks that were done, each with its round."""
    for taken in case.steps:
        if taken.kind == "check" and taken.step in knowledge.checks:
            yield taken.round, knowledge.checks[taken.step]


def _found(knowledge: Knowledge, case: ClosedCase) -> set[str]:
    """The findings that say that a confirmed cause was seen."""
    causes = {each.cause for each in case.confirmed}
    return {each.id for each in knowledge.findings.values() if each.found_cause in causes}
