"""Procedures that ended early: stopped by their stop condition, or left for a reason."""

from faultnet.cases import events as e
from faultnet.cases.case import Case
from faultnet.cases.entry import Entry


def ended_early(case: Case) -> tuple[Entry, ...]:
    """Return the stops and leavings that stand; going back to the step says it was no stop."""
    found: dict[str, Entry] = {}
    stop_of: dict[str, str] = {}
    for each in case.entries:
        entry = each.entry
        match entry.event:
            case e.ProcedureStopped():
                found[entry.id] = entry
                stop_of[entry.author] = entry.id
            case e.ProcedureBack():
                found.pop(stop_of.pop(entry.author, ""), None)
            case e.ProcedureBegun() | e.ProcedureLeft(reason=""):
                stop_of.pop(entry.author, None)
            case e.ProcedureLeft():
                found[entry.id] = entry
    return tuple(found.values())
