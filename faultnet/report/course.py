"""The course of a case as a report needs it: what was done, what was seen, what was dangerous."""

from functools import cached_property
from typing import TypeVar

import msgspec

from faultnet.advice.observe import levels_of
from faultnet.advice.subject import Subject
from faultnet.cases import events as e
from faultnet.cases.case import Case
from faultnet.cases.entry import Entry
from faultnet.cases.site import Site
from faultnet.cases.written import sheet_of
from faultnet.model.check import Check
from faultnet.model.evidence import Answer
from faultnet.model.finding import Danger, Finding
from faultnet.model.repair import Repair
from faultnet.visit.progress import wrong

T = TypeVar("T")


class Done(msgspec.Struct, frozen=True):
    """A repair that was done at the end of a round (from 0), and what was said of it after.

    ``works`` is None and ``proof`` is empty where nothing was said.
    """

    repair: Repair
    round: int
    at: str
    works: bool | None = None
    proof: str = ""

    @property
    def stayed(self) -> bool:
        """Whether the trouble was there as before."""
        return self.works is False or self.proof == "no"

    @property
    def helped(self) -> bool:
        """Whether it was said to have ended the trouble."""
        return not self.stayed and (self.works is True or self.proof == "yes")


class Met(msgspec.Struct, frozen=True):
    """A danger that was told or met.

    ``state`` is ``safe`` (noted as dealt with), ``gone`` (not there when it was asked about
    again) or ``open``.
    """

    finding: Finding
    danger: Danger
    state: str = "open"


class Seen(msgspec.Struct, frozen=True):
    """A cause that was found by looking, in a round, with the check that showed it."""

    cause: str
    round: int
    check: Check | None


class Course(msgspec.Struct, frozen=True, dict=True):
    """A case with its system and its site, if any."""

    subject: Subject
    case: Case
    site: Site | None = None

    def finding(self, name: str) -> Finding:
        """Return a finding by its id."""
        return self.subject.knowledge.findings[name]

    def answers(self, round_: int, speaker: str) -> list[Answer]:
        """Return what somebody said in a round, last words only."""
        return [a for a in self.case.evidence.rounds[round_].answers if a.speaker == speaker]

    def wrong(self, answer: Answer) -> bool:
        """Whether an answer says that something is wrong."""
        return wrong(self.finding(answer.finding), answer.answer)

    def written(self, kind: type[T]) -> list[tuple[T, Entry]]:
        """Return the lines of one kind that stand on the closing sheet, with their entries."""
        return [
            (each.entry.event, each.entry)
            for each in sheet_of(self.case)
            if isinstance(each.entry.event, kind)
        ]

    @cached_property
    def done(self) -> tuple[Done, ...]:
        """The repairs in their order."""
        found: list[Done] = []
        for each in self.case.entries:
            match each.entry.event:
                case e.RepairDone(repair):
                    entry = self.subject.knowledge.repairs[repair]
                    found.append(Done(entry, each.round, each.entry.at))
                case e.Works(works) if found:
                    found[-1] = msgspec.structs.replace(found[-1], works=works)
                case e.Proved(proof) if found:
                    found[-1] = msgspec.structs.replace(found[-1], proof=proof)
        return tuple(found)

    @cached_property
    def seen(self) -> tuple[Seen, ...]:
        """The causes found by looking, each once, as they were seen first."""
        found: dict[str, Seen] = {}
        for number in range(len(self.case.evidence.rounds)):
            for answer in self.answers(number, "technician"):
                cause = self.finding(answer.finding).found_cause
                if cause in self.subject.knowledge.causes and self.wrong(answer):
                    check = self._check(answer.finding, number)
                    found.setdefault(cause, Seen(cause, number, check))
        return tuple(found.values())

    @cached_property
    def unlisted(self) -> tuple[e.Confirmed, ...]:
        """What was seen to be wrong, each once, and is in no file."""
        events = (each.entry.event for each in self.case.entries)
        confirmed = (each for each in events if isinstance(each, e.Confirmed))
        return tuple(dict.fromkeys(each for each in confirmed if each.unlisted))

    @cached_property
    def complaints(self) -> tuple[Answer, ...]:
        """What the caller said at first, else what was said at the pump before any step."""
        told = self.answers(0, "caller")
        if told:
            return tuple(told)
        before = set()
        for each in self.case.entries:
            if isinstance(each.entry.event, e.StepBegun | e.StepDone | e.RepairDone):
                break
            if isinstance(each.entry.event, e.Told):
                before.add(each.entry.event.about)
        told = self.answers(0, "technician")
        return tuple(a for a in told if a.finding in before and self.wrong(a))

    @cached_property
    def met(self) -> tuple[Met, ...]:
        """The dangers told or met and not taken back, each once, as they stand at the end."""
        found: dict[tuple[str, str], tuple[str, int]] = {}
        safe_in: dict[str, int] = {}
        for each in self.case.entries:
            match each.entry.event:
                case e.Told(about, answer) | e.DangerMet(about, answer):
                    state = "safe" if safe_in.get(about) == each.round else "open"
                    given = self._dangers(about, answer)
                    found |= dict.fromkeys(given, (state, each.round))
                    if not given and self._speaker(each.entry) == "technician":
                        still = [k for k in found if k[0] == about and found[k][0] == "open"]
                        found |= dict.fromkeys(still, ("gone", each.round))
                case e.MadeSafe(about):
                    safe_in[about] = each.round
                    found |= {k: ("safe", each.round) for k in found if k[0] == about}
                case e.TakenBack(about):
                    found = {k: v for k, v in found.items() if k[0] != about}
        return tuple(
            Met(self.finding(name), danger, self._state(name, *stands))
            for (name, answer), stands in found.items()
            for danger in self.finding(name).dangers
            if danger.answer == answer
        )

    def mended(self, done: Done) -> tuple[str, ...]:
        """Return the causes that a repair mends: those that were seen, else all of them."""
        causes = self.subject.network.causes
        mends = tuple(causes[k].id for k in self.subject.mended_by.get(done.repair.id, ()))
        seen = tuple(s.cause for s in self.seen if s.cause in mends and s.round <= done.round)
        return seen or mends

    def _check(self, finding: str, round_: int) -> Check | None:
        checks = self.subject.knowledge.checks
        steps = [
            checks[each.entry.event.step]
            for each in self.case.entries
            if isinstance(each.entry.event, e.StepDone) and each.round == round_
        ]
        return next((c for c in reversed(steps) if finding in c.reveals), None)

    def _state(self, finding: str, state: str, round_: int) -> str:
        """Return how a danger stands; nobody made safe what they had not heard of."""
        evidence = self.case.evidence
        now = round_ == len(evidence.rounds) - 1
        unheard = state == "safe" and now and finding not in evidence.made_safe
        return "open" if unheard else state

    def _speaker(self, entry: Entry) -> str:
        event = entry.event
        said = event.speaker if isinstance(event, e.Told) else ""
        return said or self.case.sitting(entry.author).speaker

    def _dangers(self, about: str, answer: str) -> list[tuple[str, str]]:
        if about not in self.subject.findings:
            return []
        finding = self.finding(about)
        known = (*finding.all_answers, "yes", "no")
        given = set(levels_of(finding, answer)) if answer in known else set()
        return [
            (about, danger.answer)
            for danger in finding.dangers
            if given & set(levels_of(finding, danger.answer))
        ]
