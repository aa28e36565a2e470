"""What the events of a case name that the knowledge no longer holds."""

from collections.abc import Iterable, Iterator

from faultnet.authoring.nearest import did_you_mean
from faultnet.cases import events as e
from faultnet.cases.case import Case
from faultnet.cases.counting import counting
from faultnet.cases.entry import Entry
from faultnet.cases.fits import WALKED
from faultnet.cases.order import order_of
from faultnet.model.knowledge import Knowledge

NEEDLESS = (*WALKED, e.Picked, e.Suspected, e.PartRead, e.StepBegun)
"""Events that say nothing about what was wrong, or that others follow which do."""

_NAMING = ("about", "step", "repair", "finding", "reading", "cause", "look")

SAY_SO = "If it is called otherwise now, say so in renamed.yaml."


def unknown_in(knowledge: Knowledge, entries: Iterable[Entry], case: Case) -> str:
    """Return the first thing that is not known, in words; nothing where all is."""
    if not case.unfit:
        return ""
    order, kept = order_of(entries), {each.entry.id for each in case.entries}
    for place in counting(order):
        entry = order.entries[place]
        if entry.id not in kept and not isinstance(entry.event, NEEDLESS):
            return _said(knowledge, entry.event)
    return ""


def _said(knowledge: Knowledge, event: e.AnyEvent) -> str:
    name = next((str(getattr(event, f)) for f in _NAMING if hasattr(event, f)), "")
    what = event.__struct_config__.tag
    known = set(_ids(knowledge))
    if name in known:
        answer = getattr(event, "answer", "")
        told = f"`{name}`" + (f" with `{answer[:60]}`" if answer else "")
        return f"{told} ({what}) does not fit its system any more. {SAY_SO}"
    hint = did_you_mean(name, known)
    return f"there is no `{name[:60]}` ({what}). {hint}".rstrip() + f" {SAY_SO}"


def _ids(knowledge: Knowledge) -> Iterator[str]:
    yield from knowledge.findings
    yield from knowledge.layouts
    yield from knowledge.circumstances
    yield from knowledge.checks
    yield from knowledge.repairs
    yield from knowledge.readings
    yield from knowledge.causes
    yield from knowledge.as_found
