"""A closed case as it stood before anybody had seen the cause: what a ranking is worth then."""

from collections.abc import Sequence

import msgspec

from faultnet.advice.subject import Subject
from faultnet.learning.closed import ClosedCase
from faultnet.model.evidence import Evidence, Round
from faultnet.network.build import UNLISTED


class Looked(msgspec.Struct, frozen=True):
    """What was known in the first round with something confirmed, and what was confirmed in it.

    What a check found that looks for a cause is left out: it all but says the cause itself.
    """

    case: str
    system: str
    evidence: Evidence
    causes: tuple[str, ...]


def looked_at(subject: Subject, case: ClosedCase) -> Looked | None:
    """Return how a case stood; None where nothing in the files was confirmed."""
    listed = [c for c in case.confirmed if c.cause in subject.causes and c.cause != UNLISTED]
    rounds = case.evidence.rounds
    first = min((c.round for c in listed), default=len(rounds))
    if first >= len(rounds):
        return None
    open_round = _before_seen(subject, rounds[first])
    evidence = msgspec.structs.replace(
        case.evidence, rounds=(*rounds[:first], open_round), set_ups=(), made_safe=()
    )
    causes = tuple(dict.fromkeys(c.cause for c in listed if c.round == first))
    return Looked(case.id, case.system, evidence, causes)


def spread(cases: Sequence[Looked], most: int) -> list[Looked]:
    """Return so many of the cases at most, spread evenly over all of them in their order."""
    if len(cases) <= most:
        return list(cases)
    return [cases[k * len(cases) // most] for k in range(most)]


def _before_seen(subject: Subject, round_: Round) -> Round:
    findings = subject.knowledge.findings
    answers = tuple(a for a in round_.answers if not findings[a.finding].found_cause)
    return Round(answers, round_.taken)
