"""A closed case with the names of today."""

from msgspec.structs import replace

from faultnet.learning.closed import ClosedCase
from faultnet.model.evidence import Evidence, Round
from faultnet.model.renamed import NamesNow, Renamed, names_now


def with_names_of_today(case: ClosedCase, renamed: tuple[Renamed, ...]) -> ClosedCase:
    """Return a case with what entries and answers are called now."""
    if not renamed:
        return case
    names = names_now(renamed)
    return replace(
        case,
        system=names.id("system", case.system),
        evidence=_evidence(names, case.evidence),
        confirmed=tuple(replace(c, cause=names.id("cause", c.cause)) for c in case.confirmed),
        steps=tuple(replace(step, step=names.any(step.step)) for step in case.steps),
        parts=tuple(names.id("item", part) for part in case.parts),
        unknown=_all(names, case.unknown),
    )


def _evidence(names: NamesNow, evidence: Evidence) -> Evidence:
    layout = {names.id("layout", about): value for about, value in evidence.layout.items()}
    held = evidence.circumstances.items()
    return Evidence(
        tuple(_round(names, each) for each in evidence.rounds),
        {about: names.answer(about, value) for about, value in layout.items()},
        {names.id("circumstance", about): value for about, value in held},
        _all(names, evidence.set_ups),
        _all(names, evidence.made_safe),
    )


def _round(names: NamesNow, each: Round) -> Round:
    answers = []
    for said in each.answers:
        finding = names.id("finding", said.finding)
        answers.append(replace(said, finding=finding, answer=names.answer(finding, said.answer)))
    return Round(
        tuple(answers),
        tuple(replace(taken, reading=names.id("reading", taken.reading)) for taken in each.taken),
        _all(names, each.repairs),
        _all(names, each.redraws),
        _all(names, each.spoiled),
    )


def _all(names: NamesNow, ids: tuple[str, ...]) -> tuple[str, ...]:
    return tuple(map(names.any, ids))
