"""What a caller can put right: when it is offered, what is asked first, what came of it.

A restart is offered once in a call, and only with every danger denied.
"""

from msgspec.structs import replace

from faultnet.advice.load import FirstVisit
from faultnet.advice.outfit import Outfitting
from faultnet.advice.site import Prices
from faultnet.cases.events import Passed, ProcedureBegun, RepairDone, StepSkipped
from faultnet.desk.danger import ENOUGH, denied, denied_one
from faultnet.desk.desk import Desk
from faultnet.desk.money import trip_minutes
from faultnet.desk.need import at_the_pump
from faultnet.model.evidence import Evidence
from faultnet.model.procedure import ByPhone, Procedure
from faultnet.visit.progress import Progress
from faultnet.visit.question import question
from faultnet.visit.turn import ENTER, Line, Reply, Turn, lines

CALLER = "caller"

LIKELY = 0.2
"""A repair that ends the trouble this likely is tried before more is asked; judgement."""


def likely(desk: Desk, at: Progress) -> Turn | None:
    """Return the offer of what is likely to end the trouble, or what is asked before it."""
    return _next(desk, at, LIKELY)


def offered(desk: Desk, at: Progress) -> Turn | None:
    """Return the offer of anything that is worth a try, or what is asked before it."""
    return _next(desk, at, 0.0)


def came_of_it(desk: Desk, at: Progress) -> Turn | None:
    """Return the question what came of a procedure that is over."""
    repair = _repair_of(desk, at.walk_open)
    if not repair or at.walk.procedure:
        return None
    done = Reply("y", "yes: ask how it stands now", RepairDone(repair))
    undone = Reply("n", "no, it did not come to that", StepSkipped(repair))
    title = f"Was it done? {desk.subject.knowledge.repairs[repair].title}"
    return Turn("tried", "After the try", title, (), (done, undone))


def untried(desk: Desk, at: Progress) -> frozenset[str]:
    """Return the repairs that a caller can still make in this call."""
    known = desk.subject.knowledge.repairs
    done = {r for round_ in at.evidence.rounds for r in round_.repairs} | set(at.put_off)
    mine = [r for r in desk.subject.mended_by if known[r].work.who == CALLER and r not in done]
    return frozenset(r for r in mine if _allowed(desk, at, _procedure_of(desk, r)))


def chance(desk: Desk, at: Progress) -> float:
    """Return the chance that all that is left to do by phone ends the trouble.

    Raises ``ImpossibleEvidenceError`` and ``TooLargeError``.
    """
    left = untried(desk, at)
    return FirstVisit(Outfitting(desk.subject, at.evidence)).ends([left])[0] if left else 0.0


def chances(desk: Desk, evidence: Evidence) -> dict[str, float]:
    """Return the chance that each repair by a caller alone ends the trouble.

    Raises ``ConflictError`` and ``TooLargeError``.
    """

    def reckoned() -> dict[str, float]:
        known = desk.subject.knowledge.repairs
        mine = [r for r in desk.subject.mended_by if known[r].work.who == CALLER]
        visit = FirstVisit(Outfitting(desk.subject, evidence))
        return dict(zip(mine, visit.ends([frozenset((r,)) for r in mine]), strict=True))

    return desk.counsel.once("by phone", evidence, reckoned)


def _next(desk: Desk, at: Progress, least: float) -> Turn | None:
    if ENOUGH in at.passed:
        return None
    for procedure in (*_called_for(desk, at), *_paying(desk, at, least)):
        left = [f for f in _rules(procedure).first if not _given(desk, at, procedure, f)]
        if not left:
            return _offer(desk, at, procedure)
        turn = question(desk, at, left[0], f"Before “{procedure.title}”")
        enough = Reply("s", "not now", StepSkipped(_repair_of(desk, procedure.id) or procedure.id))
        return replace(turn, replies=(*turn.replies, enough))
    return None


def _called_for(desk: Desk, at: Progress) -> list[Procedure]:
    """The procedures that answers call for."""
    return [
        each
        for each in desk.subject.knowledge.procedures.values()
        if _rules(each).when and all(at.said(f) == a for f, a in _rules(each).when.items())
        if each.id not in (*at.walks, *at.put_off) and _allowed(desk, at, each)
    ]


def _paying(desk: Desk, at: Progress, least: float) -> list[Procedure]:
    """The procedures of repairs that are worth their minutes, the likeliest to help first."""
    if not at_the_pump(at):
        return []
    ends = chances(desk, at.evidence)
    left = sorted(untried(desk, at), key=lambda repair: (-ends[repair], repair))
    found = [_procedure_of(desk, r) for r in left if ends[r] >= least and _pays(desk, r, ends[r])]
    return [procedure for procedure in found if procedure is not None]


def _pays(desk: Desk, repair: str, ends: float) -> bool:
    """Whether a try is worth its minutes: it may save the trip and its first hour."""
    known = desk.subject.knowledge
    price = Prices(known).repair(known.repairs[repair], frozenset())
    return ends * trip_minutes(known.rates) > price.minutes


def _allowed(desk: Desk, at: Progress, procedure: Procedure | None) -> bool:
    """Whether nothing that was said speaks against it; a repair without procedure is a wait."""
    if procedure is None:
        return True
    if procedure.id in at.walks:
        return False
    rules = _rules(procedure)
    if rules.starts_pump and (_restarted(desk, at) or not denied(desk, at)):
        return False
    return all(
        _given(desk, at, procedure, f) or not (at.said(f) or f in at.unknown) for f in rules.first
    )


def _restarted(desk: Desk, at: Progress) -> bool:
    """Whether the pump has been started by phone: once is all."""
    known = desk.subject.knowledge.procedures
    return any(_rules(known[name]).starts_pump for name in at.walks if name in known)


def _given(desk: Desk, at: Progress, procedure: Procedure, finding: str) -> bool:
    """Whether the answer has been given that a procedure wants first."""
    if finding not in desk.subject.findings or not desk.fits(at, desk.finding(finding).only_when):
        return True
    wanted = _rules(procedure).first[finding]
    if wanted in {"no", desk.finding(finding).normal}:
        return denied_one(desk, at, finding)
    return at.said(finding) == wanted


def _offer(desk: Desk, at: Progress, procedure: Procedure) -> Turn:
    repair = _repair_of(desk, procedure.id)
    told = procedure.about
    if repair:
        told = f"Chance that it ends the trouble: {chances(desk, at.evidence)[repair]:.0%}."
    body = (
        Line("say", told),
        Line("say", "Before the first step:"),
        *lines("item", procedure.before),
        Line("caution", "Stay on the line. Read out one step at a time; stop where it says so."),
    )
    go = Reply(ENTER, "talk them through it", ProcedureBegun(procedure.id))
    skip = Reply("s", "not now", StepSkipped(repair or procedure.id))
    enough = Reply("e", "enough asked and tried", Passed(ENOUGH))
    return Turn("try", "Worth a try by phone", procedure.title, body, (go, skip, enough))


def _procedure_of(desk: Desk, repair: str) -> Procedure | None:
    """Return the procedure by phone that a repair is made by, if there is one."""
    known = desk.subject.knowledge
    named = (known.procedures.get(n) for n in known.repairs[repair].work.procedures)
    return next((each for each in named if each and each.by_phone), None)


def _repair_of(desk: Desk, procedure: str) -> str:
    """Return the repair that is made by a procedure by phone, or nothing."""
    for repair in desk.subject.mended_by:
        made_by = _procedure_of(desk, repair)
        if made_by is not None and made_by.id == procedure:
            return repair
    return ""


def _rules(procedure: Procedure) -> ByPhone:
    return procedure.by_phone or ByPhone()
