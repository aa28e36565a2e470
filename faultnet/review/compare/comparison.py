"""Two versions compared: what is asked of both, and what came of it, worst first."""

from collections.abc import Iterable, Iterator, Sequence

import msgspec

from faultnet.authoring.examples import read_examples
from faultnet.authoring.problem import Problem
from faultnet.authoring.store import load
from faultnet.model.example import Example
from faultnet.model.knowledge import Knowledge
from faultnet.model.renamed import names_now
from faultnet.review.compare.changes import Change, Renames, changes
from faultnet.review.compare.comparer import AskedCall, AskedCase, Comparer
from faultnet.review.compare.difference import Difference
from faultnet.review.compare.entries import entries_of
from faultnet.review.compare.version import Version
from faultnet.sharing.workers import answered

CALLS = 200
"""Simulated calls, where nothing else is asked for."""


class Side(msgspec.Struct, frozen=True):
    """A version with its knowledge and its sound cases; ``problems`` are those of the others."""

    name: str
    knowledge: Knowledge
    examples: dict[str, Example]
    problems: tuple[Problem, ...]


class Tally(msgspec.Struct, frozen=True):
    """Cases or calls: how many there are, and what of them is not the same."""

    asked: int
    differ: int
    first_changed: int
    dangers_changed: int
    step_changed: int
    steps_asked: int
    largest_move: float


class Losses(msgspec.Struct, frozen=True):
    """The mean log-loss of what was at fault, over the calls drawn from one version."""

    drawn_from: str
    calls: int
    old: float
    new: float


class Comparison(msgspec.Struct, frozen=True):
    """What differs between two versions: in the files, and in the answers, worst first."""

    old: str
    new: str
    seed: int
    changes: tuple[Change, ...]
    answers_asked: bool
    cases: Tally
    calls: Tally
    losses: tuple[Losses, ...]
    now_fail: tuple[str, ...]
    now_pass: tuple[str, ...]
    differences: tuple[Difference, ...]


def side(version: Version) -> Side:
    """Read a version; raise ``KnowledgeError``."""
    knowledge = load(version.folder)
    examples, problems = read_examples(version.folder, knowledge)
    return Side(version.name, knowledge, {e.id: e for e in examples}, problems)


class Comparing:
    """Two versions, with what is to be asked of both."""

    def __init__(self, old: Side, new: Side, calls: int = CALLS, seed: int = 1) -> None:
        """Find out what differs in the files; nothing is asked yet."""
        self.old, self.new, self.seed = old, new, seed
        self.changes, self.renames = _changed(old, new)
        self.answers_asked = any(change.bears_on_answers for change in self.changes)
        self.asked: list[AskedCase | AskedCall] = [*self._cases()]
        if self.answers_asked:
            self.asked += self._calls(calls)

    def differences(self, workers: int) -> Iterator[Difference]:
        """Yield what comes of each that is asked, in order."""
        return answered(self.comparer, self.asked, workers)

    @property
    def comparer(self) -> Comparer:
        """What puts one that is asked to both versions."""
        every_step = any(change.bears_on_steps for change in self.changes)
        return Comparer(
            self.old.knowledge,
            self.new.knowledge,
            self.renames,
            self.seed,
            every_step=every_step,
        )

    def comparison(self, differences: Sequence[Difference]) -> Comparison:
        """Return everything that was found."""
        ordered = sorted(differences, key=lambda d: d.weight, reverse=True)
        calls = [d for d in differences if d.kind == "call"]
        return Comparison(
            self.old.name,
            self.new.name,
            self.seed,
            self.changes,
            self.answers_asked,
            _tally([d for d in differences if d.kind == "case"]),
            _tally(calls),
            tuple(_losses(calls)),
            tuple(d.id for d in differences if d.now_fails),
            tuple(d.id for d in differences if d.now_passes),
            tuple(d for d in ordered if d.differs),
        )

    def _cases(self) -> Iterator[AskedCase]:
        """All cases; where answers cannot differ, those alone that were written otherwise."""
        changed = {c.id: c for c in self.changes if c.kind == "case"}
        was = {c.was for c in changed.values()}
        for name, example in self.new.examples.items():
            if self.answers_asked or name in changed:
                old_name = (changed[name].was if name in changed else "") or name
                yield AskedCase(self.old.examples.get(old_name), example)
        for name, example in self.old.examples.items():
            if name not in self.new.examples and name not in was:
                yield AskedCase(example, None)

    def _calls(self, count: int) -> Iterator[AskedCall]:
        """Calls in turn of every system that both versions have, drawn from either in turn."""
        ids = {name: to for (kind, name), to in self.renames.items() if kind == "system"}
        before = {ids.get(name, name) for name in self.old.knowledge.systems}
        systems = [name for name in self.new.knowledge.systems if name in before]
        for number in range(count if systems else 0):
            turn, place = divmod(number, len(systems))
            yield AskedCall(number, systems[place], ("old", "new")[turn % 2])


def _changed(old: Side, new: Side) -> tuple[tuple[Change, ...], Renames]:
    return changes(
        entries_of(old.knowledge, old.examples.values()),
        entries_of(new.knowledge, new.examples.values()),
        names_now(new.knowledge.renamed),
    )


def _tally(differences: Sequence[Difference]) -> Tally:
    return Tally(
        len(differences),
        sum(d.differs for d in differences),
        sum(d.first.differs for d in differences),
        sum(d.dangers.differs for d in differences),
        sum(d.step_changed for d in differences),
        sum(d.step is not None for d in differences),
        max((d.moved.by for d in differences), default=0.0),
    )


def _losses(calls: Iterable[Difference]) -> Iterator[Losses]:
    for drawn_from in ("old", "new"):
        found = [d.loss for d in calls if d.loss and d.loss.drawn_from == drawn_from]
        if found:
            count = len(found)
            old, new = sum(x.old for x in found) / count, sum(x.new for x in found) / count
            yield Losses(drawn_from, count, old, new)
