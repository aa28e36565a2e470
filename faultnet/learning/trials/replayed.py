"""A recorded case as a site: what it recorded is what is said, the rest is drawn after it.

The causes that were confirmed are there and no others, and the trouble is over once they are
mended. What was recorded answers whoever asks the same in the same round, after the same
repairs; layout and circumstances that were recorded are known from the start, to all policies
alike. What was not recorded is drawn from the network: layout and circumstances by what they
are believed to be given the causes and the first round, one after the other; then what every
finding shows, given causes, layout and what was said of it.
"""

from functools import cached_property

import msgspec
from msgspec.structs import replace

from faultnet.advice.observe import levels_of, observe
from faultnet.advice.subject import Subject
from faultnet.inference.engine import ImpossibleEvidenceError
from faultnet.inference.observed import Observed
from faultnet.inference.query import Query
from faultnet.learning.closed import ClosedCase
from faultnet.learning.trials.call import known_to
from faultnet.learning.trials.dice import Dice
from faultnet.learning.trials.site import DrawnSite
from faultnet.learning.trials.visit import Begun
from faultnet.model.evidence import Evidence, Round
from faultnet.network.network import Network
from faultnet.network.world import World, draw_like


class CannotReplayError(ValueError):
    """A recorded case that no site can be made of, with the reason and the mend."""


class RecordedSite(DrawnSite):
    """The site of a recorded case."""

    def __init__(self, truth: Subject, world: World, case: ClosedCase, dice: Dice) -> None:
        self._case = case
        self._repairs: list[str] = []
        super().__init__(truth, world, complaints_of(truth, case), dice)

    def answer(self, finding: str, speaker: str) -> str:
        """Return what was recorded, or else what is drawn."""
        found = self._recorded.get((finding, speaker))
        return super().answer(finding, speaker) if found is None else found

    def mend(self, repair: str) -> tuple[str, ...]:
        """Do a repair, and go on to the next round."""
        self._repairs.append(repair)
        vars(self).pop("_recorded", None)
        return super().mend(repair)

    @cached_property
    def _recorded(self) -> dict[tuple[str, str], str]:
        """What was said in this round, where the same was mended before it."""
        rounds = self._case.evidence.rounds
        before = [repair for round_ in rounds[: self.round] for repair in round_.repairs]
        if self.round >= len(rounds) or before != self._repairs:
            return {}
        return {(a.finding, a.speaker): a.answer for a in rounds[self.round].answers}

    def _left(self, complaint: str) -> set[int]:
        return (set(self.world.causes) - self.mended) | super()._left(complaint)


def begin_again(thinks: Subject, truth: Subject, case: ClosedCase, seed: int, number: int) -> Begun:
    """Return a recorded case as it came in; raise ``CannotReplayError``."""
    reason = unfit(truth, case)
    if reason:
        raise CannotReplayError(reason)
    dice = Dice(seed, number)
    world = _world(truth, case, dice)
    site = RecordedSite(truth, world, case, dice)
    said = known_to(thinks, _said(truth, case))
    names = tuple(sorted({truth.network.causes[c].id for c in world.causes}))
    complaints = tuple(c for c in site.complaints if c in thinks.findings)
    return Begun(site, dice, said, complaints, names)


def unfit(truth: Subject, case: ClosedCase) -> str:
    """Return why a case cannot be replayed; nothing where it can."""
    if case.system != truth.system.id:
        return f"It is about `{case.system}`, not about `{truth.system.id}`."
    if not case.confirmed:
        return "Nobody saw what it was: confirm the cause when a case is closed."
    unknown = [c.cause for c in case.confirmed if c.cause not in truth.causes]
    if unknown:
        return f"These files hold no cause `{unknown[0]}`: give the name it has now."
    if not complaints_of(truth, case):
        return "Nothing was complained of in the first round: note what the caller tells."
    return ""


def complaints_of(truth: Subject, case: ClosedCase) -> tuple[str, ...]:
    """Return what was told as wrong in the first round, by a caller where one told anything."""
    findings = truth.knowledge.findings
    wrong = [
        a
        for a in case.evidence.rounds[0].answers
        if a.finding in truth.findings
        and findings[a.finding].urgency
        and 0 not in levels_of(findings[a.finding], a.answer)
    ]
    told = [a for a in wrong if a.speaker == "caller"] or wrong
    return tuple(dict.fromkeys(a.finding for a in told))


def _said(truth: Subject, case: ClosedCase) -> Evidence:
    """What was told before anybody drove there."""
    complaints = complaints_of(truth, case)
    first = case.evidence.rounds[0].answers
    answers = tuple(a for a in first if a.speaker == "caller" or a.finding in complaints)
    return replace(case.evidence, rounds=(Round(answers),), set_ups=(), made_safe=())


def _world(truth: Subject, case: ClosedCase, dice: Dice) -> World:
    evidence = known_to(truth, replace(case.evidence, rounds=case.evidence.rounds[:1]))
    evidence = replace(evidence, rounds=(replace(evidence.rounds[0], repairs=()),))
    observed = observe(truth, evidence)
    causes = tuple(sorted({truth.causes[c.cause] for c in case.confirmed}))
    network = _with(truth.network, frozenset(causes))
    roots = _roots(network, observed, dice)
    told = {finding: likely for (finding, _), likely in observed.findings.items()}
    return draw_like(truth.network, roots, causes, told, dice.generator("site"))


def _with(network: Network, causes: frozenset[int]) -> Network:
    """The network with some causes there for certain, and no others."""
    entries = tuple(
        msgspec.structs.replace(
            cause, probability=float(k in causes), factors=(), when=(), brings=()
        )
        for k, cause in enumerate(network.causes)
    )
    return replace(network, causes=entries, faults="any")


def _roots(network: Network, observed: Observed, dice: Dice) -> list[int]:
    """Layout and circumstances, one after the other, each given those before it."""
    drawn: list[int] = []
    for index, root in enumerate(network.roots):
        chances = _believed(network, observed, index)
        pick = dice.pick(chances, "root", root.id)
        drawn.append(pick)
        known = tuple(float(k == pick) for k in range(len(root.states)))
        observed = replace(observed, roots={**observed.roots, index: known})
    return drawn


def _believed(network: Network, observed: Observed, index: int) -> list[float]:
    """What is believed of a root; what is told of it alone where the case does not fit."""
    told = observed.roots.get(index, network.roots[index].prior)
    if max(told) == sum(told):
        return list(told)
    try:
        return [float(mass) for mass in Query(network, observed).masses().roots[index]]
    except (ImpossibleEvidenceError, KeyError):
        return list(told)
