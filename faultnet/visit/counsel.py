"""The arithmetic behind a visit, done once for each state of the evidence."""

from collections.abc import Callable
from typing import TypeVar

import msgspec
import numpy as np
import numpy.typing as npt

from faultnet.advice.grounds import grounds
from faultnet.advice.ranking import Ranking, rank
from faultnet.advice.recent import Recent
from faultnet.advice.screen import Screen
from faultnet.advice.step import Advice
from faultnet.advice.steps import next_steps
from faultnet.advice.subject import Subject
from faultnet.model.evidence import Evidence
from faultnet.network.build import UNLISTED
from faultnet.visit.trouble import ConflictError

T = TypeVar("T")
_KEPT = 32


class Counsel:
    """Ranking, next steps and the worth of findings, for whoever is at the pump.

    ``seconds`` may be spent on each step to look further ahead. What was asked for last is
    kept, so much of it; threads may share it. ``most`` are the cells that one ranking may pass
    through; without it, the engine's own limit stands alone.

    Every call raises ``ConflictError`` for answers that cannot all be true and
    ``TooLargeError``.
    """

    def __init__(
        self,
        subject: Subject,
        who: str,
        seconds: float = 0.0,
        kept: int = _KEPT,
        most: int | None = None,
    ) -> None:
        self.subject = subject
        self.who = who
        self.seconds = seconds
        self.most = most
        self._recent = Recent(kept)

    def ranking(self, evidence: Evidence) -> Ranking:
        """Return the ranked causes."""
        ranking = self.once("ranking", evidence, lambda: self._ranked(evidence))
        if ranking.conflict:
            raise ConflictError(ranking.conflict)
        return ranking

    def advice(self, evidence: Evidence, without: frozenset[str] = frozenset()) -> Advice:
        """Return the priced next steps without some checks."""
        what = " ".join(("advice", *sorted(without)))
        advice = self.once(
            what,
            evidence,
            lambda: self._steps(evidence, without),
        )
        if advice.conflict:
            raise ConflictError(advice.conflict)
        return advice

    def tells(self, evidence: Evidence) -> dict[str, float]:
        """How far each finding, if asked, is expected to move the causes; a quick measure.

        It is the sum over causes of P(cause) times the distance between P(wrong | cause)
        and P(wrong), the causes taken as independent.
        """
        return self.once("tells", evidence, lambda: self._tells(evidence))

    def _ranked(self, evidence: Evidence) -> Ranking:
        self.refuse(evidence)
        return rank(self.subject, evidence)

    def _steps(self, evidence: Evidence, without: frozenset[str]) -> Advice:
        self.refuse(evidence)
        return next_steps(self.subject, evidence, self.who, leave_out=without, seconds=self.seconds)

    def refuse(self, evidence: Evidence) -> None:
        """Raise ``TooLargeError`` where a ranking passes through more cells than it may."""
        if self.most is not None:
            grounds(self.subject, evidence).refuse_beyond(self.most)

    def _tells(self, evidence: Evidence) -> dict[str, float]:
        ranking = self.ranking(evidence)
        chances = {UNLISTED: ranking.unlisted, **{c.id: c.probability for c in ranking.causes}}
        vector = np.array([chances[c.id] for c in self.subject.network.causes])
        shown = Screen(self.subject, vector, prices={}, specialist=0.0).shown
        return {
            finding: _moved(vector, shown[index], sum(self.subject.network.findings[index].leak))
            for finding, index in self.subject.findings.items()
        }

    def once(self, what: str, evidence: Evidence, make: Callable[[], T]) -> T:
        """Return what was made of evidence, made once; ``what`` names it."""
        return self._recent.once((what, msgspec.msgpack.encode(evidence)), make)


def _moved(chances: npt.NDArray[np.float64], shown: npt.NDArray[np.float64], leak: float) -> float:
    quiet = 1.0 - shown * chances
    normal = (1.0 - leak) * float(np.prod(quiet))
    normal_with = (1.0 - shown) * normal / np.maximum(quiet, 1e-12)
    return float((chances * np.abs(normal_with - normal)).sum())
