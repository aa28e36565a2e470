"""The Interchange Format for Bayesian networks, as text (BIF 0.15).

Rows name the states of their parents. A table in one piece lists all cases of its first
state, then of its second, and so on. ``default`` is the row wherever none is given.
Source: F. Cozman and others, "The Interchange Format for Bayesian Networks", 1996-1998.
"""

import re
from collections.abc import Iterator
from itertools import product

from faultnet.network.formats.draft import Declared, Draft, Drafted, Row
from faultnet.network.formats.scan import Scan, listed, parted, quoted
from faultnet.network.tables import Tables, Variable

_COMMENT = r"/\*.*?(?:\*/|\Z)|//[^\n]*"
_PLAIN = re.compile(r"[\w.<>+\-%]+")


def read(text: str, file: str) -> Draft:
    """Return what the text tells."""
    scan = Scan(text, file, _COMMENT)
    draft = Draft(file)
    while scan.next:
        line = scan.line
        kind = scan.word("`network`, `variable` or `probability`")
        if kind == "network":
            draft.name = "" if scan.next == "{" else scan.word("the name of the network")
            scan.take("{")
            scan.upto("}")
        elif kind == "variable":
            draft.variables.append(_variable(scan, line))
        elif kind == "probability":
            draft.tables.append(_table(scan, line))
        else:
            scan.place -= len(kind)
            raise scan.wrong("`network`, `variable` or `probability`")
    return draft


def _variable(scan: Scan, line: int) -> Declared:
    name = _name(scan)
    states: tuple[str, ...] = ()
    while not scan.taken("}"):
        if scan.word("`type`, `property` or `}`") == "type":
            if scan.word("`discrete`") != "discrete":
                raise scan.wrong("a discrete variable")
            scan.take("[")
            count = scan.numbers(scan.upto("]"), line)
            scan.take("{")
            states = listed(scan.upto("}"))
            if count != [len(states)]:
                raise scan.wrong(f"as many states as the number in brackets, not {len(states)},")
        scan.upto(";")
    return Declared(name, states, line)


def _name(scan: Scan) -> str:
    words = [scan.word("the name of a variable")]
    while scan.next and scan.next != "{":
        words.append(scan.word("`{`"))
    scan.take("{")
    return " ".join(words)


def _table(scan: Scan, line: int) -> Drafted:
    scan.take("(")
    child, bar, given = parted(scan.upto(")"))
    names = listed(child)
    if not bar and len(names) > 1:  # an older way: the parents without a bar
        name, parents = names[0], names[1:]
    else:
        name, parents = " ".join(names), listed(given)
    scan.take("{")
    numbers: list[float] = []
    otherwise: list[float] = []
    rows: list[Row] = []
    while not scan.taken("}"):
        here = scan.line
        if scan.taken("("):
            when = listed(scan.upto(")"))
            rows.append(Row(when, scan.numbers(scan.upto(";"), here), here))
            continue
        kind = scan.word("`table`, `default`, a row or `}`")
        told = scan.upto(";")
        if kind == "table":
            numbers = scan.numbers(told, here)
        elif kind == "default":
            otherwise = scan.numbers(told, here)
    return Drafted(name, parents, line, numbers, rows, otherwise, own_first=True)


def write(tables: Tables) -> str:
    """Return the network as text."""
    known = {variable.id: variable for variable in tables.variables}
    (name,) = quoted([tables.id], _PLAIN, "BIF")
    parts = [f"network {name} {{\n}}\n"]
    for each in tables.variables:
        (name,) = quoted([each.id], _PLAIN, "BIF")
        states = ", ".join(quoted(each.states, _PLAIN, "BIF"))
        declared = f"type discrete [ {len(each.states)} ] {{ {states} }};"
        parts.append(f"variable {name} {{\n  {declared}\n}}\n")
    for each in tables.variables:
        parents = [known[parent] for parent in each.parents]
        name, *given = quoted([each.id, *each.parents], _PLAIN, "BIF")
        bar = f" | {', '.join(given)}" if given else ""
        parts.append(f"probability ( {name}{bar} ) {{\n")
        parts += _rows(each, parents)
        parts.append("}\n")
    return "".join(parts)


def _rows(each: Variable, parents: list[Variable]) -> Iterator[str]:
    rows = each.chances.reshape(-1, len(each.states)).tolist()
    if not parents:
        yield f"  table {', '.join(map(repr, rows[0]))};\n"
        return
    cases = product(*(quoted(parent.states, _PLAIN, "BIF") for parent in parents))
    for case, row in zip(cases, rows, strict=True):
        yield f"  ({', '.join(case)}) {', '.join(map(repr, row))};\n"
