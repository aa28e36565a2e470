"""Where a visit stands."""

import msgspec

from faultnet.cases.case import Case
from faultnet.cases.events import Suspected, Tried
from faultnet.model.evidence import Evidence, Round
from faultnet.model.finding import CANNOT, Finding


class Walk(msgspec.Struct, frozen=True):
    """A procedure that is being walked; an empty id is none.

    ``step`` counts from 0; ``timer`` is when its minutes began (UTC, as in an entry);
    ``read`` maps readings to the parts taken so far; ``stopped`` says that the stop
    condition of the step came true. ``tries`` counts how often each step was come to.
    """

    procedure: str = ""
    step: int = 0
    timer: str = ""
    read: dict[str, dict[str, float]] = {}
    stopped: bool = False
    tries: dict[int, int] = {}


class Progress(msgspec.Struct, frozen=True):
    """The case, and what has been asked, put off and done in it, as one author sees it.

    ``complaints`` are findings told as wrong outside of any step: a repair has to end
    them. ``doing`` says that the step has been done and its questions are being asked.
    ``shown`` is the step that was offered last, ``met`` the dangers that have stopped the
    work in the open round, ``denied`` those that were said not to be there. ``instead_of`` is
    the smaller repair that the step is done instead of. ``tried`` is what was tried before
    anybody came, ``found_as`` the looks on arrival that are over. ``refused`` steps stay put
    off after a repair; ``agreed`` are those that the customer agreed to. With ``own_view`` a
    ``suspect`` is named in each round before any ranking is shown. ``confirmed`` are rounds of
    which it was asked what had been wrong. ``call_sheet`` is what was told on the phone, by
    field; ``walks`` are the procedures that were begun, ``walk_open`` the last of them until it
    was said what came of it. ``picked``, ``step``, ``doing`` and ``walk`` are the author's own;
    all else is common to everybody at work on the case.
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
    call_sheet: dict[str, str] = {}
    walks: tuple[str, ...] = ()
    walk_open: str = ""
    instead_of: str = ""
    tried: tuple[Tried, ...] = ()
    found_as: frozenset[str] = frozenset()
    refused: tuple[str, ...] = ()
    agreed: frozenset[str] = frozenset()
    own_view: bool = False
    suspect: Suspected | None = None
    confirmed: frozenset[int] = frozenset()

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
