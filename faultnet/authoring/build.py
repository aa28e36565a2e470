"""Build: every entry of every document read into the model."""

from collections.abc import Callable, Iterator
from typing import Any, TypeVar

import msgspec

from faultnet.authoring.document import Document
from faultnet.authoring.form import Form, Key, entries_of
from faultnet.authoring.forms.cause import CAUSE
from faultnet.authoring.forms.check import Looking, read_check
from faultnet.authoring.forms.finding import read_finding
from faultnet.authoring.forms.layout import CIRCUMSTANCE, LAYOUT
from faultnet.authoring.forms.look_alike import LOOK_ALIKE
from faultnet.authoring.forms.procedure import PROCEDURE
from faultnet.authoring.forms.rates import RATES
from faultnet.authoring.forms.reading import read_reading
from faultnet.authoring.forms.repair import repair_form
from faultnet.authoring.forms.set_up import SET_UP
from faultnet.authoring.forms.system import read_system
from faultnet.authoring.forms.words import SOURCE, WORDS
from faultnet.authoring.found import with_found
from faultnet.authoring.kind import NAME, TEXT
from faultnet.authoring.names import LISTS, SECTIONS, Names
from faultnet.authoring.node import Mapping, Node, Scalar
from faultnet.authoring.number import AMOUNT, PROBABILITY
from faultnet.authoring.problem import Problem, problem
from faultnet.authoring.scope import Scope, Vocabulary
from faultnet.model.knowledge import Knowledge, Part
from faultnet.model.origin import Origin
from faultnet.model.rates import Rates
from faultnet.model.words import Words

T = TypeVar("T")
Read = Callable[[str, Origin, Node, Scope], Any]

_NO_WORDS = Words({}, {}, {}, PROBABILITY.stand_in, PROBABILITY.stand_in)
_NO_RATES = Rates("", AMOUNT.stand_in, AMOUNT.stand_in, AMOUNT.stand_in, {}, {})


def build(
    documents: tuple[Document, ...], names: Names, folder: str, version: str
) -> tuple[Knowledge, tuple[Problem, ...]]:
    """Return the knowledge, with stand-ins for what was refused, and the problems."""
    told: list[Problem] = []
    unread = Scope(names, Vocabulary({}, known=False), told)
    words = _single("words", WORDS, documents, unread, folder)
    rates = _single("rates", RATES, documents, unread, folder)
    scope = Scope(names, _vocabulary(words), told)
    lists = {kind: _list(kind, documents, scope) for kind in LISTS}
    looking: dict[str, Looking] = {}
    sections = _sections(documents, scope, words or _NO_WORDS, looking)
    causes, findings, checks = with_found(
        sections["causes"], sections["findings"], looking, names, words or _NO_WORDS
    )
    systems = [
        read_system(each.top, lists["layout"], lists["circumstances"], _for(each, scope))
        for each in documents
        if each.kind == "system"
    ]
    procedures = [
        PROCEDURE.read(each.top, _for(each, scope), origin=each.top.origin)
        for each in documents
        if each.kind == "procedure"
    ]
    knowledge = Knowledge(
        version=version,
        words=words or _NO_WORDS,
        rates=rates or _NO_RATES,
        sources=lists["sources"],
        layouts=lists["layout"],
        circumstances=lists["circumstances"],
        parts=_parts(documents, scope),
        causes=causes,
        findings=findings,
        checks=checks,
        repairs=sections["repairs"],
        set_ups=sections["set-ups"],
        readings=sections["readings"],
        look_alikes=sections["look-alikes"],
        procedures={each.id: each for each in procedures if each},
        systems={each.id: each for each in systems if each},
    )
    return knowledge, tuple(told)


def _single(
    kind: str, form: Form[T], documents: tuple[Document, ...], scope: Scope, folder: str
) -> T | None:
    """Return the value of a file that stands once."""
    for document in documents:
        if document.kind == kind:
            return form.read(document.top, scope.about(kind))
    if scope.names.whole:
        message = f"The file {kind}.yaml is missing."
        place = Origin(f"{folder}/{kind}.yaml", 0, 0)
        scope.told.append(problem("missing-file", place, message, "Put it into the folder."))
    return None


def _vocabulary(words: Words | None) -> Vocabulary:
    if words is None:
        return Vocabulary({}, known=False)
    return Vocabulary({"likelihood": words.likelihood, "how-common": words.how_common})


def _list(kind: str, documents: tuple[Document, ...], scope: Scope) -> dict[str, Any]:
    """Return the entries of the file of one section: sources, layout, circumstances."""
    forms: dict[str, Form[Any]] = {
        "sources": SOURCE,
        "layout": LAYOUT,
        "circumstances": CIRCUMSTANCE,
    }
    found: dict[str, Any] = {}
    for document in documents:
        if document.kind == kind:
            top = scope.about(kind).nearer(document.top)
            _top_keys(document, (kind,), top)
            found.update(_entries(document, kind, _plain(forms[kind]), top))
    return found


def _sections(
    documents: tuple[Document, ...], scope: Scope, words: Words, looking: dict[str, Looking]
) -> dict[str, dict[str, Any]]:
    """Return the entries of all parts by section; checks go to ``looking``."""
    found: dict[str, dict[str, Any]] = {section: {} for section in SECTIONS}
    found["checks"] = looking
    for document in documents:
        if document.kind == "part":
            top = _for(document, scope).nearer(document.top)
            for section, read in _readers(document.stem, words).items():
                found[section].update(_entries(document, section, read, top))
    return found


def _readers(part: str, words: Words) -> dict[str, Read]:
    repair = repair_form(words.repair_succeeds)
    return {
        "causes": _of_part(CAUSE, part),
        "findings": lambda name, *rest: read_finding(name, part, *rest),
        "checks": lambda name, *rest: read_check(name, part, *rest),
        "repairs": _of_part(repair, part),
        "set-ups": _of_part(SET_UP, part),
        "readings": lambda name, *rest: read_reading(name, part, *rest),
        "look-alikes": _of_part(LOOK_ALIKE, part),
    }


def _plain(form: Form[Any]) -> Read:
    return lambda name, origin, node, scope: form.read(node, scope, id=name, origin=origin)


def _of_part(form: Form[Any], part: str) -> Read:
    return lambda name, origin, node, scope: form.read(
        node, scope, id=name, part=part, origin=origin
    )


def _entries(document: Document, section: str, read: Read, scope: Scope) -> dict[str, Any]:
    entry = document.top.entries.get(section)
    kind = SECTIONS.get(section) or LISTS[section]
    found = {}
    for name, origin, node in entries_of(entry.node if entry else None, scope):
        if scope.names.places.get(kind, {}).get(name) == origin:
            value = read(name, origin, node, scope.about(name))
            if value is not None:
                found[name] = value
    return found


def _parts(documents: tuple[Document, ...], scope: Scope) -> dict[str, Part]:
    return {part.id: part for part in _each_part(documents, scope)}


def _each_part(documents: tuple[Document, ...], scope: Scope) -> Iterator[Part]:
    form = Form(
        Part, {"part": Key(NAME, attribute="id"), "title": Key(TEXT), "about": Key(TEXT, "")}
    )
    for document in documents:
        if document.kind == "part":
            inner = _for(document, scope)
            _top_keys(document, (*form.keys, *SECTIONS), inner)
            head = {k: v for k, v in document.top.entries.items() if k in form.keys}
            part = form.read(Mapping(document.top.origin, head), inner)
            if part:
                _named_as_file(document, inner)
                yield msgspec.structs.replace(part, id=document.stem)


def _named_as_file(document: Document, scope: Scope) -> None:
    entry = document.top.entries.get("part")
    if entry and isinstance(entry.node, Scalar) and entry.node.text != document.stem:
        message = f"The part is `{entry.node.text[:40]}`, but the file is {document.stem}.yaml."
        scope.tell("id-not-file-name", entry.node.origin, message, "Give both the same name.")


def _top_keys(document: Document, known: tuple[str, ...], scope: Scope) -> None:
    only: Form[Any] = Form(dict, {key: Key(TEXT, "") for key in known})
    only.unknown(document.top, scope)


def _for(document: Document, scope: Scope) -> Scope:
    return scope.about(document.stem)
