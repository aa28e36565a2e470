"""A site that is worked on: what is said of it, what a repair does, whether the trouble is over."""

from collections import Counter
from collections.abc import Collection
from typing import Protocol

from faultnet.advice.observe import said
from faultnet.advice.subject import Subject
from faultnet.learning.trials.dice import Dice
from faultnet.model.evidence import Answer
from faultnet.model.finding import CANNOT
from faultnet.network.network import Network
from faultnet.network.world import LEAK, World, brought_in, makers, shown, thrown_anew


class Site(Protocol):
    """A place with its trouble, as it answers whoever works there."""

    def answer(self, finding: str, speaker: str) -> str:
        """Return what a speaker says of a finding; raise ``KeyError`` where nobody knows it."""
        ...

    def state(self, root: str) -> str:
        """Return a fact of the layout, or whether a circumstance holds (``yes``, ``no``)."""
        ...

    def mend(self, repair: str) -> tuple[str, ...]:
        """Do a repair; return the causes that it mended."""
        ...

    def lasts(self) -> tuple[str, ...]:
        """Return the complaints that are not over."""
        ...

    def shows(self, complaint: str) -> bool:
        """Return whether a complaint is seen at the proof; what lasts is."""
        ...

    def at_fault(self) -> tuple[str, ...]:
        """Return the causes that are there and make the complaints."""
        ...


class DrawnSite:
    """An imagined site. What one speaker says of a finding in a round is thrown once."""

    def __init__(
        self, truth: Subject, world: World, complaints: Collection[str], dice: Dice
    ) -> None:
        self.truth, self.world, self.dice = truth, world, dice
        self.complaints = tuple(complaints)
        self.round = 0
        self.mended: set[int] = set()
        self._times: Counter[str] = Counter()
        self._first = {c: self._makers(c) for c in self.complaints}
        self._shown = shown(truth.network, world)

    def answer(self, finding: str, speaker: str) -> str:
        """Return what a speaker says, by how far the speaker can be trusted."""
        value = self._shown[self.truth.findings[finding]]
        answers = self.truth.knowledge.findings[finding].all_answers
        if value < 0:
            return CANNOT
        chances = [said(self.truth, Answer(finding, each, speaker))[value] for each in answers]
        return answers[self.dice.pick(chances, "said", finding, speaker, self.round, value)]

    def state(self, root: str) -> str:
        """Return what is so."""
        index = self.truth.roots[root]
        return self._network.roots[index].states[self.world.roots[index]]

    def mend(self, repair: str) -> tuple[str, ...]:
        """Do a repair, and go on to the next round."""
        entry = self.truth.knowledge.repairs[repair]
        here = self.world.present - self.mended
        mended = []
        self._times[repair] += 1
        for cause in self.truth.mended_by.get(repair, ()):
            name = self._network.causes[cause].id
            if cause in here and self._happens(
                entry.succeeds.value, "mends", name, self._times[repair]
            ):
                self.mended.add(cause)
                mended.append(name)
        self.round += 1
        self.world = thrown_anew(self._network, self.world, self.dice.generator("anew", self.round))
        for name, chance in entry.brings.items():
            if name in self.truth.causes and self._happens(
                chance.value, "brings", repair, name, self._times[repair]
            ):
                self._bring_in(self.truth.causes[name])
        self._shown = shown(self._network, self.world, self.mended)
        return tuple(mended)

    def lasts(self) -> tuple[str, ...]:
        """Return the complaints that something still makes, or may make again."""
        return tuple(c for c in self.complaints if self._left(c))

    def at_fault(self) -> tuple[str, ...]:
        """Return the causes there that make the complaints."""
        left = {cause for c in self.complaints for cause in self._left(c)}
        return tuple(self._network.causes[cause].id for cause in sorted(left))

    def shows(self, complaint: str) -> bool:
        """Return whether a complaint is seen at the proof, made by a cause or by none."""
        return bool(self._left(complaint)) or self._shown[self.truth.findings[complaint]] > 0

    @property
    def _network(self) -> Network:
        return self.truth.network

    def _left(self, complaint: str) -> set[int]:
        """The causes that still make a complaint. A fitful one is not over because it stays away.

        What shows with no cause at all is no trouble that anybody is sent for.
        """
        return ((self._first[complaint] - self.mended) | self._makers(complaint)) - {LEAK}

    def _makers(self, complaint: str) -> set[int]:
        index = self.truth.findings[complaint]
        return makers(self._network, self.world, index, self.mended)

    def _bring_in(self, cause: int) -> None:
        """Bring in a cause; one that was there before shows what it showed then."""
        if cause in self.world.present:
            self.mended.discard(cause)
        else:
            rng = self.dice.generator("brought in", self.round, cause)
            self.world = brought_in(self._network, self.world, cause, rng)

    def _happens(self, chance: float, *about: str | int) -> bool:
        return self.dice.at(*about) < chance
