"""Where a visit stands."""

import msgspec

from faultnet.cases.case import Case
from faultnet.model.evidence import Evidence, Round
from faultnet.model.finding import CANNOT, Finding


class Walk(msgspec.Struct, frozen=True):
    """A procedure that is being walked; an empty id is none.

    ``step`` counts from 0; ``timer`` is when its minutes began (UTC, as in an entry);
    ``read`` maps readings to the parts taken so far; ``stopped`` says that the stop
    condition of the step came true.
    """

    procedure: str = ""
    step: int = 0
    timer: str = ""
    read: dict[str, dict[str, float]] = {}
    stopped: bool = False


class Progress(msgspec.Struct, frozen=True):
    """The case, and what has been asked, put off and done in it, as one author sees it.

    ``complaints`` are findings told as wrong outside of any step: a repair has to end
    them. ``doing`` says that the step has been done and its questions are being asked.
    ``shown`` is the step that was offered last, ``met`` the dangers that have stopped the
    work in the open round, ``denied`` those that were said not to be there. ``picked``,
    ``step``, ``doing`` and ``walk`` are the author's own; all else is common to everybody at
    work on the case. ``sheet`` is the call sheet as far as it was told; ``walks`` are the
    procedures that were begun, and ``walk_open`` is the last of them until it was said what
    came of it.
    """

    case: Case = Case("")
    speaker: str = "technician"
    passed: frozenset[str] = frozenset()
    unknown: frozenset[str] = frozenset()
    picked: str = ""
    complaints: tuple[str, ...] = ()
    step: str = ""
    doing: bool = False
    walk: Walk = Walk()
    put_off: tuple[str, ...] = ()
    done: tuple[str, ...] = ()
    trying: bool = False
    works: bool | None = None
    proof: str = ""
    paused: bool = False
    ending: str = ""
    ended: str = ""
    shown: str = ""
    met: frozenset[str] = frozenset()
    denied: frozenset[str] = frozenset()
    sheet: dict[str, str] = {}
    walks: tuple[str, ...] = ()
    walk_open: str = ""

    @property
    def evidence(self) -> Evidence:
        """What is known by now."""
        return self.case.evidence

    @property
    def now(self) -> Round:
        """The open round."""
        return self.evidence.now

    @property
    def made(self) -> tuple[str, ...]:
        """Set-ups that are on, people called left out."""
        return tuple(s for s in self.evidence.set_ups if not s.startswith("called:"))

    @property
    def repair(self) -> str:
        """The repair that ended the last round, if any."""
        repairs = self.evidence.rounds[-2].repairs if len(self.evidence.rounds) > 1 else ()
        return repairs[-1] if repairs else ""

    def said(self, finding: str) -> str:
        """What this speaker said about a finding in the open round, or nothing."""
        for answer in reversed(self.now.answers):
            if answer.finding == finding and answer.speaker == self.speaker:
                return answer.answer
        return ""

    def settled(self, about: str) -> bool:
        """Whether something was answered, or asked in vain, in the open round."""
        known = {*self.evidence.layout, *self.evidence.circumstances, *self.unknown}
        return about in known or bool(self.said(about))


def wrong(finding: Finding, answer: str) -> bool:
    """Whether an answer says that something is wrong."""
    return answer not in {"", finding.normal, "no", CANNOT}
