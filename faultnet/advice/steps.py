"""The next step: every check and repair priced with what it is expected to lead to.

A step is worth its own price plus, after each answer, the best repair-only plan; given
time, a search looks further ahead and the step that it finds best is worth what it
leads to. The probabilities of causes and answers are exact. Which checks are examined
is chosen by the quick screen; how many there were is said. Plans after an answer are
valued with unknown layout and circumstances averaged out, unless the advice is asked
to be thorough: then everything is exact, and slower. Where exact chances of answers
would take many seconds, they are told as the plans took them.
"""

from collections.abc import Collection, Sequence
from contextlib import suppress
from functools import cached_property
from math import inf
from typing import TYPE_CHECKING

import msgspec
import numpy as np

from faultnet.advice.answers import MOST, weigh_answers
from faultnet.advice.candidates import Candidate
from faultnet.advice.dangers import DangerMet, dangers_met, withheld
from faultnet.advice.grounds import grounds
from faultnet.advice.outlooks import FirstRepair, Look, Outlooks
from faultnet.advice.plan import Repairs
from faultnet.advice.situation import EXAMINED, Situation, situate
from faultnet.advice.step import Advice, Outcome, Step
from faultnet.advice.subject import Subject
from faultnet.advice.ties import best_first, even_minutes
from faultnet.inference.engine import ImpossibleEvidenceError, TooLargeError
from faultnet.model.evidence import Evidence

if TYPE_CHECKING:
    from faultnet.planning.plan import Plan

LASTS = 0.95
"""Below this chance that the trouble lasts at all, it is told beside a repair."""
SHOWN = 3
"""Checks shown, their answers weighed exactly; all of them when thorough."""


def next_steps(
    subject: Subject,
    evidence: Evidence,
    who: str = "technician",
    *,
    thorough: bool = False,
    leave_out: Collection[str] = (),
    seconds: float = 0.0,
    whole: bool = False,
) -> Advice:
    """Return the priced next steps, without the checks in ``leave_out``.

    ``seconds`` may be spent on looking further ahead than one step; the plan found comes
    with the advice, and with ``whole`` also where there is no time to look further.

    Raises ``UnknownNameError``, ``UnfitReadingError`` and ``TooLargeError``.
    """
    dangers = dangers_met(subject, evidence)
    unsafe = withheld(dangers)
    left_out = frozenset(leave_out)
    try:
        situation = situate(
            subject, evidence, who, thorough=thorough, withheld=unsafe, leave_out=left_out
        )
    except ImpossibleEvidenceError:
        system, region = subject.system.id, subject.knowledge.region
        found = grounds(subject, evidence).conflict
        return Advice(system, "minutes", dangers, (), 0.0, conflict=found, region=region)
    return advise(valued(situation), dangers, seconds=seconds, whole=whole)


def advise(
    outlooks: Outlooks,
    dangers: tuple[DangerMet, ...] = (),
    *,
    seconds: float = 0.0,
    whole: bool = False,
    positions: int = 0,
) -> Advice:
    """Return the priced next steps of outlooks that are valued.

    In place of ``seconds``, ``positions`` may be looked at: the same comes on any machine.
    """
    unsafe = withheld(dangers)
    situation = outlooks.situation
    wanted = seconds > 0.0 or whole or positions > 0
    plan = _plan(outlooks, seconds, positions) if wanted and not unsafe else None
    stepping = _Stepping(situation, outlooks, plan)
    steps = stepping.make_safe(dangers) if unsafe else stepping.steps()
    return Advice(
        situation.subject.system.id,
        "minutes",
        dangers,
        steps,
        outlooks.floor,
        len(situation.possible),
        len(situation.examined),
        situation.thorough,
        plan=plan,
        rough_answers=stepping.rough,
        region=situation.subject.knowledge.region,
    )


def valued(situation: Situation) -> Outlooks:
    """Return the outlooks, with fewer checks examined where all would take too long.

    Raises ``TooLargeError`` where even the repairs alone would.
    """
    for most in () if situation.thorough else EXAMINED[:-1]:
        outlooks = Outlooks(msgspec.structs.replace(situation, most=most))
        with suppress(TooLargeError):
            outlooks.weigh()
            return outlooks
    least = situation.most if situation.thorough else EXAMINED[-1]
    outlooks = Outlooks(msgspec.structs.replace(situation, most=least))
    outlooks.weigh()
    return outlooks


def _plan(outlooks: Outlooks, seconds: float, positions: int) -> "Plan":
    from faultnet.advice.ahead import look_ahead

    return look_ahead(outlooks, seconds, positions)


class _Stepping(msgspec.Struct, frozen=True, dict=True):
    """Turns outlooks into priced steps."""

    situation: Situation
    outlooks: Outlooks
    plan: "Plan | None"

    def steps(self) -> tuple[Step, ...]:
        repairs = [self._repair(first) for first in self.outlooks.first_repairs]
        steps = [*self._checks(), *repairs, self._specialist()]
        if self.plan is not None and self.plan.planner == "exact":
            steps = self._exact(steps, self.plan)
        return tuple(sorted(steps, key=lambda s: (even_minutes(s.expected_total), s.price, s.id)))

    def _exact(self, steps: list[Step], plan: "Plan") -> list[Step]:
        """The steps with the first one of an exact plan at what that plan costs."""
        first = plan.first
        name = "specialist" if first.step.kind == "fall-back" else first.step.id
        if first.step.kind == "repair" and name not in {s.id for s in steps}:
            ends = sum(b.probability for b in first.branches if b.then is None)
            follow = Repairs(plan.expected - first.step.price, ())
            steps.append(self._repair(FirstRepair(name, ends, follow)))
        return [
            msgspec.structs.replace(s, expected_total=plan.expected) if s.id == name else s
            for s in steps
        ]

    def make_safe(self, dangers: tuple[DangerMet, ...]) -> tuple[Step, ...]:
        """One step for each danger that is not dealt with."""
        findings = self.situation.subject.knowledge.findings
        return tuple(
            Step(
                f"make-safe-{danger.finding}",
                "make-safe",
                f"Make safe: {findings[danger.finding].title}",
                0.0,
                0.0,
                0.0,
                self.outlooks.base.cost,
                self.situation.who,
                do=(danger.say,),
                reason=f"Send: {danger.send}",
            )
            for danger in dangers
            if not danger.made_safe
        )

    def _checks(self) -> list[Step]:
        """The best of the checks looked at, with the chances of their answers."""
        exact = self._weighed
        chances = [look.chances for look in self._best] if exact is None else exact
        return self._spoiling_priced(
            [self._check(look, p) for look, p in zip(self._best, chances, strict=True)]
        )

    @cached_property
    def _best(self) -> list[Look]:
        """The checks that are shown, and what a plan begins with."""
        looks = sorted(
            self.outlooks.looks, key=lambda look: even_minutes(self.outlooks.value(look))
        )
        most = len(looks) if self.situation.thorough else SHOWN
        return [k for k in looks if k in looks[:most] or self._planned(k)]

    @cached_property
    def _weighed(self) -> list[tuple[float, ...]] | None:
        """The chances of answers, exact; None where that would take too long."""
        situation = self.situation
        asked = [(look.candidate, look.answers) for look in self._best]
        most = inf if situation.thorough else MOST
        try:
            weights = weigh_answers(situation.subject, situation.query, asked, most)
        except TooLargeError:
            return None
        return [tuple(w / situation.beliefs.total for w in each) for each in weights]

    @property
    def rough(self) -> bool:
        """Whether the chances of answers are those that the plans took."""
        return not self.situation.withheld and self._weighed is None

    def _planned(self, look: Look) -> bool:
        """Whether a look is what the plan begins with."""
        return self.plan is not None and self.plan.first.step.id == look.candidate.check.id

    def _check(self, look: Look, chances: tuple[float, ...]) -> Step:
        situation = self.situation
        costs: Sequence[float] = ()
        if self.plan is not None and self._planned(look):
            from faultnet.advice.ahead import follow_up

            costs = follow_up(look, self.plan)
        check = look.candidate.check
        price = situation.prices.work(check.work, situation.state)
        return Step(
            check.id,
            "check",
            check.title,
            check.work.minutes.value,
            check.work.waiting.value,
            price.minutes,
            self.outlooks.value(look, chances, costs),
            check.work.who,
            price.transitions,
            tuple(Outcome(a, p) for a, p in zip(look.answers, chances, strict=True)),
            check.work.cautions,
            check.work.steps,
            self._reason(look.candidate),
        )

    def _reason(self, candidate: Candidate) -> str:
        """Which of the likely causes the check tells most about."""
        subject, chances = self.situation.subject, self.situation.chances
        likelihoods = self.situation.screen.likelihoods(candidate)
        mean = likelihoods @ chances / max(chances.sum(), 1e-300)
        tells = np.abs(likelihoods - mean[:, None]).sum(axis=0) * chances
        cause = subject.network.causes[best_first(tells)[0]].id
        return f"Tells most about: {subject.title(cause)}."

    def _spoiling_priced(self, steps: list[Step]) -> list[Step]:
        """Add to a step that spoils findings what the best check on them would save."""
        checks = self.situation.subject.knowledge.checks
        gains = {s.id: max(0.0, self.outlooks.base.cost - s.expected_total) for s in steps}
        reveals = {c.check.id: set(c.findings) for c in self.situation.examined}
        result = []
        for step in steps:
            spoilt = set(checks[step.id].spoils) - reveals[step.id]
            lost = [gains[s.id] for s in steps if s.id != step.id and spoilt & reveals[s.id]]
            total = step.expected_total + max(lost, default=0.0)
            result.append(msgspec.structs.replace(step, expected_total=total))
        return result

    def _repair(self, first: FirstRepair) -> Step:
        situation = self.situation
        repair = situation.subject.knowledge.repairs[first.repair]
        reason = f"Chance that this alone ends it: {first.ends:.0%}."
        if self.outlooks.lasts < LASTS:
            reason += f" Chance that it is still there: {self.outlooks.lasts:.0%}."
        price = situation.prices.repair(repair, situation.state)
        work = repair.work
        return Step(
            repair.id,
            "repair",
            repair.title,
            work.minutes.value,
            work.waiting.value,
            price.minutes,
            price.minutes + first.follow.cost,
            work.who,
            price.transitions,
            cautions=work.cautions,
            do=work.steps,
            reason=reason,
        )

    def _specialist(self) -> Step:
        title = self.situation.subject.system.specialist.title
        minutes = self.situation.specialist
        reason = "Always gets it working."
        who = "specialist"
        return Step(who, who, title, minutes, 0.0, minutes, minutes, who, reason=reason)
