"""The entries of all parts, section by section."""

from collections.abc import Callable
from typing import Any

import msgspec

from faultnet.authoring.acceptance import without_accepted
from faultnet.authoring.document import Document
from faultnet.authoring.form import Form, Key, entries_of
from faultnet.authoring.forms.cause import CAUSE
from faultnet.authoring.forms.check import Looking, read_check
from faultnet.authoring.forms.finding import read_finding
from faultnet.authoring.forms.look_alike import LOOK_ALIKE
from faultnet.authoring.forms.reading import read_reading
from faultnet.authoring.forms.repair import repair_form
from faultnet.authoring.forms.set_up import SET_UP
from faultnet.authoring.kind import TEXT
from faultnet.authoring.names import LISTS, SECTIONS
from faultnet.authoring.naming import NAME
from faultnet.authoring.node import Mapping, Node, Scalar
from faultnet.authoring.scope import Scope
from faultnet.model.cause import Cause
from faultnet.model.finding import Finding
from faultnet.model.knowledge import Part
from faultnet.model.look_alike import LookAlike
from faultnet.model.origin import Origin
from faultnet.model.reading import Reading
from faultnet.model.repair import Repair
from faultnet.model.set_up import SetUp
from faultnet.model.words import Words

Read = Callable[[str, Origin, Node, Scope], Any]


class Sections(msgspec.Struct):
    """The entries of all parts by their ids."""

    parts: dict[str, Part] = {}
    causes: dict[str, Cause] = {}
    findings: dict[str, Finding] = {}
    checks: dict[str, Looking] = {}
    repairs: dict[str, Repair] = {}
    set_ups: dict[str, SetUp] = {}
    readings: dict[str, Reading] = {}
    look_alikes: dict[str, LookAlike] = {}


def read_sections(documents: tuple[Document, ...], scope: Scope, words: Words) -> Sections:
    """Return the entries of all parts."""
    found = Sections()
    for document in documents:
        if document.kind == "part":
            above = scope.about(document.stem)
            head = msgspec.structs.replace(document, top=without_accepted(document.top, above))
            part = _part(head, above)
            if part:
                found.parts[part.id] = part
            for section, read in _readers(document.stem, words).items():
                kept: dict[str, Any] = getattr(found, section.replace("-", "_"))
                kept.update(section_entries(document, section, read, above.nearer(document.top)))
    return found


def section_entries(document: Document, section: str, read: Read, scope: Scope) -> dict[str, Any]:
    """Return the entries of a section; those whose id was taken before are passed over."""
    entry = document.top.entries.get(section)
    places = scope.names.places.get(SECTIONS.get(section) or LISTS[section], {})
    found = {}
    for name, origin, node in entries_of(entry.node if entry else None, scope):
        if places.get(name) == origin:
            about = scope.about(name)
            value = read(name, origin, without_accepted(node, about), about)
            if value is not None:
                found[name] = value
    return found


def only_keys(document: Document, known: tuple[str, ...], scope: Scope) -> None:
    """Tell the keys at the top of a file that nothing reads."""
    form: Form[Any] = Form(dict, {key: Key(TEXT, "") for key in known})
    form.unknown(document.top, scope)


def _readers(part: str, words: Words) -> dict[str, Read]:
    return {
        "causes": _of_part(CAUSE, part),
        "findings": lambda name, *rest: read_finding(name, part, *rest),
        "checks": lambda name, *rest: read_check(name, part, *rest),
        "repairs": _of_part(repair_form(words.repair_succeeds), part),
        "set-ups": _of_part(SET_UP, part),
        "readings": lambda name, *rest: read_reading(name, part, *rest),
        "look-alikes": _of_part(LOOK_ALIKE, part),
    }


def _of_part(form: Form[Any], part: str) -> Read:
    return lambda name, origin, node, scope: form.read(
        node, scope, id=name, part=part, origin=origin
    )


PART = Form(
    Part,
    {
        "part": Key(NAME, attribute="id", says="The id of the part, as the file is called."),
        "title": Key(TEXT, says="What people read: the area."),
        "about": Key(TEXT, "", says="A few sentences on what the part holds."),
    },
)


def _part(document: Document, scope: Scope) -> Part | None:
    """Return the head of a part; it is called as its file."""
    only_keys(document, (*PART.keys, *SECTIONS), scope)
    entries = document.top.entries
    head = {key: entry for key, entry in entries.items() if key in PART.keys}
    part = PART.read(Mapping(document.top.origin, head), scope, origin=document.top.origin)
    named = entries["part"].node if "part" in entries else None
    if isinstance(named, Scalar) and named.text != document.stem:
        message = f"The part is `{named.text[:40]}`, but the file is {document.stem}.yaml."
        scope.tell("id-not-file-name", named.origin, message, "Give both the same name.")
    return msgspec.structs.replace(part, id=document.stem) if part else None
