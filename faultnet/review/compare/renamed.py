"""Evidence as the other version would put it: new ids for old ones, what it lacks left out."""

from collections.abc import Mapping
from typing import TypeVar

import msgspec

from faultnet.advice.observe import levels_of
from faultnet.advice.subject import Subject, UnknownNameError
from faultnet.model.evidence import Answer, Evidence, Round, Taken
from faultnet.model.knowledge import Knowledge
from faultnet.review.compare.changes import Renames

T = TypeVar("T")


class Fitted(msgspec.Struct, frozen=True):
    """Evidence that fits a version, and the names of what it does not know."""

    evidence: Evidence
    left_out: tuple[str, ...]


class Dictionary:
    """From the ids of one version to those of another."""

    def __init__(self, renames: Renames, knowledge: Knowledge) -> None:
        """``renames`` lead from the ids of ``knowledge`` to those of the other version."""
        self.of: dict[str, str] = {name: to for (_, name), to in renames.items()}
        for finding in knowledge.findings.values():
            cause = finding.found_cause
            if cause in self.of:
                self.of[finding.id] = finding.id.replace(cause, self.of[cause])

    def __call__(self, name: str) -> str:
        """Return the id in the other version."""
        return self.of.get(name, name)


def fitted(subject: Subject, evidence: Evidence, words: Dictionary) -> Fitted:
    """Return evidence as the system of another version can take it."""
    return _Fitting(subject, words).evidence(evidence)


class _Fitting:
    """Puts evidence into the words of one system, and notes what has none."""

    def __init__(self, subject: Subject, words: Dictionary) -> None:
        self.subject = subject
        self.words = words
        self.left_out: list[str] = []

    def evidence(self, evidence: Evidence) -> Fitted:
        rounds = tuple(map(self._round, evidence.rounds))
        knowledge, system = self.subject.knowledge, self.subject.system
        layout = {
            name: value
            for name, value in self._known(evidence.layout).items()
            if self._is_there(f"{name}={value}", value in system.layout.get(name, {}))
        }
        circumstances = {
            name: so
            for name, so in self._known(evidence.circumstances).items()
            if self._is_there(name, name in system.circumstances)
        }
        set_ups = self._names(evidence.set_ups, knowledge.set_ups)
        made_safe = self._names(evidence.made_safe, self.subject.findings)
        whole = Evidence(rounds, layout, circumstances, set_ups, made_safe)
        return Fitted(whole, tuple(dict.fromkeys(self.left_out)))

    def _round(self, round_: Round) -> Round:
        return Round(
            tuple(a for answer in round_.answers if (a := self._answer(answer))),
            tuple(t for taken in round_.taken if (t := self._taken(taken))),
            self._names(round_.repairs, self.subject.knowledge.repairs),
            self._names(round_.redraws, self.subject.findings),
            self._names(round_.spoiled, self.subject.findings),
        )

    def _answer(self, answer: Answer) -> Answer | None:
        name = self.words(answer.finding)
        told = f"{name}={answer.answer}"
        if not self._is_there(told, name in self.subject.findings):
            return None
        try:
            levels_of(self.subject.knowledge.findings[name], answer.answer)
        except UnknownNameError:
            self._is_there(told, known=False)
            return None
        return msgspec.structs.replace(answer, finding=name)

    def _taken(self, taken: Taken) -> Taken | None:
        name = self.words(taken.reading)
        known = name in self.subject.knowledge.readings and self.subject.readable(name, taken.parts)
        return Taken(name, taken.parts) if self._is_there(name, known) else None

    def _known(self, held: Mapping[str, T]) -> dict[str, T]:
        return {self.words(name): value for name, value in held.items()}

    def _names(self, names: tuple[str, ...], known: Mapping[str, object]) -> tuple[str, ...]:
        mapped = map(self.words, names)
        return tuple(name for name in mapped if self._is_there(name, name in known))

    def _is_there(self, told: str, known: bool) -> bool:
        if not known:
            self.left_out.append(told)
        return known
