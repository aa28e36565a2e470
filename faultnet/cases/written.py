"""The lines of the closing sheet that stand.

What is written again about the same thing takes the place of the earlier line.
"""

from faultnet.cases import events as e
from faultnet.cases.case import Case, Counted


def sheet_of(case: Case) -> tuple[Counted, ...]:
    """Return the lines of the sheet that stand, in the order in which they were begun."""
    lines: dict[tuple[str, ...], Counted] = {}
    for each in case.entries:
        if isinstance(each.entry.event, e.OnSheet):
            lines[_about(each.entry.event, each.entry.author)] = each
    return tuple(lines.values())


def _about(event: e.OnSheet, author: str) -> tuple[str, ...]:
    """Return what a line is about; a later one about the same takes its place."""
    match event:
        case e.Fitted():
            what: tuple[str, ...] = (event.part, event.text)
        case e.Disinfected(product, dose):
            what = (product, dose)
        case e.Signed(name, role):
            what = (role, name)
        case e.Licence():
            what = (author,)
        case _:
            what = (event.text,)
    return (type(event).__name__, *what)
