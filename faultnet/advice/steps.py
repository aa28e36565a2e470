"""The next step: every check and repair priced with what it is expected to lead to.

One-step look-ahead: a step is worth its own price plus, after each answer, the best
repair-only plan. The probabilities of causes and answers are exact. Which checks are
examined is chosen by the quick screen; how many there were is said. Plans after an
answer are valued with unknown layout and circumstances averaged out, unless the
advice is asked to be thorough: then everything is exact, and slower.
"""

from dataclasses import dataclass
from functools import cached_property

import msgspec
import numpy as np

from faultnet.advice.answers import weigh_answers
from faultnet.advice.candidates import Candidate, candidates
from faultnet.advice.conflict import Said, conflict
from faultnet.advice.dangers import DangerMet, dangers_met, withheld
from faultnet.advice.observe import observe
from faultnet.advice.plan import Outlook, prefixes, repair_only_cost
from faultnet.advice.ranking import Beliefs, believe
from faultnet.advice.screen import Screen
from faultnet.advice.site import Price, Prices, State, Transition
from faultnet.advice.subject import Subject
from faultnet.advice.works import Works
from faultnet.inference.downsets import ALWAYS, Expander
from faultnet.inference.engine import ImpossibleEvidenceError
from faultnet.inference.query import Query
from faultnet.model.evidence import Evidence
from faultnet.model.repair import Repair
from faultnet.network.average import averaged

EXAMINED = 10
"""Checks whose plans are valued, chosen by the quick screen."""
THOROUGH = 24
"""The same when the advice is asked to be thorough."""
SHOWN = 5
"""Checks shown, their answers weighed exactly; all of them when thorough."""
ANSWERS = 5
"""Joint answers of a check that a plan is made for; rarer ones go to the specialist."""
SHORTLIST = 14
"""Repairs of the plan with no further check; beyond them comes the specialist."""
LONGEST = 14
"""Repairs in a plan after an answer."""


class Outcome(msgspec.Struct, frozen=True):
    """A joint answer of a check with its probability."""

    answers: dict[str, str]
    probability: float


class Step(msgspec.Struct, frozen=True):
    """A priced step, all in minutes.

    ``price`` is what it costs by itself, set-ups included; ``expected_total`` adds
    what is expected to follow.
    """

    id: str
    kind: str
    title: str
    minutes: float
    waiting: float
    price: float
    expected_total: float
    who: str
    setups: tuple[Transition, ...] = ()
    outcomes: tuple[Outcome, ...] = ()
    cautions: tuple[str, ...] = ()
    do: tuple[str, ...] = ()
    reason: str = ""


class Advice(msgspec.Struct, frozen=True):
    """Priced steps, best first, with the floor: the cost if the causes were known.

    ``considered`` checks could be done, ``examined`` of them were valued. Unless
    ``exact``, plans after an answer were valued with unknown roots averaged out.
    """

    system: str
    unit: str
    dangers: tuple[DangerMet, ...]
    steps: tuple[Step, ...]
    floor: float
    considered: int = 0
    examined: int = 0
    exact: bool = False
    conflict: tuple[Said, ...] = ()


def next_steps(
    subject: Subject, evidence: Evidence, who: str = "technician", *, thorough: bool = False
) -> Advice:
    """Return the priced next steps.

    Raises ``UnknownNameError``, ``UnfitReadingError`` and ``TooLargeError``.
    """
    dangers = dangers_met(subject, evidence)
    query = Query(subject.network, observe(subject, evidence))
    try:
        beliefs = believe(subject, query)
    except ImpossibleEvidenceError:
        found = conflict(subject, evidence)
        return Advice(subject.system.id, "minutes", dangers, (), 0.0, conflict=found)
    planner = _Planner(subject, evidence, who, query, beliefs, thorough)
    if withheld(dangers):
        steps = planner.make_safe(dangers)
        return Advice(subject.system.id, "minutes", dangers, steps, planner.floor)
    return planner.advice(dangers)


@dataclass(frozen=True)
class _Look:
    """A check with its likeliest answers, their chances and what each then costs."""

    candidate: Candidate
    answers: tuple[dict[str, str], ...]
    chances: tuple[float, ...]
    costs: tuple[float, ...]


@dataclass(frozen=True)
class _Planner:
    subject: Subject
    evidence: Evidence
    who: str
    query: Query
    beliefs: Beliefs
    thorough: bool

    def advice(self, dangers: tuple[DangerMet, ...]) -> Advice:
        steps = [*self._checks(), *self._repairs(), self._specialist()]
        steps.sort(key=lambda s: (s.expected_total, s.price, s.id))
        return Advice(
            self.subject.system.id,
            "minutes",
            dangers,
            tuple(steps),
            self.floor,
            len(self.possible),
            len(self.examined),
            self.thorough,
        )

    def make_safe(self, dangers: tuple[DangerMet, ...]) -> tuple[Step, ...]:
        """One step for each danger that is not dealt with."""
        return tuple(
            Step(
                f"make-safe-{danger.finding}",
                "make-safe",
                f"Make safe: {self.subject.knowledge.findings[danger.finding].title}",
                0.0,
                0.0,
                0.0,
                self.base,
                self.who,
                do=(danger.say,),
                reason=f"Send: {danger.send}",
            )
            for danger in dangers
            if not danger.made_safe
        )

    @cached_property
    def prices(self) -> Prices:
        return Prices(self.subject.knowledge)

    def _cost(self, outlook: Outlook, state: State, left: float = 1.0) -> float:
        return repair_only_cost(self.subject, self.prices, outlook, state, left)

    @cached_property
    def state(self) -> State:
        return frozenset(self.evidence.set_ups)

    @cached_property
    def vector(self) -> np.ndarray[tuple[int], np.dtype[np.float64]]:
        return np.array([self.beliefs.causes[c.id] for c in self.subject.network.causes])

    @cached_property
    def screen(self) -> Screen:
        repairs = self.subject.knowledge.repairs
        prices = {
            repair: self.prices.repair(repairs[repair], self.state).minutes
            for repair in self.subject.mended_by
            if self.who != "caller" or repairs[repair].work.who == "caller"
        }
        specialist = self.subject.system.specialist.minutes.value
        return Screen(self.subject, self.vector, prices, specialist)

    @cached_property
    def shortlist(self) -> tuple[str, ...]:
        return self.screen.order(self.vector, SHORTLIST)

    @cached_property
    def possible(self) -> list[Candidate]:
        return candidates(self.subject, self.evidence, self.who, self._likely)

    def _likely(self, layout: str, values: tuple[str, ...]) -> float:
        """The chance that a layout has one of some values."""
        index = self.subject.roots[layout]
        states = self.subject.network.roots[index].states
        chances = zip(states, self.beliefs.roots[index], strict=True)
        return sum(chance for state, chance in chances if state in values)

    @cached_property
    def examined(self) -> list[Candidate]:
        """The checks that look best on the quick screen."""
        most = THOROUGH if self.thorough else EXAMINED
        valued = [(self.screen.value(c, self._price(c)), k) for k, c in enumerate(self.possible)]
        return [self.possible[k] for _, k in sorted(valued)[:most]]

    @cached_property
    def works(self) -> Works:
        """What values plans, after any answer about findings."""
        findings = {self.subject.findings[f] for c in self.examined for f in c.findings}
        return self._works(tuple(sorted(findings)), frozenset())

    def _works(self, findings: tuple[int, ...], kept: frozenset[int]) -> Works:
        """What values plans; all roots but those kept are averaged out."""
        observed = self.query.observed
        network = self.subject.network
        if not self.thorough:
            gone = {r: p for r, p in self.beliefs.roots.items() if r not in kept}
            network = averaged(network, gone)
            known = {r: p for r, p in observed.roots.items() if r in kept}
            observed = msgspec.structs.replace(observed, roots=known)
        repairs = tuple(self.screen.prices)
        return Works(self.subject, network, observed, repairs, findings)

    def _works_for(self, candidate: Candidate) -> Works:
        """What values plans after a check; roots that it asks about are kept."""
        if not candidate.roots or self.thorough:
            return self.works
        findings = tuple(sorted(self.subject.findings[f] for f in candidate.findings))
        return self._works(findings, frozenset(self.subject.roots[r] for r in candidate.roots))

    @cached_property
    def base(self) -> float:
        """Minutes expected with no further check."""
        return self._cost(self._outlook(self._base_order), self.state)

    @cached_property
    def _base_order(self) -> tuple[str, ...]:
        """The shortlist by the chance that each repair alone ends it, per minute."""
        alone = self.works.of(ALWAYS, [frozenset({r}) for r in self.shortlist])
        gains = dict(zip(self.shortlist, alone, strict=True))
        return tuple(sorted(self.shortlist, key=lambda r: -gains[r] / self.screen.prices[r]))

    @cached_property
    def floor(self) -> float:
        """A lower bound: what the causes would cost to mend if they were known.

        A repair is needed when all others together do not end the trouble; set-ups and
        calls are left out, and what no repair here mends is taken at the cheapest price.
        """
        everything = frozenset(self.shortlist)
        sets = [everything, *(everything - {r} for r in self.shortlist)]
        ends, *without = self.works.of(ALWAYS, sets)
        bare = {r: self.prices.bare(self.subject.knowledge.repairs[r]) for r in self.screen.prices}
        needed = sum(
            bare[r] * max(0.0, ends - rest) for r, rest in zip(self.shortlist, without, strict=True)
        )
        return needed + min(bare.values(), default=0.0) * (1.0 - ends)

    def _price(self, candidate: Candidate) -> float:
        return self.prices.work(candidate.check.work, self.state).minutes

    def _outlook(self, order: tuple[str, ...]) -> Outlook:
        return Outlook(order, self.works.of(ALWAYS, prefixes(order)))

    def _checks(self) -> list[Step]:
        """The best of the checks looked at, their answers weighed exactly."""
        looks = [self._look(candidate) for candidate in self.examined]
        valued = sorted((self._value(look, look.chances), k) for k, look in enumerate(looks))
        steps = []
        for _, k in valued[: len(looks) if self.thorough else SHOWN]:
            look = looks[k]
            weights = weigh_answers(self.subject, self.query, look.candidate, look.answers)
            chances = tuple(w / self.beliefs.total for w in weights)
            steps.append(self._check(look, chances))
        return self._spoiling_priced(steps)

    def _look(self, candidate: Candidate) -> "_Look":
        answers, orders = self._likely_answers(candidate)
        works = self._works_for(candidate)
        expander = Expander(works.before)
        terms = [candidate.terms(self.subject, expander, a) for a in answers]
        values = works.of_each([(t, prefixes(o)) for t, o in zip(terms, orders, strict=True)])
        total = sum(weight for weight, _ in works.of_each([(ALWAYS, [])]))
        state = self.prices.work(candidate.check.work, self.state).after
        costs = [
            self._cost(Outlook(order, value), state)
            for order, (_, value) in zip(orders, values, strict=True)
        ]
        chances = tuple(weight / total for weight, _ in values)
        return _Look(candidate, tuple(answers), chances, tuple(costs))

    def _value(self, look: "_Look", chances: tuple[float, ...]) -> float:
        """Price of a check plus what is expected to follow; rare answers at the dearest."""
        follow = sum(p * cost for p, cost in zip(chances, look.costs, strict=True))
        rest = max(0.0, 1.0 - sum(chances)) * self.subject.system.specialist.minutes.value
        return self._price(look.candidate) + follow + rest

    def _check(self, look: "_Look", chances: tuple[float, ...]) -> Step:
        check = look.candidate.check
        price = self.prices.work(check.work, self.state)
        return Step(
            check.id,
            "check",
            check.title,
            check.work.minutes.value,
            check.work.waiting.value,
            price.minutes,
            self._value(look, chances),
            check.work.who,
            price.transitions,
            tuple(Outcome(a, p) for a, p in zip(look.answers, chances, strict=True)),
            check.work.cautions,
            check.work.steps,
            self._reason(look.candidate),
        )

    def _likely_answers(
        self, candidate: Candidate
    ) -> tuple[list[dict[str, str]], list[tuple[str, ...]]]:
        """The likeliest joint answers by the quick screen, each with an order of repairs."""
        answers, likelihoods = self.screen.likelihoods(candidate)
        masses = likelihoods * self.vector
        best = np.argsort(-masses.sum(axis=1), kind="stable")[:ANSWERS]
        orders = [self.screen.order(masses[k], LONGEST) for k in best]
        return [answers[k] for k in best], orders

    def _reason(self, candidate: Candidate) -> str:
        """Which of the likely causes the check tells most about."""
        _, likelihoods = self.screen.likelihoods(candidate)
        total = likelihoods @ self.vector / max(self.vector.sum(), 1e-300)
        tells = np.abs(likelihoods - total[:, None]).sum(axis=0) * self.vector
        cause = self.subject.network.causes[int(np.argmax(tells))].id
        return f"Tells most about: {self.subject.title(cause)}."

    def _spoiling_priced(self, steps: list[Step]) -> list[Step]:
        """Add to a step that spoils findings what the best check on them would save."""
        gains = {s.id: max(0.0, self.base - s.expected_total) for s in steps}
        reveals = {c.check.id: set(c.findings) for c in self.examined}
        result = []
        for step in steps:
            spoilt = set(self.subject.knowledge.checks[step.id].spoils) - reveals[step.id]
            lost = [gains[s.id] for s in steps if s.id != step.id and spoilt & reveals[s.id]]
            more = max(lost, default=0.0)
            result.append(
                msgspec.structs.replace(step, expected_total=step.expected_total + more)
            )
        return result

    def _repairs(self) -> list[Step]:
        """The repairs that look best, each as the first of its plan."""
        steps = []
        for repair in self._base_order[:4]:
            order = (repair, *(r for r in self._base_order if r != repair))
            outlook = self._outlook(order)
            entry = self.subject.knowledge.repairs[repair]
            price = self.prices.repair(entry, self.state)
            left = 1.0 - outlook.works[0]
            rest = Outlook(order[1:], outlook.works[1:])
            follow = self._cost(rest, price.after, left)
            steps.append(self._repair(entry, price, follow, left))
        return steps

    def _repair(self, repair: Repair, price: Price, follow: float, left: float) -> Step:
        work = repair.work
        return Step(
            repair.id,
            "repair",
            repair.title,
            work.minutes.value,
            work.waiting.value,
            price.minutes,
            price.minutes + follow,
            work.who,
            price.transitions,
            cautions=work.cautions,
            do=work.steps,
            reason=f"Chance that this alone ends it: {1.0 - left:.0%}.",
        )

    def _specialist(self) -> Step:
        entry = self.subject.system.specialist
        minutes = entry.minutes.value
        return Step(
            "specialist",
            "specialist",
            entry.title,
            minutes,
            0.0,
            minutes,
            minutes,
            "specialist",
            reason="Always gets it working.",
        )
