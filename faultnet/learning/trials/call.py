"""One call of a trial: drawn from the truth, told to whoever thinks, and gone about to its end."""

from msgspec.structs import replace

from faultnet.advice.imagined import ImaginedCall, generator_of, imagined
from faultnet.advice.observe import levels_of
from faultnet.advice.subject import Subject
from faultnet.learning.trials.customs import USUAL, Customs
from faultnet.learning.trials.dice import Dice
from faultnet.learning.trials.outcome import Outcome
from faultnet.learning.trials.policy import Policy
from faultnet.learning.trials.site import DrawnSite
from faultnet.learning.trials.visit import Begun, Visit
from faultnet.model.evidence import Evidence

TRIES = 1000
"""Sites that are drawn before a call is given up."""


class NoCallError(ValueError):
    """A system at which nothing that its callers complain of ever shows."""

    def __init__(self, system: str) -> None:
        super().__init__(
            f"{system}: of {TRIES} sites none shows what anybody would call for. Give findings "
            "that callers complain of an `urgency`, and causes that show them."
        )


def run_call(
    policy: Policy,
    thinks: Subject,
    truth: Subject,
    seed: int,
    number: int,
    customs: Customs = USUAL,
) -> Outcome:
    """Return what comes of a call of a seed, by its number, under a policy.

    The site and all that is said of it come of ``truth``; the policy knows ``thinks``. Ids are
    joined by name. Raises ``NoCallError`` and what ``draw_world`` raises.
    """
    return Visit(policy, thinks, truth, begin(thinks, truth, seed, number, customs), customs).go()


def begin(
    thinks: Subject, truth: Subject, seed: int, number: int, customs: Customs = USUAL
) -> Begun:
    """Return a call as it comes in: a cause makes a complaint, and somebody tells of it.

    Raises as ``run_call``.
    """
    rng, dice = generator_of(seed, number), Dice(seed, number)
    for _ in range(TRIES):
        call = imagined(truth, rng, number, customs.manner)
        complaints = tuple(c for c in _told(truth, call) if c in thinks.findings)
        site = DrawnSite(truth, call.world, complaints, dice)
        if site.lasts():
            return Begun(site, dice, known_to(thinks, call.evidence), complaints, call.causes)
    raise NoCallError(truth.system.id)


def _told(truth: Subject, call: ImaginedCall) -> tuple[str, ...]:
    """What is wrong and told as wrong."""
    answers = {a.finding: a.answer for a in call.evidence.now.answers}
    findings = truth.knowledge.findings
    return tuple(c for c in call.complaints if 0 not in levels_of(findings[c], answers[c]))


def known_to(thinks: Subject, evidence: Evidence) -> Evidence:
    """Return what of evidence has a name in the knowledge of whoever thinks."""
    findings, roots = thinks.knowledge.findings, thinks.roots
    rounds = tuple(
        replace(
            round_,
            answers=tuple(
                a
                for a in round_.answers
                if a.finding in thinks.findings and a.answer in findings[a.finding].all_answers
            ),
        )
        for round_ in evidence.rounds
    )
    layout = {
        name: value
        for name, value in evidence.layout.items()
        if name in roots and value in thinks.network.roots[roots[name]].states
    }
    happened = {name: held for name, held in evidence.circumstances.items() if name in roots}
    return replace(evidence, rounds=rounds, layout=layout, circumstances=happened)
