"""Checks that are worth their minutes in none of the states looked at.

A state is a call in one system with nothing told, with one complaint told, or with two that
come together often enough. A check is looked at first in those of each system at which its
answers part the likely causes most, then in all others (in a large system as many as time
allows), and at last in each case beside the knowledge that expects a cause of which it
tells something; until it has been worth it. In each state the quick screen of the next step
says what the check would save of the repairs that follow, one step ahead, with its set-ups
made already. That is no proof: the screen takes causes as independent, and there are other
states.
"""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from contextlib import suppress

import msgspec

from faultnet.advice.candidates import Candidate
from faultnet.advice.possibilities import UnfitReadingError
from faultnet.advice.screen import Screen
from faultnet.advice.site import Prices
from faultnet.advice.situation import situate
from faultnet.advice.subject import Subject
from faultnet.authoring.problem import Problem, warning
from faultnet.inference.engine import ImpossibleEvidenceError, TooLargeError
from faultnet.model.check import Check
from faultnet.model.example import Example
from faultnet.model.knowledge import Knowledge
from faultnet.model.named_by import NamedBy
from faultnet.review.facts.states import State, most_telling, states
from faultnet.review.facts.told import Told

LOOKS = 10
"""States of each system at which every check is looked at."""
MOST = 4_000_000
"""Beyond these, states are taken as far as checks left, times states, times causes allow."""
SHARE = 0.5
"""A check that saves this share of its minutes somewhere is not told: the quick screen is
rough, and looks no further than one step; judgement."""

Shown = Mapping[str, frozenset[str]]
"""Checks with the causes that their findings are shown by."""


class _Best(msgspec.Struct):
    """What a check saves at best, in minutes, where, and in how many states it was looked at."""

    saves: float = 0.0
    where: str = "nothing told"
    states: int = 0

    def seen(self, saves: float, where: str) -> None:
        """Take in one more state."""
        self.states += 1
        if saves > self.saves:
            self.saves, self.where = saves, where


class Worth(msgspec.Struct, frozen=True, dict=True):
    """Looks for a state at which each check saves enough; those that have one are left out."""

    named: NamedBy
    subjects: Mapping[str, Subject]
    prices: Prices
    best: dict[str, _Best]

    def left(self, subject: Subject) -> list[Candidate]:
        """Return the checks of a system that have not been worth it anywhere so far."""
        checks = [self._knowledge.checks[name] for name in self.best if not self._worth(name)]
        found = [_whole(check, subject) for check in checks]
        return [each for each in found if each is not None]

    def at_calls(self, told: Told) -> None:
        """Look at the calls of one system."""
        subject = told.subject
        known = self._knowledge.repairs
        minutes = {r: self.prices.repair(known[r], frozenset()).minutes for r in subject.mended_by}
        screen = Screen(subject, told.causes, minutes, subject.system.specialist.minutes.value)
        seen = list(states(told))
        self._at_states(screen, seen, slice(0, LOOKS))
        room = MOST // (max(1, len(self.left(subject))) * len(told.causes))
        self._at_states(screen, seen, slice(LOOKS, max(LOOKS, room)))

    def _at_states(self, screen: Screen, seen: Sequence[State], which: slice) -> None:
        """Look at those states that stand there when each check's most telling come first."""
        left = self.left(screen.subject)
        order = most_telling(seen, left, screen) if left else []
        asked: dict[int, list[Candidate]] = {}
        for candidate, places in zip(left, order, strict=True):
            for place in places[which]:
                asked.setdefault(place, []).append(candidate)
        for place in sorted(asked):
            still = [each for each in asked[place] if not self._worth(each.check.id)]
            self._look(screen.at(seen[place].chances), still, str(seen[place]))

    def at_cases(self, examples: Iterable[Example], shown: Shown) -> None:
        """Look at the cases that expect a cause of which a check tells something."""
        for example in examples:
            expected = set(example.expect.causes)
            subject = self.subjects[example.system]
            left = {c.check.id for c in self.left(subject) if shown[c.check.id] & expected}
            if not left:
                continue
            with suppress(ImpossibleEvidenceError, TooLargeError, UnfitReadingError):
                situation = situate(subject, example.evidence, "technician")
                asked = [c for c in situation.possible if c.check.id in left]
                self._look(situation.screen, asked, f"the case `{example.id}`")

    def problems(self) -> Iterator[Problem]:
        """Yield the checks that were worth it nowhere."""
        for name, best in self.best.items():
            if best.states and not self._worth(name):
                check = self._knowledge.checks[name]
                yield warning(
                    "check-never-worth-it",
                    name,
                    check.origin,
                    f"In none of the {best.states} states looked at does it save half of the "
                    f"{self._minutes(check):g} min that it takes with its set-ups made: at best "
                    f"{best.saves:.1f} min, with {best.where}.",
                    "Make it shorter or surer, let it reveal more at once, or take it out.",
                )

    @property
    def _knowledge(self) -> Knowledge:
        return self.named.knowledge

    def _look(self, screen: Screen, candidates: Sequence[Candidate], where: str) -> None:
        if not candidates:
            return
        nothing = Candidate(candidates[0].check, (), ())
        before, *after = screen.values([nothing, *candidates], [0.0] * (len(candidates) + 1))
        for candidate, follows in zip(candidates, after, strict=True):
            self.best[candidate.check.id].seen(before - follows, where)

    def _worth(self, name: str) -> bool:
        return self.best[name].saves >= SHARE * self._minutes(self._knowledge.checks[name])

    def _minutes(self, check: Check) -> float:
        """Minutes with every set-up made and everybody called."""
        return self.prices.bare_work(check.work)


def never_worth(
    named: NamedBy, all_told: Sequence[Told], examples: Iterable[Example]
) -> Iterator[Problem]:
    """Yield the checks that save half of their minutes in none of the states looked at.

    Those about a danger, and those that look for what is to be told even where it explains
    nothing (``audit``), are done for another reason and are not looked at.
    """
    knowledge = named.knowledge
    checks = [c for c in knowledge.checks.values() if not _other_reason(c, knowledge)]
    subjects = {told.subject.system.id: told.subject for told in all_told}
    worth = Worth(named, subjects, Prices(knowledge), {c.id: _Best() for c in checks})
    for told in all_told:
        worth.at_calls(told)
    shown = {
        check.id: frozenset(c.id for f in check.reveals for c, _ in named.shown_by.get(f, ()))
        for check in checks
    }
    worth.at_cases([e for e in examples if e.system in subjects], shown)
    yield from worth.problems()


def _other_reason(check: Check, knowledge: Knowledge) -> bool:
    findings = [knowledge.findings[f] for f in check.reveals if f in knowledge.findings]
    causes = [knowledge.causes[f.found_cause] for f in findings if f.found_cause]
    return any(f.dangers for f in findings) or any(cause.audit for cause in causes)


def _whole(check: Check, subject: Subject) -> Candidate | None:
    """The check with all that it reveals in a system; None where that is nothing."""
    findings = tuple(f for f in check.reveals if f in subject.findings)
    roots = tuple(
        r
        for r in check.reveals
        if r in subject.roots and len(subject.network.roots[subject.roots[r]].states) > 1
    )
    here = check.part in subject.system.parts and (findings or roots)
    return Candidate(check, findings, roots) if here else None
