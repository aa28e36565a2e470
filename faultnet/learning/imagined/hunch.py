"""What a plain head makes of what was seen: one fault at a time, each answer by itself.

It serves to choose checks in thousands of imagined cases a minute. It sees what was said and
nothing else, so that what is not asked hangs on what was seen alone, and may be taken as
missing at random.
"""

from collections.abc import Collection, Mapping

import numpy as np
import numpy.typing as npt

from faultnet.advice.observe import said, trust
from faultnet.advice.subject import Subject
from faultnet.model.check import Check
from faultnet.model.evidence import Answer
from faultnet.model.finding import CANNOT
from faultnet.network.average import averaged
from faultnet.network.network import Network

Array = npt.NDArray[np.float64]

SPEAKERS = ("caller", "technician")
TRIED = 0.05
"""What is left of a belief once its repair was done and did not end the trouble. Judgement."""
LOOK_ROUND = 5.0
"""Minutes that every check takes on top, to get there and back. Judgement."""
LEAST = 1e-4
"""A check that tells less a minute is not worth doing. Judgement."""


class Hunch:
    """The beliefs of a plain head that knows the files."""

    def __init__(self, known: Subject) -> None:
        self.subject = known
        network = averaged(known.network, {k: r.prior for k, r in enumerate(known.network.roots)})
        self.common = np.log([max(c.probability, 1e-12) for c in network.causes])
        self.abnormal = _abnormal(network)
        self.squared = self.abnormal**2
        told = np.array([self._told(speaker).T for speaker in SPEAKERS])
        self.told = np.log(np.array([1.0 - told, told]))
        entries = [known.knowledge.findings[f] for f in known.findings]
        self.asked = np.array([bool(e.urgency and e.ask_caller) for e in entries])
        trusts = [trust(known, entry, "caller") for entry in entries]
        self.word = np.array([(hit - alarm) ** 2 for hit, alarm in trusts])
        self.checks, self.reveals, self.minutes = self._checks()
        self.repairs = tuple(known.mended_by)
        self.mends = np.zeros((len(self.repairs), len(self.common)))
        for row, causes in enumerate(known.mended_by.values()):
            self.mends[row, list(causes)] = 1.0

    def believed(self, answers: Mapping[tuple[int, str], bool], tried: Collection[str]) -> Array:
        """Return the chance of each cause; ``answers`` by finding and speaker, if abnormal."""
        weights = self.common.copy()
        if answers:
            at = [(int(wrong), SPEAKERS.index(by), f) for (f, by), wrong in answers.items()]
            weights += self.told[tuple(zip(*at, strict=True))].sum(axis=0)
        for repair in tried:
            weights += np.log(TRIED) * self.mends[self.repairs.index(repair)]
        chances: Array = np.exp(weights - weights.max())
        chances /= chances.sum()
        return chances

    def best_check(self, believed: Array, spoken: Collection[int]) -> Check | None:
        """Return the check that tells most a minute beyond what was ``spoken`` of; else none."""
        mean = believed @ self.abnormal
        tells = believed @ self.squared - mean * mean
        tells[list(spoken)] = 0.0
        worth = self.reveals @ tells / self.minutes
        best = int(worth.argmax())
        return self.checks[best] if worth[best] > LEAST else None

    def best_question(
        self, believed: Array, spoken: Collection[int], weights: Array | None = None
    ) -> str | None:
        """Return the complaint that it tells most to ask a caller about, or any, by ``weights``."""
        mean = believed @ self.abnormal
        tells = (believed @ self.squared - mean * mean) * self.word if weights is None else weights
        tells = np.where(self.asked, tells, 0.0)
        tells[list(spoken)] = 0.0
        best = int(tells.argmax())
        return self.subject.network.findings[best].id if tells[best] > 0.0 else None

    def best_repair(self, believed: Array, tried: Collection[str]) -> tuple[str, float]:
        """Return the repair that most likely mends it, and how likely; nothing where none."""
        chances = self.mends @ believed
        chances[[self.repairs.index(repair) for repair in tried]] = 0.0
        best = int(chances.argmax())
        return self.repairs[best], float(chances[best])

    def _told(self, speaker: str) -> Array:
        """P(told as abnormal | cause), by cause and finding."""
        told = np.empty_like(self.abnormal)
        for place, finding in enumerate(self.subject.network.findings):
            likelihood = said(self.subject, Answer(finding.id, "yes", speaker))
            hit, alarm = likelihood[1], likelihood[0]
            told[:, place] = alarm + (hit - alarm) * self.abnormal[:, place]
        return np.clip(told, 1e-4, 1.0 - 1e-4)

    def _checks(self) -> tuple[tuple[Check, ...], Array, Array]:
        """The checks that somebody who came can do, what they reveal, and their minutes."""
        parts, at = set(self.subject.system.parts), self.subject.findings
        checks = tuple(
            check
            for check in self.subject.knowledge.checks.values()
            if check.part in parts and check.work.who != "specialist"
        )
        reveals = np.zeros((len(checks), len(at)))
        for row, check in enumerate(checks):
            reveals[row, [at[f] for f in check.reveals if f in at]] = 1.0
        minutes = [c.work.minutes.value + c.work.waiting.value + LOOK_ROUND for c in checks]
        return checks, reveals, np.array(minutes)


def is_abnormal(subject: Subject, answer: Answer) -> bool:
    """Whether an answer says that something is wrong."""
    return answer.answer not in {subject.knowledge.findings[answer.finding].normal, CANNOT}


def _abnormal(network: Network) -> Array:
    """P(the finding is abnormal | this cause alone), by cause and finding."""
    causes, shown = len(network.causes), np.zeros((len(network.causes), len(network.findings)))
    for place, finding in enumerate(network.findings):
        quiet = np.full(causes, 1.0 - sum(finding.leak))
        for link in finding.links:
            quiet[link.source] *= 1.0 - sum(link.levels)
        for rule in finding.follows:
            quiet *= 1.0 - sum(rule.levels) * shown[:, rule.source]
        shown[:, place] = 1.0 - quiet
        for gate in (*finding.hidden_by, *finding.needs):
            shown[:, place] *= 1.0 - shown[:, gate]
    return shown
