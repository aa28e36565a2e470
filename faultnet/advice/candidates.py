"""Which checks could be done next, and what each could answer."""

from collections.abc import Callable
from itertools import product

import msgspec

from faultnet.advice.observe import counted, said
from faultnet.advice.subject import Subject
from faultnet.inference.downsets import ALWAYS, Expander, Terms, plus, scaled
from faultnet.model.check import PEOPLE, Check
from faultnet.model.evidence import Answer, Evidence

SPEAKER = {"caller": "caller"}
"""Who speaks for the answers of a check; everybody but a caller speaks as technician."""


class Candidate(msgspec.Struct, frozen=True):
    """A check with those of its findings, circumstances and layouts still open."""

    check: Check
    findings: tuple[str, ...]
    roots: tuple[str, ...]

    @property
    def speaker(self) -> str:
        """Who gives the answers."""
        return SPEAKER.get(self.check.work.who, "technician")

    def answers(self, subject: Subject) -> list[dict[str, str]]:
        """Every joint answer, in the order of what is revealed."""
        choices = [
            [(f, a) for a in subject.knowledge.findings[f].all_answers] for f in self.findings
        ]
        choices += [
            [(r, s) for s in subject.network.roots[subject.roots[r]].states] for r in self.roots
        ]
        return [dict(picks) for picks in product(*choices)]

    def terms(self, subject: Subject, expander: Expander, answers: dict[str, str]) -> Terms:
        """Terms of a joint answer being given, each finding's word weighed."""
        parts = []
        for about, answer in answers.items():
            if about in subject.roots:
                index = subject.roots[about]
                states = subject.network.roots[index].states
                parts.append(expander.root(index, states.index(answer)))
                continue
            index = subject.findings[about]
            total: Terms = {}
            for level, chance in enumerate(said(subject, Answer(about, answer, self.speaker))):
                if chance:
                    total = plus(total, scaled(expander.answer(index, level), chance))
            parts.append(total)
        return expander.joint(parts) if parts else ALWAYS


def candidates(
    subject: Subject, evidence: Evidence, who: str, likely: Callable[[str, tuple[str, ...]], float]
) -> list[Candidate]:
    """Return the checks that ``who`` may do or have done, and that still tell something.

    A caller does a caller's checks only; others also have people called. A check that
    exists only under some layout is left out while that layout is the less likely
    case; ``likely`` gives the chance that a layout has one of some values.
    """
    done = {a.finding for a in counted(evidence.now) if a.speaker != "caller"}
    if who == "caller":
        done |= {a.finding for a in evidence.now.answers}
    done |= {f for t in evidence.now.taken for f in subject.knowledge.readings[t.reading].findings}
    done |= set(evidence.now.spoiled)
    known = {*evidence.layout, *evidence.circumstances}
    parts = set(subject.system.parts)
    found = []
    for check in subject.knowledge.checks.values():
        if check.part not in parts or not _may(who, check.work.who):
            continue
        if any(likely(layout, v) < 0.5 for layout, v in check.only_when.items()):
            continue
        findings = tuple(f for f in check.reveals if f in subject.findings and f not in done)
        roots = tuple(r for r in check.reveals if _open_root(subject, r, known))
        if findings or roots:
            found.append(Candidate(check, findings, roots))
    return found


def _may(who: str, needed: str) -> bool:
    if who == "caller":
        return needed == "caller"
    return needed in PEOPLE


def _open_root(subject: Subject, about: str, known: set[str]) -> bool:
    if about not in subject.roots or about in known:
        return False
    return len(subject.network.roots[subject.roots[about]].states) > 1
