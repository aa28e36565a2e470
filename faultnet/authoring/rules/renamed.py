"""What was renamed: the old name is gone, and what it leads to is there."""

from collections.abc import Collection, Iterator

from faultnet.authoring.nearest import did_you_mean
from faultnet.authoring.problem import Problem, problem
from faultnet.model.knowledge import Knowledge
from faultnet.model.renamed import APART, Renamed


def renamed(knowledge: Knowledge) -> Iterator[Problem]:
    """Yield what was renamed and is there still, twice, or leads to nothing."""
    ids = _ids(knowledge)
    named = {(each.kind, each.of, each.old) for each in knowledge.renamed}
    taken = {old: kind for kind in ids if kind not in APART for old in ids[kind]}
    seen: dict[str, Renamed] = {}
    for each in knowledge.renamed:
        known = _known(knowledge, each, ids)
        apart = each.kind in (*APART, "answer")
        if each.old in (known if apart else taken):
            what = f"`{each.old[:60]}` is still there as a {each.kind}"
            if not apart:
                what = f"`{each.old[:60]}` is still there as a {taken[each.old]}"
            hint = "Take the line away, or give that entry another id."
            yield problem("renamed-still-there", each.origin, f"{what}.", hint, entity=each.old)
        elif not apart and seen.setdefault(each.old, each) is not each:
            message = f"`{each.old[:60]}` is renamed at {seen[each.old].origin} already."
            yield problem("duplicate-id", each.origin, message, "Keep one.", entity=each.old)
        if known and each.new not in known and (each.kind, each.of, each.new) not in named:
            message = f"There is no {each.kind} `{each.new[:60]}`."
            hint = did_you_mean(each.new, known) or "Write what it is called now."
            yield problem("unknown-id", each.origin, message, hint, entity=each.old)


def _ids(knowledge: Knowledge) -> dict[str, Collection[str]]:
    return {
        "system": knowledge.systems,
        "cause": knowledge.causes,
        "finding": knowledge.findings,
        "check": knowledge.checks,
        "repair": knowledge.repairs,
        "set-up": knowledge.set_ups,
        "reading": knowledge.readings,
        "look-alike": knowledge.look_alikes,
        "layout": knowledge.layouts,
        "circumstance": knowledge.circumstances,
        "item": knowledge.stock,
    }


def _known(knowledge: Knowledge, each: Renamed, ids: dict[str, Collection[str]]) -> Collection[str]:
    """Return what it may be called now."""
    if each.kind != "answer":
        return ids[each.kind]
    if each.of in knowledge.findings:
        return knowledge.findings[each.of].answers
    layout = knowledge.layouts.get(each.of)
    return [value.id for value in layout.values] if layout else ()
