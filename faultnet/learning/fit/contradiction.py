"""Whether what a case says can all be so together."""

from msgspec.structs import replace

from faultnet.advice.conflict import conflict
from faultnet.advice.observe import observe
from faultnet.advice.subject import Subject
from faultnet.cases.fits import found_finding
from faultnet.inference.engine import TooLargeError
from faultnet.inference.query import Query
from faultnet.learning.closed import ClosedCase
from faultnet.learning.fit.unfit import UnfitError
from faultnet.model.evidence import Answer, Evidence
from faultnet.network.build import UNLISTED

CODE = "contradicts"

MENDED = ("mended", "mended-proof-open")
"""How a case ends where what was wrong has been mended."""


def check_mended(subject: Subject, case: ClosedCase) -> None:
    """Raise ``UnfitError`` where something that was seen is said to be mended, and was not.

    It may be seen in one round and mended in a later one.
    """
    if case.ending not in MENDED:
        return
    rounds = case.evidence.rounds
    for each in case.confirmed:
        if each.cause == UNLISTED:
            continue
        repair = subject.knowledge.causes[each.cause].repair
        done = [name for round_ in rounds[each.round :] for name in round_.repairs]
        larger = subject.knowledge.repairs[repair].or_replace
        if not {repair, larger} & set(done):
            told = f"the repairs were {', '.join(done)}" if done else "nothing was repaired"
            reason = f"`{each.cause}` was seen and the case ended as {case.ending}, but {told}"
            raise UnfitError(CODE, f"{reason}; `{repair}` mends it")


def check_possible(subject: Subject, case: ClosedCase) -> None:
    """Raise ``UnfitError`` where the network says that it cannot be, with what conflicts.

    Where that would take too long nothing is said.
    """
    query = Query(subject.network, observe(subject, case.evidence))
    for each in case.confirmed:
        if not query.can_be(subject.causes[each.cause]):
            layout = ", ".join(f"{k}: {v}" for k, v in case.evidence.layout.items())
            reason = f"`{each.cause}` was seen, which there cannot be with {{{layout}}}"
            raise UnfitError(CODE, reason)
    evidence = _with_seen(subject, case)
    try:
        possible = Query(subject.network, observe(subject, evidence)).possible()
    except TooLargeError:
        return
    if not possible:
        said = conflict(subject, evidence)
        told = "; ".join(f"{s.about} {s.answer} (round {s.round}; {s.line})" for s in said)
        raise UnfitError(CODE, f"these cannot all be so: {told}")


def _with_seen(subject: Subject, case: ClosedCase) -> Evidence:
    """Return the evidence with the causes that were seen, where there is a finding for it.

    A look that was taken and missed what was seen later, while it was mended, stays as it was:
    looks miss.
    """
    rounds = list(case.evidence.rounds)
    looked = {answer.finding for round_ in rounds for answer in round_.answers}
    for each in case.confirmed:
        found = found_finding(subject, each.cause)
        if found and found not in looked:
            answers = (*rounds[each.round].answers, Answer(found, "yes"))
            rounds[each.round] = replace(rounds[each.round], answers=answers)
    return replace(case.evidence, rounds=tuple(rounds))
