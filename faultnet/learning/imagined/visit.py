"""An imagined call and visit, from the complaint to the last repair, as it is written down.

Whoever works there chooses by what was said and by nothing else: by the hunch which check
and which repair, by the answers whether the trouble is over.
"""

from collections.abc import Iterable

import msgspec
import numpy as np

from faultnet.advice.observe import dangers_of
from faultnet.advice.subject import Subject
from faultnet.learning.closed import Confirmation, StepKind, StepTaken
from faultnet.learning.imagined.habits import Habits
from faultnet.learning.imagined.hunch import Hunch, is_abnormal
from faultnet.learning.imagined.notes import missing_text, unlisted_text
from faultnet.learning.trials.site import DrawnSite
from faultnet.model.check import Check, Work
from faultnet.model.evidence import Answer, Evidence, Round
from faultnet.model.finding import URGENCY
from faultnet.model.stock import serving
from faultnet.network.build import UNLISTED


class Sheet(msgspec.Struct):
    """One round as it fills."""

    answers: list[Answer]
    repairs: tuple[str, ...] = ()
    spoiled: list[str] = []

    def round(self) -> Round:
        """Return the round."""
        return Round(tuple(self.answers), (), self.repairs, (), tuple(self.spoiled))


class Visit:
    """One call on its way; what is noted of it stands in its fields."""

    def __init__(
        self,
        hunch: Hunch,
        site: DrawnSite,
        call: Evidence,
        habits: Habits,
        rng: np.random.Generator,
    ) -> None:
        self.hunch, self.site, self.call, self.habits, self.rng = hunch, site, call, habits, rng
        self.sheets = [Sheet([])]
        self.steps: list[StepTaken] = []
        self.confirmed: list[Confirmation] = []
        self.unknown: list[str] = []
        self.parts: list[str] = []
        self.complaints: list[str] = []
        self.told: list[str] = []
        self.trips = 0
        self.ending = ""
        self._said: dict[tuple[int, str], bool] = {}
        self._spoken: set[int] = set()
        self._tried: list[str] = []
        self._silent = rng.random() < habits.silent

    def go(self) -> None:
        """Take the call, drive there where that does not end it, and work until it is over."""
        self._take_call()
        if self.rng.random() < self.habits.left:
            self.ending = ("declined", "no-access")[int(self.rng.integers(2))]
            self.trips = int(self.ending == "no-access")
        elif not self._mended_by_phone():
            self.trips = 1
            self._work()

    def evidence(self) -> Evidence:
        """Return what was said, seen and mended; whoever came noted how the site is."""
        system = self.site.truth.system
        layout = {**self._noted(system.layout), **self.call.layout}
        before = {k: state == "yes" for k, state in self._noted(system.circumstances).items()}
        rounds = tuple(sheet.round() for sheet in self.sheets)
        safe = {a.finding for r in rounds for a in r.answers if self._is_danger(a)}
        known = {**before, **self.call.circumstances}
        return Evidence(rounds, layout, known, (), tuple(sorted(safe)))

    def _noted(self, roots: Iterable[str]) -> dict[str, str]:
        """What was noted at the site, if anybody worked there."""
        if not self.trips or not self.steps:
            return {}
        return {r: self.site.state(r) for r in roots if self.rng.random() < self.habits.seen}

    def _take_call(self) -> None:
        told = [a for a in self.call.rounds[0].answers if a.finding in self._findings]
        for answer in told:
            self._note(answer)
        for asked in range(self.habits.questions + self.habits.more):
            if asked >= self.habits.questions and self._wrong("caller"):
                break
            at_random = self.rng.random() < self.habits.at_random
            weights = self.rng.random(len(self._findings)) if at_random else None
            question = self.hunch.best_question(self._believed(), self._spoken, weights)
            if question is None:
                break
            self._spoken.add(self._findings[question])
            self._ask([question], "caller")
        self._spoken.clear()
        self.told = self._wrong("caller")
        self.complaints = _worst(self.hunch.subject, self.told)

    def _mended_by_phone(self) -> bool:
        """Try what the caller can do; return whether that was the end of it."""
        repair, sure = self.hunch.best_repair(self._believed(), self._tried)
        work = self.hunch.subject.knowledge.repairs[repair].work if repair else None
        if work is None or work.who != "caller" or sure < self.habits.sure:
            return False
        if not self.complaints or self.rng.random() >= self.habits.by_phone:
            return False
        self._mend(repair, "caller")
        if not self._is_over("caller"):
            return False
        if self.rng.random() >= self.habits.by_caller:
            self.confirmed.clear()
        return True

    def _seen_while_mending(self, repair: str) -> list[str]:
        """The causes that a repair is for and that are there; it may not mend them for all that."""
        there, truth = self.site.world.present - self.site.mended, self.site.truth
        return [truth.network.causes[c].id for c in truth.mended_by.get(repair, ()) if c in there]

    def _work(self) -> None:
        """Look whether it is as the caller says, then look for what it is and mend it."""
        self._ask(self.told, "technician")
        self.complaints = _worst(self.hunch.subject, self._wrong("technician"))
        for _ in range(self.habits.rounds):
            self._look()
            repair, sure = self.hunch.best_repair(self._believed(), self._tried)
            if not repair or sure <= 0.0 or self._is_for_specialist(repair):
                break
            self._mend(repair, "technician")
            if self._is_over("technician"):
                return
        self._call_specialist()

    def _look(self) -> None:
        """Do checks until one repair is likely enough."""
        for _ in range(self.habits.checks):
            believed = self._believed()
            if self.hunch.best_repair(believed, self._tried)[1] >= self.habits.sure:
                return
            check = self.hunch.best_check(believed, self._spoken)
            if check is None:
                return
            self._do(check)

    def _do(self, check: Check) -> None:
        self._time(check.id, "check", self._truly("checks", check.id))
        speaker = "caller" if check.work.who == "caller" else "technician"
        spoken = {answer.finding for answer in self._now.answers if answer.speaker == speaker}
        spoken.update(self._now.spoiled)
        self._ask((f for f in check.reveals if f in self._findings and f not in spoken), speaker)
        self._now.spoiled += [f for f in check.spoils if f in self._findings]
        self._spoken |= {
            self._findings[f] for f in (*check.reveals, *check.spoils) if f in self._findings
        }

    def _mend(self, repair: str, speaker: str) -> None:
        """Do a repair, note what was seen to be wrong, and ask after the complaints anew."""
        habits, entry = self.habits, self.hunch.subject.knowledge.repairs[repair]
        self._tried.append(repair)
        self._time(repair, "repair", self._truly("repairs", repair))
        self._now.repairs = (repair,)
        for cause in self._seen_while_mending(repair):
            if self.rng.random() < habits.names:
                self._confirm(cause)
        self.site.mend(repair)
        self._fit(entry.parts)
        if speaker == "technician" and self.rng.random() < habits.second_trip:
            self.trips += 1
        self.sheets.append(Sheet([], (), []))
        self._spoken.clear()
        self._ask(self.told, speaker)

    def _is_over(self, speaker: str) -> bool:
        """Whether what was said last is that no complaint is left; the case ends then."""
        wrong = self._wrong(speaker)
        if set(wrong) & set(self.complaints):
            return False
        proved = self.rng.random() < self.habits.proves and not wrong
        self.ending = "mended" if proved else "mended-proof-open"
        return True

    def _call_specialist(self) -> None:
        """End the case; the specialist finds all that is there, and it is heard of or not."""
        self.ending = "referred"
        self.steps.append(StepTaken("specialist", "specialist", len(self.sheets) - 1))
        if self.rng.random() < self.habits.by_specialist:
            for cause in sorted(self.site.world.present - self.site.mended):
                self._confirm(self.site.truth.network.causes[cause].id)

    def _confirm(self, cause: str) -> None:
        if self._silent:
            return
        here, truth = len(self.sheets) - 1, self.site.truth
        if cause == UNLISTED:
            self.confirmed.append(Confirmation(UNLISTED, here, unlisted_text(self.rng)))
        elif cause not in self.hunch.subject.causes:
            text = missing_text(truth.knowledge.causes[cause].title, self.rng)
            self.confirmed.append(Confirmation(UNLISTED, here, text))
        else:
            self.confirmed.append(Confirmation(cause, here))

    def _wrong(self, speaker: str) -> list[str]:
        """The complaints of which a speaker says that they are there."""
        subject = self.hunch.subject
        return [
            answer.finding
            for answer in self._now.answers
            if answer.speaker == speaker
            and subject.knowledge.findings[answer.finding].urgency
            and is_abnormal(subject, answer)
        ]

    def _ask(self, findings: Iterable[str], speaker: str) -> None:
        for finding in findings:
            answer = Answer(finding, self.site.answer(finding, speaker), speaker)
            if self.rng.random() < self.habits.forgets:
                self.unknown += [] if finding in self.unknown else [finding]
            else:
                self._note(answer)

    def _note(self, answer: Answer) -> None:
        self._now.answers.append(answer)
        if answer.answer != "cannot":
            place = self._findings[answer.finding]
            self._said[place, answer.speaker] = is_abnormal(self.hunch.subject, answer)

    def _time(self, step: str, kind: StepKind, work: Work) -> None:
        """Note a step, with its minutes: about those that it truly takes, waits included."""
        spread = self.habits.spread
        taken = work.minutes.value * float(np.exp(self.rng.normal(-(spread**2) / 2.0, spread)))
        minutes = (
            round(taken + work.waiting.value, 1) if self.rng.random() < self.habits.timed else None
        )
        self.steps.append(StepTaken(step, kind, len(self.sheets) - 1, minutes))

    def _fit(self, parts: tuple[str, ...]) -> None:
        items = serving(self.hunch.subject.knowledge.stock, parts)
        self.parts += [item for item in items if item not in self.parts]

    def _truly(self, kind: str, step: str) -> Work:
        entries = getattr(self.site.truth.knowledge, kind)
        work: Work = entries[step].work
        return work

    def _believed(self) -> np.ndarray:
        return self.hunch.believed(self._said, self._tried)

    def _is_for_specialist(self, repair: str) -> bool:
        return self.hunch.subject.knowledge.repairs[repair].work.who == "specialist"

    def _is_danger(self, answer: Answer) -> bool:
        return bool(
            dangers_of(self.hunch.subject.knowledge.findings[answer.finding], answer.answer)
        )

    @property
    def _now(self) -> Sheet:
        return self.sheets[-1]

    @property
    def _findings(self) -> dict[str, int]:
        return self.hunch.subject.findings


def _worst(subject: Subject, complaints: list[str]) -> list[str]:
    """The complaints that take most from a house; they are what is to end."""
    grades = {c: URGENCY.index(subject.knowledge.findings[c].urgency) for c in complaints}
    return [c for c, grade in grades.items() if grade == min(grades.values())]
