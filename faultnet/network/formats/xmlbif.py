"""The Interchange Format for Bayesian networks, as XML (XMLBIF 0.3).

A table lists the states of its variable fastest, then those of the last parent given.
Source: F. Cozman, "The Interchange Format for Bayesian Networks", XMLBIF 0.3, 1998.
"""

from dataclasses import dataclass, field
from io import BytesIO
from typing import NoReturn
from xml.parsers import expat
from xml.sax.saxutils import escape

from faultnet.network.flaw import refuse
from faultnet.network.formats.draft import Declared, Draft, Drafted
from faultnet.network.formats.scan import Scan
from faultnet.network.tables import Tables

_HEAD = '<?xml version="1.0" encoding="UTF-8"?>\n<BIF VERSION="0.3">\n<NETWORK>\n'


@dataclass
class _Element:
    tag: str
    line: int
    texts: list[str] = field(default_factory=list)
    inside: list["_Element"] = field(default_factory=list)

    def all(self, *tags: str) -> list["_Element"]:
        return [each for each in self.inside if each.tag in tags]

    def told(self, tag: str) -> list[str]:
        return [" ".join("".join(each.texts).split()) for each in self.all(tag)]


def read(text: str, file: str) -> Draft:
    """Return what the text tells."""
    top = _tree(text, file)
    networks = top.all("NETWORK")
    if top.tag != "BIF" or len(networks) != 1:
        message = "There is no NETWORK within a BIF, or more than one."
        raise refuse("syntax", message, "Is it XMLBIF?", file=file, line=top.line)
    network = networks[0]
    draft = Draft(file, "".join(network.told("NAME")[:1]))
    for each in network.all("VARIABLE"):
        name = _one(each, "NAME", file)
        draft.variables.append(Declared(name, tuple(each.told("OUTCOME")), each.line))
    for each in network.all("DEFINITION", "PROBABILITY"):
        name, table = _one(each, "FOR", file), _one(each, "TABLE", file)
        numbers = Scan("", file, r"(?!)").numbers(table, each.line)
        draft.tables.append(Drafted(name, tuple(each.told("GIVEN")), each.line, numbers))
    return draft


def _one(each: _Element, tag: str, file: str) -> str:
    told = each.told(tag)
    if len(told) != 1 or not told[0]:
        message = f"{each.tag} needs one {tag} and has {len(told)}."
        raise refuse("syntax", message, file=file, line=each.line)
    return told[0]


def _tree(text: str, file: str) -> _Element:
    """Return the elements, each with its line; entities are refused."""
    parser = expat.ParserCreate("utf-8")
    parser.buffer_text = True
    top = _Element("", 0)
    open_ones = [top]

    def start(tag: str, _: dict[str, str]) -> None:
        element = _Element(tag.upper(), parser.CurrentLineNumber)
        open_ones[-1].inside.append(element)
        open_ones.append(element)

    def end(_: str) -> None:
        open_ones.pop()

    def text_inside(data: str) -> None:
        open_ones[-1].texts.append(data)

    def entity(*_: object) -> NoReturn:
        message = "The file declares entities; they are not read."
        line = parser.CurrentLineNumber
        raise refuse("syntax", message, "Write out what they stand for.", file=file, line=line)

    parser.StartElementHandler = start
    parser.EndElementHandler = end
    parser.CharacterDataHandler = text_inside
    parser.EntityDeclHandler = entity
    try:
        parser.ParseFile(BytesIO(text.encode()))
    except expat.ExpatError as error:
        message = f"This is no sound XML: {expat.ErrorString(error.code)}."
        hint = "Is the file cut off, or in another format?"
        raise refuse("syntax", message, hint, file=file, line=error.lineno) from None
    return top.inside[0]


def write(tables: Tables) -> str:
    """Return the network as text."""
    parts = [_HEAD, f"<NAME>{_text(tables.id)}</NAME>\n"]
    for each in tables.variables:
        states = "".join(f"  <OUTCOME>{_text(state)}</OUTCOME>\n" for state in each.states)
        name = f"  <NAME>{_text(each.id)}</NAME>\n"
        parts.append(f'<VARIABLE TYPE="nature">\n{name}{states}</VARIABLE>\n')
    for each in tables.variables:
        given = "".join(f"  <GIVEN>{_text(parent)}</GIVEN>\n" for parent in each.parents)
        table = " ".join(map(repr, each.chances.ravel().tolist()))
        family = f"  <FOR>{_text(each.id)}</FOR>\n{given}"
        parts.append(f"<DEFINITION>\n{family}  <TABLE>{table}</TABLE>\n</DEFINITION>\n")
    return "".join([*parts, "</NETWORK>\n</BIF>\n"])


def _text(name: str) -> str:
    if not name or name != " ".join(name.split()) or not name.isprintable():
        message = f"The name {name!r} cannot be written as XMLBIF."
        raise refuse("name", message, "Take out what cannot be seen, and spaces at its ends.")
    return escape(name)
