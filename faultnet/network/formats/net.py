"""The Hugin format for networks, as text (NET): nodes, and potentials with their data.

Data list the states of the node itself fastest, then those of the last parent. Names of
nodes are plain words, so one that is not is written with its true name beside it, as an
attribute of the node that other programs pass over.
Source: the description of the NET language in the Hugin API reference manual.
"""

import re

from faultnet.network.formats.draft import Declared, Draft, Drafted
from faultnet.network.formats.scan import Scan, listed, parted, quoted
from faultnet.network.tables import Tables, Variable

_COMMENT = r"%[^\n]*"
_PLAIN = re.compile(r"[A-Za-z_]\w*", re.ASCII)
_NOTHING = re.compile(r"(?!)")
TRUE_NAME = "faultnet_id"
"""The attribute that holds the true name of a node."""


def read(text: str, file: str) -> Draft:
    """Return what the text tells."""
    scan = Scan(text, file, _COMMENT)
    draft = Draft(file)
    true: dict[str, str] = {}
    while scan.next:
        line = scan.line
        kind = scan.word("`net`, `node` or `potential`")
        if kind == "discrete":
            kind = scan.word("`node`")
        if kind == "net":
            draft.name = _plain(_attributes(scan).get("name", ""))
        elif kind == "node":
            name = scan.word("the name of a node")
            told = _attributes(scan)
            true[name] = _plain(told.get(TRUE_NAME, "")) or name
            states = listed(told.get("states", "").strip().removeprefix("(").removesuffix(")"))
            draft.variables.append(Declared(true[name], states, line))
        elif kind == "potential":
            draft.tables.append(_table(scan, line))
        else:
            scan.place -= len(kind)
            raise scan.wrong("`net`, `node` or `potential` (nothing but discrete chance nodes)")
    draft.tables = [_renamed(each, true) for each in draft.tables]
    return draft


def _attributes(scan: Scan) -> dict[str, str]:
    scan.take("{")
    told = {}
    while not scan.taken("}"):
        name = scan.word("an attribute or `}`")
        scan.take("=")
        told[name] = scan.upto(";")
    return told


def _table(scan: Scan, line: int) -> Drafted:
    scan.take("(")
    child, _, given = parted(scan.upto(")"))
    data = _attributes(scan).get("data", "")
    numbers = scan.numbers(re.sub(r"[()]", " ", data), line)
    return Drafted(" ".join(listed(child)), listed(given), line, numbers)


def _renamed(each: Drafted, true: dict[str, str]) -> Drafted:
    parents = tuple(true.get(parent, parent) for parent in each.parents)
    return Drafted(true.get(each.id, each.id), parents, each.line, each.numbers)


def _plain(text: str) -> str:
    return " ".join(listed(text))


def write(tables: Tables) -> str:
    """Return the network as text."""
    names = _names(tables)
    (title,) = quoted([tables.id], _NOTHING, "NET")
    parts = [f"net\n{{\n  name = {title};\n}}\n"]
    for each in tables.variables:
        states = " ".join(quoted(each.states, _NOTHING, "NET"))
        told = f"  states = ({states});\n"
        if names[each.id] != each.id:
            (true,) = quoted([each.id], _NOTHING, "NET")
            told += f"  {TRUE_NAME} = {true};\n"
        parts.append(f"node {names[each.id]}\n{{\n{told}}}\n")
    for each in tables.variables:
        given = "".join(f" {names[parent]}" for parent in each.parents)
        parts.append(f"potential ({names[each.id]} |{given})\n{{\n  data = {_data(each)};\n}}\n")
    return "".join(parts)


def _names(tables: Tables) -> dict[str, str]:
    """Return a plain word for every variable, no two alike."""
    names = {v.id: v.id for v in tables.variables if _PLAIN.fullmatch(v.id)}
    taken = set(names)
    for variable in tables.variables:
        if variable.id in names:
            continue
        plain = re.sub(r"\W", "_", variable.id, flags=re.ASCII)
        plain = plain if _PLAIN.fullmatch(plain) else f"_{plain}"
        count = 1
        while (name := plain if count == 1 else f"{plain}_{count}") in taken:
            count += 1
        taken.add(name)
        names[variable.id] = name
    return names


def _data(each: Variable) -> str:
    def nested(part: object) -> str:
        if isinstance(part, list):
            return f"({' '.join(map(nested, part))})"
        return repr(part)

    return nested(each.chances.tolist())
