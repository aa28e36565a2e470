"""Every text that a person is given to read, with its entry and place."""

from collections.abc import Iterator

from faultnet.model.check import Work
from faultnet.model.knowledge import Knowledge
from faultnet.model.layout import Circumstance, Layout
from faultnet.model.origin import Origin
from faultnet.model.procedure import Step

Placed = tuple[str, Origin, str]


def texts(knowledge: Knowledge) -> Iterator[Placed]:
    """Yield entry, place and text of all that is shown; search words are left out."""
    for entity, origin, found in _all(knowledge):
        yield from ((entity, origin, text) for text in found if text)


def _all(knowledge: Knowledge) -> Iterator[tuple[str, Origin, tuple[str, ...]]]:
    for cause in knowledge.causes.values():
        yield cause.id, cause.origin, (cause.title, cause.note)
    for finding in knowledge.findings.values():
        dangers = tuple(text for each in finding.dangers for text in (each.say, each.send))
        asked = (finding.title, finding.ask, finding.ask_caller, finding.note)
        yield finding.id, finding.origin, (*asked, *dangers)
    for check in knowledge.checks.values():
        yield check.id, check.origin, (check.title, check.note, *_work(check.work))
    for repair in knowledge.repairs.values():
        said = (repair.title, repair.note, repair.proof)
        yield repair.id, repair.origin, (*said, *_work(repair.work))
    for set_up in knowledge.set_ups.values():
        done = (*set_up.steps, *set_up.cautions)
        yield set_up.id, set_up.origin, (set_up.title, set_up.note, *done)
    yield from _others(knowledge)


def _work(work: Work) -> tuple[str, ...]:
    return (*work.steps, *work.cautions)


def _step_texts(step: Step) -> tuple[str, ...]:
    return (step.do, step.stop_when, step.caution, step.meanwhile)


def _others(knowledge: Knowledge) -> Iterator[tuple[str, Origin, tuple[str, ...]]]:
    for procedure in knowledge.procedures.values():
        steps = tuple(t for s in procedure.steps for t in _step_texts(s))
        said = (
            procedure.title,
            procedure.about,
            *procedure.bring,
            *procedure.before,
            *procedure.after,
        )
        yield procedure.id, procedure.origin, (*said, *steps)
    facts: tuple[Layout | Circumstance, ...] = (
        *knowledge.layouts.values(),
        *knowledge.circumstances.values(),
    )
    for asked in facts:
        yield asked.id, asked.origin, (asked.title, asked.ask, asked.ask_caller)
    for reading in knowledge.readings.values():
        yield reading.id, reading.origin, (reading.title, reading.note)
    for look in knowledge.as_found.values():
        yield look.id, look.origin, (look.title, look.ask, *(each.title for each in look.answers))
    for group in knowledge.look_alikes.values():
        yield group.id, group.origin, (group.note,)
    for system in knowledge.systems.values():
        yield system.id, system.origin, (system.title, system.about, system.specialist.title)


def said_to_caller(knowledge: Knowledge) -> Iterator[Placed]:
    """Yield what a caller hears: questions, what to do in danger, what is done by phone."""
    for procedure in knowledge.procedures.values():
        if procedure.by_phone is not None:
            steps = (text for step in procedure.steps for text in _step_texts(step))
            for text in (*procedure.bring, *procedure.before, *steps, *procedure.after):
                yield procedure.id, procedure.origin, text
    for finding in knowledge.findings.values():
        for text in (finding.ask_caller, *(each.say for each in finding.dangers)):
            yield finding.id, finding.origin, text
    for layout in knowledge.layouts.values():
        yield layout.id, layout.origin, layout.ask_caller
    for circumstance in knowledge.circumstances.values():
        yield circumstance.id, circumstance.origin, circumstance.ask_caller
