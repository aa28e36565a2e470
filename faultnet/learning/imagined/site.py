"""An imagined site while somebody works there."""

import numpy as np

from faultnet.advice.observe import said
from faultnet.advice.subject import Subject
from faultnet.model.evidence import Answer
from faultnet.model.finding import CANNOT
from faultnet.network.world import World, shown, thrown_anew


class Site:
    """What a site answers, and what repairs do to it."""

    def __init__(self, truth: Subject, world: World, rng: np.random.Generator) -> None:
        self.truth, self.world, self.rng = truth, world, rng
        self.mended: set[int] = set()
        self._shown = shown(truth.network, world)

    @property
    def left(self) -> list[str]:
        """The causes that are still there, by name."""
        causes = self.truth.network.causes
        return [causes[c].id for c in sorted(self.world.present - self.mended)]

    def state(self, root: str) -> str:
        """Return what is so of the layout, or of what happened just before (yes, no)."""
        index = self.truth.roots[root]
        return self.truth.network.roots[index].states[self.world.roots[index]]

    def answer(self, finding: str, speaker: str) -> Answer:
        """Return what a speaker says of a finding."""
        value = self._shown[self.truth.findings[finding]]
        if value < 0:
            return Answer(finding, CANNOT, speaker)
        answers, chances = _sayings(self.truth, finding, speaker)
        pick = self.rng.random()
        for answer, chance in zip(answers, chances[value], strict=True):
            if pick < chance:
                return answer
            pick -= chance
        return answers[0]

    def mend(self, repair: str) -> list[str]:
        """Do a repair, which mends its causes as often as the files say; return these."""
        succeeds = self.truth.knowledge.repairs[repair].succeeds.value
        there = self.world.present - self.mended
        mended = [
            cause
            for cause in self.truth.mended_by.get(repair, ())
            if cause in there and self.rng.random() < succeeds
        ]
        self.mended.update(mended)
        self.world = thrown_anew(self.truth.network, self.world, self.rng)
        self._shown = shown(self.truth.network, self.world, self.mended)
        return [self.truth.network.causes[cause].id for cause in mended]


def _sayings(
    truth: Subject, finding: str, speaker: str
) -> tuple[tuple[Answer, ...], tuple[tuple[float, ...], ...]]:
    """What a speaker may say of a finding, with the chances of each by what is so."""
    kept = truth.__dict__.setdefault("sayings", {})
    if (finding, speaker) not in kept:
        entry = truth.knowledge.findings[finding]
        answers = tuple(Answer(finding, answer, speaker) for answer in entry.answers)
        chances = np.array([said(truth, answer) for answer in answers])[:, : len(answers)]
        kept[finding, speaker] = answers, tuple(map(tuple, (chances / chances.sum(0)).T.tolist()))
    found: tuple[tuple[Answer, ...], tuple[tuple[float, ...], ...]] = kept[finding, speaker]
    return found
