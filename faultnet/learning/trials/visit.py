"""One call, gone about by a policy until it works and is proved, or is handed over.

The same holds for all policies: a danger that comes to light is made safe before anything
else; nobody does what is not his to do; after a repair what was set up is undone, and the
proof tells rightly which complaints are still there; whoever has spent what the specialist
costs sends for him.
"""

from collections.abc import Sequence

import msgspec
from msgspec.structs import replace

from faultnet.advice.candidates import Candidate, candidates
from faultnet.advice.dangers import dangers_met, withheld
from faultnet.advice.followed import made_safe
from faultnet.advice.load import Load, usual_truck
from faultnet.advice.outfit import takes
from faultnet.advice.site import Prices, State
from faultnet.advice.standing import told
from faultnet.advice.subject import Subject
from faultnet.inference.engine import ImpossibleEvidenceError, TooLargeError
from faultnet.learning.lighter import conflicting, lighter
from faultnet.learning.trials.customs import USUAL, Customs
from faultnet.learning.trials.dice import Dice
from faultnet.learning.trials.outcome import Done, Outcome
from faultnet.learning.trials.policy import HAND_OVER, At, Chosen, Policy
from faultnet.learning.trials.site import Site
from faultnet.model.check import Work
from faultnet.model.evidence import Answer, Evidence, Round
from faultnet.model.repair import Repair
from faultnet.model.stock import serving


class Begun(msgspec.Struct, frozen=True):
    """A call as it comes in: its site, its chances, and what the caller says."""

    site: Site
    dice: Dice
    evidence: Evidence
    complaints: tuple[str, ...]
    causes: tuple[str, ...]


class Visit:
    """A call under a policy; ``go`` takes it to its end."""

    def __init__(
        self,
        policy: Policy,
        thinks: Subject,
        truth: Subject,
        begun: Begun,
        customs: Customs = USUAL,
    ) -> None:
        self.policy, self.thinks, self.truth = policy, thinks, truth
        self.begun, self.customs = begun, customs
        self.prices = Prices(truth.knowledge)
        self.evidence = begun.evidence
        self.who = "caller"
        self.checked: list[str] = []
        self.repaired: list[str] = []
        self.done: list[Done] = []
        self.found: list[str] = []
        self.trips = self.made_safe = self.barred = self.left_out = 0
        self.extra = 0.0
        self.load: Load = frozenset()
        self.loaded: Load = frozenset()

    def go(self) -> Outcome:
        """Go about the call to its end."""
        if self.customs.phone:
            self._on_the_phone()
        left = self.begun.site.lasts()
        if left:
            self._drive()
            while self.begun.site.lasts() and not self._handed_over:
                self._do(self._next())
        return self._outcome()

    def _on_the_phone(self) -> None:
        asked = 0
        while self.begun.site.lasts() and asked < self.customs.asks:
            if withheld(dangers_met(self.thinks, self.evidence)):
                return
            chosen = self._next()
            if chosen is None or chosen.kind == "specialist":
                return
            asked += 1
            if self.begun.dice.at("refuses", chosen.id) < self.customs.refuses:
                self.checked.append(chosen.id)
            else:
                self._do(chosen)

    def _drive(self) -> None:
        self.who = "technician"
        self.checked.clear()
        self.loaded = self.policy.load(self._at)
        self.load = usual_truck(self.truth) | self.loaded
        self.trips = 1
        self.extra += self.customs.loading(self.truth, self.loaded) + self.customs.trip(self.truth)

    @property
    def _at(self) -> At:
        return At(
            self.thinks,
            self.evidence,
            self.who,
            self.begun.complaints,
            tuple(self.checked),
            tuple(self.repaired),
            self.begun.site.at_fault(),
            self.customs.cells,
        )

    def _next(self) -> Chosen | None:
        """What the policy picks, answers left out while they are too much or conflict."""
        self._make_safe()
        while True:
            try:
                return self.policy.next(self._at)
            except ImpossibleEvidenceError:
                among = conflicting(self.thinks, self.evidence)
            except TooLargeError as error:
                rounds = range(len(self.evidence.rounds))
                among = {(number, dear) for number in rounds for dear in error.leave_out}
            less = lighter(self.evidence, self.begun.complaints, among)
            if less is None:
                return HAND_OVER
            self.evidence = less
            self.left_out += 1

    def _make_safe(self) -> None:
        met = [d for d in dangers_met(self.thinks, self.evidence) if not d.made_safe]
        if met and self.who != "caller":
            self.made_safe += len({d.finding for d in met})
            self.evidence = made_safe(self.evidence, tuple(met))

    def _do(self, chosen: Chosen | None) -> None:
        if chosen is None or chosen.kind == "specialist":
            self._hand_over()
        elif chosen.kind == "check":
            self._check(chosen.id)
        else:
            self._repair(chosen.id)
        if self._spent >= self._specialist and not self._handed_over:
            self._hand_over_if_it_lasts()

    def _check(self, name: str) -> None:
        candidate = self._open.get(name)
        if candidate is None:
            self._bar(name)
            return
        price = self.prices.work(self._work(candidate.check.work, name), self._state)
        answers = self._answers(candidate)
        before = self.evidence
        self.evidence = told(self.thinks, before, candidate, answers, price.after)
        self.checked.append(name)
        self._note(Done(name, "check", len(before.rounds) - 1, price.minutes, self._phone))

    def _work(self, work: Work, check: str) -> Work:
        """The work of a check as it is in truth."""
        entry = self.truth.knowledge.checks.get(check)
        return entry.work if entry is not None else work

    @property
    def _open(self) -> dict[str, Candidate]:
        found = candidates(self.thinks, self.evidence, self.who, lambda _, __: 1.0)
        return {c.check.id: c for c in found if c.check.id not in self.checked}

    def _answers(self, candidate: Candidate) -> dict[str, str]:
        site, known = self.begun.site, self.thinks.knowledge.findings
        answers = {r: site.state(r) for r in candidate.roots}
        for finding in candidate.findings:
            answer = known[finding].normal
            if finding in self.truth.findings:
                answer = site.answer(finding, candidate.speaker)
            if answer not in known[finding].all_answers:
                answer = known[finding].normal
            answers[finding] = answer
        return answers

    def _repair(self, name: str) -> None:
        entry = self.thinks.knowledge.repairs.get(name)
        if entry is None or not self._may(entry):
            self._bar(name)
            return
        entry = self.truth.knowledge.repairs.get(name, entry)
        self._fetch(entry)
        price = self.prices.repair(entry, self._state)
        mended = self.begun.site.mend(name)
        number = len(self.evidence.rounds) - 1
        self.evidence = mended_in(self.evidence, name, self._proved(), called(price.after))
        self.checked.clear()
        self.repaired.append(name)
        self.found += mended
        self._note(Done(name, "repair", number, price.minutes, self._phone, mended))

    def _may(self, repair: Repair) -> bool:
        if self.who == "caller":
            return repair.work.who == "caller"
        return True

    def _fetch(self, repair: Repair) -> None:
        """Drive for what a repair takes and is not at hand."""
        if self._phone:
            return
        offers = [serving(self.truth.knowledge.stock, [name]) for name in takes(repair)]
        missing = {items[0] for items in offers if items and not self.load & set(items)}
        if missing:
            self.load |= missing
            self.trips += 1
            self.extra += self.customs.second_trip(self.truth)

    def _proved(self) -> list[Answer]:
        """What the proof shows of the complaints."""
        shows = self.begun.site.shows
        told_first = {a.finding: a.answer for a in self.begun.evidence.rounds[0].answers}
        findings = self.thinks.knowledge.findings
        speaker = "caller" if self._phone else "technician"
        return [
            Answer(c, told_first[c] if shows(c) else findings[c].normal, speaker)
            for c in self.begun.complaints
        ]

    def _hand_over_if_it_lasts(self) -> None:
        if self.begun.site.lasts():
            self._hand_over()

    def _hand_over(self) -> None:
        self.trips += 1
        number = len(self.evidence.rounds) - 1
        self._note(Done(HAND_OVER.id, "specialist", number, self._specialist))

    def _bar(self, name: str) -> None:
        """Note a step that cannot be done; it is not picked again in this round."""
        self.barred += 1
        self.checked.append(name)
        if self.barred > self.customs.patience:
            self._hand_over()

    def _note(self, done: Done) -> None:
        self.done.append(done)

    @property
    def _phone(self) -> bool:
        return self.who == "caller"

    @property
    def _handed_over(self) -> bool:
        return bool(self.done) and self.done[-1].kind == "specialist"

    @property
    def _specialist(self) -> float:
        return self.truth.system.specialist.minutes.value

    @property
    def _spent(self) -> float:
        return sum(done.minutes for done in self.done)

    @property
    def _state(self) -> State:
        return frozenset(self.evidence.set_ups)

    def _outcome(self) -> Outcome:
        left = self.begun.site.at_fault()
        return Outcome(
            self.begun.dice.number,
            self.policy.name,
            self.begun.complaints[0],
            self.begun.causes,
            self._spent + self.extra,
            self.trips,
            tuple(self.done),
            self._handed_over,
            tuple(self.found),
            left,
            self.made_safe,
            self.barred,
            self.left_out,
            tuple(sorted(self.loaded)),
            self.evidence,
        )


def called(state: State) -> State:
    """Return the state of the site once what was set up is undone: whoever came is still there."""
    return frozenset(s for s in state if s.startswith("called:"))


def mended_in(evidence: Evidence, repair: str, seen: Sequence[Answer], state: State) -> Evidence:
    """Return the evidence of the round after a repair, with what was seen at its proof."""
    now = replace(evidence.now, repairs=(*evidence.now.repairs, repair))
    rounds = (*evidence.rounds[:-1], now, Round(tuple(seen)))
    return replace(evidence, rounds=rounds, set_ups=tuple(sorted(state)))
