"""The authored procedures, to be read or begun: hold test, priming, restart and the like."""

from faultnet.cases.events import ProcedureBegun
from faultnet.model.procedure import Procedure, Step
from faultnet.visit.progress import Progress
from faultnet.visit.steps import work_of
from faultnet.visit.talk import Talk
from faultnet.visit.turn import BACK, KEYS, Line, Reply, Turn, lines
from faultnet.visit.walking import limits


def read(talk: Talk, at: Progress, name: str) -> Turn:
    """Return a procedure with its limits and stop conditions; without a name, the list.

    Those that the step at hand is done by come first; what is for a caller is left out.
    """
    if name:
        procedure = talk.subject.knowledge.procedures[name]
        walk = Reply("w", "walk it, one step at a time", ProcedureBegun(name))
        return Turn("how", "How to", procedure.title, _body(procedure), (walk, BACK))
    known = talk.subject.knowledge.procedures
    named = _named(talk, at)
    every = (known[each] for each in dict.fromkeys((*named, *known)))
    procedures = [each for each in every if each.by_phone is None]
    replies = [
        Reply(key, each.title, view=f"how:{each.id}")
        for key, each in zip(KEYS, procedures, strict=False)
    ]
    title = "Which one?" if replies else "No procedures are written down here."
    return Turn("how", "How to", title, (), (*replies, BACK))


def _named(talk: Talk, at: Progress) -> tuple[str, ...]:
    """The procedures of the step at hand, those of its set-ups before its own."""
    work = work_of(talk, at.step or at.shown or at.repair)
    if work is None:
        return ()
    set_ups = talk.subject.knowledge.set_ups
    of_set_ups = (p for s, on in work.set_ups.items() if on for p in set_ups[s].procedures)
    return (*of_set_ups, *work.procedures) if at.step else (*work.procedures, *of_set_ups)


def _body(procedure: Procedure) -> tuple[Line, ...]:
    body = [Line("say", procedure.about)]
    for heading, texts in (("Bring:", procedure.bring), ("Before you start:", procedure.before)):
        body += [Line("say", heading), *lines("item", texts)] if texts else []
    for step in procedure.steps:
        body += _step(step)
    return tuple(body)


def _step(step: Step) -> list[Line]:
    limit = f" ({limits(step)})" if step.limit else ""
    told = [Line("do", f"{step.do}{limit}")]
    if step.stop_when:
        told.append(Line("item", f"Stop when: {step.stop_when}"))
    if step.caution:
        told.append(Line("caution", step.caution))
    return told
