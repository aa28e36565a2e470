"""Resolve: which ids the files declare, before any entry is read."""

import re
from collections.abc import Iterator

import msgspec

from faultnet.authoring.document import Document
from faultnet.authoring.node import Entry, Mapping, Scalar, Sequence
from faultnet.authoring.problem import Problem, problem
from faultnet.model.origin import Origin

SECTIONS = {
    "causes": "cause",
    "findings": "finding",
    "checks": "check",
    "repairs": "repair",
    "set-ups": "set-up",
    "readings": "reading",
    "look-alikes": "look-alike",
}
"""Sections of a part to the kind of their entries."""
LISTS = {
    "sources": "source",
    "layout": "layout",
    "circumstances": "circumstance",
    "stock": "item",
    "lead-times": "lead-time",
    "as-found": "look",
}
"""Files that hold one section, named as the file, to the kind of its entries."""
APART = (
    *("part", "system", "procedure", "source", "item", "lead-time", "look"),
    *("learnt", "region"),
)
"""Kinds whose ids may be the same as an id of another kind."""
_KEBAB = re.compile(r"[a-z0-9]+(-[a-z0-9]+)*", re.ASCII)


class Found(msgspec.Struct, frozen=True):
    """A finding that a check's `looks-for` makes."""

    id: str
    check: str
    cause: str


class Names(msgspec.Struct, frozen=True):
    """Ids by kind with their places, answers of findings, values of layouts.

    ``whole`` is False when a file could not be read: then an unknown id proves nothing.
    """

    places: dict[str, dict[str, Origin]]
    answers: dict[str, tuple[str, ...]]
    values: dict[str, tuple[str, ...]]
    found: dict[tuple[str, str], Found]
    whole: bool = True

    def known(self, *kinds: str) -> tuple[str, ...]:
        """Return all ids of the kinds."""
        return tuple(name for kind in kinds for name in self.places.get(kind, {}))

    def has(self, name: str, *kinds: str) -> bool:
        """Tell whether an id of one of the kinds exists."""
        return any(name in self.places.get(kind, {}) for kind in kinds)

    def kind_of(self, name: str) -> str:
        """Return the kind of an id, or an empty text."""
        return next((kind for kind, ids in self.places.items() if name in ids), "")


def resolve(documents: tuple[Document, ...], *, whole: bool) -> tuple[Names, tuple[Problem, ...]]:
    """Return what the documents declare; ids that stand twice or are ill-formed are told."""
    names = Names({}, {}, {}, {}, whole)
    problems: list[Problem] = []
    for kind, name, entry in _declared(documents):
        problems.extend(_ill_formed(name, entry))
        if earlier := taken(names, kind, name):
            problems.append(taken_twice(kind, name, entry.origin, *earlier))
            continue
        names.places.setdefault(kind, {})[name] = entry.origin
        if kind == "finding":
            names.answers[name] = _answers(entry)
        elif kind == "layout":
            names.values[name] = _keys(entry, "values")
    for found, origin in _looked_for(documents):
        if earlier := taken(names, "finding", found.id):
            kind, place = earlier
            problems.append(taken_twice(kind, found.id, place, "finding", origin))
        names.found[found.check, found.cause] = found
        names.answers[found.id] = ("no", "yes")
        names.places.setdefault("finding", {})[found.id] = origin
    return names, tuple(problems)


def is_kebab(name: str) -> bool:
    """Tell whether a name is in kebab-case: small letters and digits, joined by hyphens."""
    return _KEBAB.fullmatch(name) is not None


def kebab(name: str) -> str:
    """Return the nearest name in kebab-case."""
    spaced = re.sub(r"([a-z])([A-Z])", r"\1-\2", name)
    return re.sub(r"[^a-z0-9]+", "-", spaced.lower(), flags=re.ASCII).strip("-") or "name"


def not_kebab(name: str, origin: Origin) -> Problem:
    """Return the problem of a name that is not in kebab-case."""
    message = f"The name `{name[:40]}` is not in small letters joined by hyphens."
    return problem("id-not-kebab", origin, message, f"Write `{kebab(name[:80])}`.")


def taken_twice(kind: str, name: str, origin: Origin, other: str, place: Origin) -> Problem:
    """Return the problem of an id that another entry has already."""
    message = f"The {kind} `{name[:60]}` has the id of a {other} that stands at {place}."
    return problem("duplicate-id", origin, message, "Give one of them another id.", entity=name)


def _declared(documents: tuple[Document, ...]) -> Iterator[tuple[str, str, Entry]]:
    for document in documents:
        entries = document.top.entries
        if document.kind in LISTS:
            for name, entry in _section(document, document.kind):
                yield LISTS[document.kind], name, entry
        elif document.kind == "part":
            origin = entries["part"].node.origin if "part" in entries else document.top.origin
            yield "part", document.stem, Entry(origin, document.top)
        elif document.kind in entries:
            entry = entries[document.kind]
            if isinstance(entry.node, Scalar) and entry.node.text:
                yield document.kind, entry.node.text, Entry(entry.node.origin, document.top)
        if document.kind == "part":
            for section, kind in SECTIONS.items():
                for name, entry in _section(document, section):
                    yield kind, name, entry


def _section(document: Document, section: str) -> Iterator[tuple[str, Entry]]:
    entry = document.top.entries.get(section)
    if entry and isinstance(entry.node, Mapping):
        yield from entry.node.entries.items()


def _ill_formed(name: str, entry: Entry) -> tuple[Problem, ...]:
    return () if is_kebab(name) else (not_kebab(name, entry.origin),)


def taken(names: Names, kind: str, name: str) -> tuple[str, Origin] | None:
    """Return the kind and the place of an entry that has an id already, or None."""
    kinds = (kind,) if kind in APART else tuple(k for k in names.places if k not in APART)
    return next(
        ((k, names.places[k][name]) for k in kinds if name in names.places.get(k, {})), None
    )


def _answers(entry: Entry) -> tuple[str, ...]:
    node = entry.node
    answers = node.entries.get("answers") if isinstance(node, Mapping) else None
    if answers and isinstance(answers.node, Sequence):
        texts = tuple(item.text for item in answers.node.items if isinstance(item, Scalar))
        return texts if len(texts) > 1 else ("no", "yes")
    return ("no", "yes")


def _keys(entry: Entry, key: str) -> tuple[str, ...]:
    node = entry.node
    inner = node.entries.get(key) if isinstance(node, Mapping) else None
    return tuple(inner.node.entries) if inner and isinstance(inner.node, Mapping) else ()


def _looked_for(documents: tuple[Document, ...]) -> Iterator[tuple[Found, Origin]]:
    seen: set[str] = set()
    for document in documents:
        if document.kind != "part":
            continue
        for check, entry in _section(document, "checks"):
            looks = entry.node.entries.get("looks-for") if isinstance(entry.node, Mapping) else None
            if not looks or not isinstance(looks.node, Mapping):
                continue
            for cause, look in looks.node.entries.items():
                name = f"found-{cause}" + (f"-by-{check}" if cause in seen else "")
                seen.add(cause)
                yield Found(name, check, cause), look.origin
