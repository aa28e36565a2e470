"""One case or one simulated call put to both versions."""

import msgspec

from faultnet.advice.imagined import imagine
from faultnet.advice.pieces import pieces_of
from faultnet.advice.prove import missed
from faultnet.advice.ranking import Likeliest
from faultnet.advice.subject import Subject
from faultnet.advice.subjects import Subjects
from faultnet.model.evidence import Evidence
from faultnet.model.example import Example
from faultnet.model.knowledge import Knowledge
from faultnet.review.compare.answers import Answers, NextStep, answers_of, ranked, step_after
from faultnet.review.compare.changes import Renames
from faultnet.review.compare.difference import (
    Both,
    Difference,
    Loss,
    loss_of,
    moved_most,
    steps,
)
from faultnet.review.compare.renamed import Dictionary, Fitted, fitted

STEPS_FROM = 0.01
"""A probability moves at least so far before next steps are compared, where no price changed."""


class AskedCase(msgspec.Struct, frozen=True):
    """A case as it stands in either version."""

    old: Example | None
    new: Example | None


class AskedCall(msgspec.Struct, frozen=True):
    """A simulated call by its number, of a system by its new id, drawn from ``old`` or ``new``."""

    number: int
    system: str
    drawn_from: str


class _Reply(msgspec.Struct, frozen=True):
    """What one version says to evidence put in its own words, which are ``told`` in new ids."""

    subject: Subject
    fitted: Fitted
    ranking: Likeliest | str
    told: Dictionary

    @property
    def answers(self) -> Answers:
        """The causes and dangers, by their new ids."""
        return answers_of(self.ranking, self.told)

    def step(self) -> NextStep | None:
        """The next step, by its new id."""
        found = step_after(self.subject, self.fitted.evidence)
        return found and msgspec.structs.replace(found, id=self.told(found.id))

    def passes(self, example: Example | None) -> str:
        """Whether a case of this version passes; nothing where it has no such case."""
        if example is None:
            return ""
        ranking = self.ranking
        if example.evidence != self.fitted.evidence:
            ranking = ranked(self.subject, example.evidence)
        if isinstance(ranking, str):
            return "no"
        return "no" if missed(self.subject, example, ranking) else "yes"


class _Side(msgspec.Struct, frozen=True):
    """A version: its systems, the words of the other one in its own, its own as they are told."""

    subjects: Subjects
    own: Dictionary
    told: Dictionary

    def reply(self, system: str, evidence: Evidence, *, fit: bool) -> _Reply:
        """Return what is said to evidence; ``fit`` puts it into the words of this version."""
        subject = self.subjects[system]
        told = fitted(subject, evidence, self.own) if fit else Fitted(evidence, ())
        return _Reply(subject, told, ranked(subject, told.evidence), self.told)


class Comparer:
    """Puts cases and calls to two versions; it can be sent to a process of its own.

    With ``every_step`` next steps are compared everywhere, else where a probability moved.
    """

    def __init__(
        self, old: Knowledge, new: Knowledge, renames: Renames, seed: int, *, every_step: bool
    ) -> None:
        """Keep the versions; no system is made ready yet."""
        back = {(kind, to): name for (kind, name), to in renames.items()}
        forth = Dictionary(renames, old)
        self.old = _Side(Subjects(old), Dictionary(back, new), forth)
        self.new = _Side(Subjects(new), forth, Dictionary({}, new))
        self.seed = seed
        self.every_step = every_step

    def __call__(self, asked: AskedCase | AskedCall) -> Difference:
        """Return how far the answers differ."""
        return self._call(asked) if isinstance(asked, AskedCall) else self._case(asked)

    def _case(self, asked: AskedCase) -> Difference:
        if asked.old and asked.new and asked.old.evidence == asked.new.evidence:
            examples = (asked.old, asked.new)
            fit = (False, False)
        else:
            example = asked.new or asked.old
            assert example is not None
            examples = (example, example)
            fit = (asked.new is not None, asked.new is None)
        systems = self._systems(asked)
        replies = [
            side.reply(system, example.evidence, fit=fits)
            if system in side.subjects.knowledge.systems
            else None
            for side, system, example, fits in zip(
                (self.old, self.new), systems, examples, fit, strict=True
            )
        ]
        old, new = replies
        name = examples[1].id
        passed = Both(
            old.passes(asked.old) if old else "",
            new.passes(asked.new) if new else "",
        )
        if old is None or new is None:
            same = Both("", "")
            return Difference("case", name, systems[1], same, same, same, passed=passed)
        found = self._difference("case", name, old, new)
        return msgspec.structs.replace(found, passed=passed)

    def _systems(self, asked: AskedCase) -> tuple[str, str]:
        """The system of a case in the ids of either version."""
        if asked.new is not None:
            return self.old.own(asked.new.system), asked.new.system
        assert asked.old is not None
        return asked.old.system, self.new.own(asked.old.system)

    def _call(self, asked: AskedCall) -> Difference:
        systems = self.old.own(asked.system), asked.system
        drawn_old = asked.drawn_from == "old"
        home, system = (self.old, systems[0]) if drawn_old else (self.new, systems[1])
        call = imagine(home.subjects[system], self.seed, asked.number)
        old = self.old.reply(systems[0], call.evidence, fit=not drawn_old)
        new = self.new.reply(systems[1], call.evidence, fit=drawn_old)
        found = self._difference("call", str(asked.number), old, new)
        truth = {home.told(cause) for cause in call.causes}
        loss = _loss(asked.drawn_from, truth, old.answers, new.answers)
        said = tuple(f"{p.about}={p.answer}" for p in pieces_of(call.evidence))
        return msgspec.structs.replace(found, loss=loss, truth=tuple(sorted(truth)), said=said)

    def _difference(self, kind: str, name: str, old: _Reply, new: _Reply) -> Difference:
        before, now = old.answers, new.answers
        moved = moved_most(before, now)
        stepping = self.every_step or moved.by >= STEPS_FROM
        return Difference(
            kind,
            name,
            new.subject.system.id,
            Both(before.first, now.first),
            Both(", ".join(before.dangers), ", ".join(now.dangers)),
            Both(before.refused, now.refused),
            moved,
            steps(old.step(), new.step()) if stepping else None,
            left_out=(*old.fitted.left_out, *new.fitted.left_out),
        )


def _loss(drawn_from: str, truth: set[str], old: Answers, new: Answers) -> Loss | None:
    """What the truth cost; None where a version gives no answer or lacks a true cause."""
    known = old.causes.keys() & new.causes.keys()
    if not truth <= known:
        return None
    return Loss(drawn_from, loss_of(truth, old, known), loss_of(truth, new, known))
