"""A closed case as the network meets it: what was told, what was seen, what was mended."""

from collections.abc import Iterator

import msgspec

from faultnet.advice.observe import levels_of, observe
from faultnet.advice.subject import Subject, UnknownNameError
from faultnet.inference.observed import Observed
from faultnet.learning.closed import ClosedCase
from faultnet.model.evidence import Answer, Evidence, Round
from faultnet.network.network import Network, seen

UNLOOKED = ("no-fault", "no-access")
"""Ends of cases that say nothing of a cause: none was found, or nobody came near."""
WORKS = ("mended", "works-again")
"""Ends after which nothing is complained of any more."""


class Met(msgspec.Struct, frozen=True):
    """A case on the network, which has one more finding for each cause that was looked at.

    Where a cause is known to have been there from the start nothing needs ``counting``.
    """

    network: Network
    observed: Observed
    counting: bool


def meet(subject: Subject, network: Network, case: ClosedCase, noted: float) -> Met:
    """Return a case on a network, that of the subject with other numbers perhaps.

    What was not asked is left out: whoever chose the questions saw no more than what was
    noted, so that the choice says nothing beyond it. Raises ``UnknownNameError`` and
    ``UnfitReadingError``.
    """
    evidence = with_end(subject, case)
    observed = observe(subject, evidence)
    findings, told = list(network.findings), dict(observed.findings)
    for cause, number, likelihood in _looked_at(subject, case, evidence, noted):
        told[len(findings), number] = likelihood
        findings.append(seen(cause, network.causes[cause]))
    return Met(
        msgspec.structs.replace(network, findings=tuple(findings)),
        msgspec.structs.replace(observed, findings=told),
        network.faults == "one" or not _from_the_start(observed, told, len(network.findings)),
    )


def with_end(subject: Subject, case: ClosedCase) -> Evidence:
    """Return the evidence with what the end of the case says: what was complained of is gone."""
    evidence = case.evidence
    if evidence.now.repairs:
        evidence = msgspec.structs.replace(evidence, rounds=(*evidence.rounds, Round()))
    if case.ending not in WORKS or len(evidence.rounds) == 1:
        return evidence
    asked = {answer.finding for answer in evidence.now.answers}
    gone = tuple(
        Answer(finding, "no")
        for finding in dict.fromkeys(_complaints(subject, evidence))
        if finding not in asked
    )
    last = msgspec.structs.replace(evidence.now, answers=(*evidence.now.answers, *gone))
    return msgspec.structs.replace(evidence, rounds=(*evidence.rounds[:-1], last))


def _complaints(subject: Subject, evidence: Evidence) -> Iterator[str]:
    for round_ in evidence.rounds[:-1]:
        for answer in round_.answers:
            finding = subject.knowledge.findings.get(answer.finding)
            if finding is None:
                raise UnknownNameError("finding", answer.finding, list(subject.findings))
            levels = levels_of(finding, answer.answer)
            if finding.urgency and not finding.needs and 0 not in levels:
                yield finding.id


def _looked_at(
    subject: Subject, case: ClosedCase, evidence: Evidence, noted: float
) -> Iterator[tuple[int, int, tuple[float, float]]]:
    """Yield causes that somebody saw, or would have seen: (cause, round, likelihood)."""
    named: dict[int, None] = {}
    for each in case.confirmed:
        if each.cause not in subject.causes:
            raise UnknownNameError("cause", each.cause, list(subject.causes))
        cause = subject.causes[each.cause]
        if cause not in named:
            yield cause, min(each.round, len(evidence.rounds) - 1), (0.0, 1.0)
        named[cause] = None
    for number, round_ in enumerate(evidence.rounds if named else ()):
        for repair in round_.repairs:
            for cause in subject.mended_by.get(repair, ()):
                if cause not in named:
                    yield cause, number, (1.0, 1.0 - noted)
                    named[cause] = None


def _from_the_start(
    observed: Observed, told: dict[tuple[int, int], tuple[float, ...]], first: int
) -> bool:
    """Whether something was seen that no work of the case can have brought in."""
    begun = min((work.round for work in observed.brought_in), default=observed.rounds)
    return any(
        finding >= first and number <= begun and likelihood[0] == 0.0
        for (finding, number), likelihood in told.items()
    )
