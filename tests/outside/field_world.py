"""The site of a field case: what every check on it would show.

What the account tells is shown as it tells it. All else is what is most probable by the
knowledge once the causes found then are known to be there: layout and circumstances first,
one after the other, then each finding by itself. So a replay on it measures how the next step
is chosen, and not whether the knowledge is right.
"""

from dataclasses import dataclass

from faultnet.advice.observe import levels_of
from faultnet.advice.subject import Subject
from faultnet.inference.lattice import Lattice
from faultnet.visit.progress import wrong
from tests.outside.field_cases import FieldCase


@dataclass(frozen=True)
class World:
    """A site with its faults; ``answers`` holds every finding, circumstance and layout."""

    subject: Subject
    case: FieldCase
    answers: dict[str, str]

    @property
    def layout(self) -> dict[str, str]:
        """The layout, as the record of a site that was visited before would have it."""
        return {layout: self.answers[layout] for layout in self.subject.system.layout}

    @property
    def mending(self) -> set[str]:
        """The repairs that mend a true cause."""
        return {self.subject.knowledge.causes[cause].repair for cause in self.case.cause}

    def found_by(self, check: str) -> str:
        """Return the true cause that a check finds, or nothing."""
        knowledge = self.subject.knowledge
        for finding in knowledge.checks[check].reveals:
            if finding in self.subject.findings:
                entry = knowledge.findings[finding]
                if entry.found_cause in self.case.cause and wrong(entry, self.answers[finding]):
                    return entry.found_cause
        return ""


def world_of(subject: Subject, case: FieldCase) -> World:
    """Return the site of a case."""
    engine = Lattice(subject.network)
    evidence = {cause: {"present": 1.0} for cause in case.cause}
    evidence |= {about: _meant(subject, about, a) for about, a in case.given.items()}
    evidence |= {layout: {value: 1.0} for layout, value in case.layout.items()}
    told = {**case.given, **case.layout}
    answers = dict(told)
    for root in subject.roots:
        if root not in told:
            answers[root] = _likeliest(engine.beliefs(evidence, [root])[root])
            evidence[root] = {answers[root]: 1.0}
    open_ = [finding for finding in subject.findings if finding not in told]
    shown = engine.beliefs(evidence, open_)
    answers |= {finding: _likeliest(shown[finding]) for finding in open_}
    return World(subject, case, answers)


def _likeliest(chances: dict[str, float]) -> str:
    return max(chances, key=chances.__getitem__)


def _meant(subject: Subject, about: str, answer: str) -> dict[str, float]:
    """The states that an answer stands for."""
    if about in subject.roots:
        return {answer: 1.0}
    finding = subject.knowledge.findings[about]
    return {finding.all_answers[level]: 1.0 for level in levels_of(finding, answer)}
