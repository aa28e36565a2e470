"""What differs between the files of two versions, entry by entry and key by key."""

from collections.abc import Collection, Iterator, Mapping

import msgspec

from faultnet.model.renamed import NamesNow
from faultnet.review.compare.entries import Entry, Name, Value

ALIKE = 0.6
"""Entries that share at least so much of all they say are perhaps one, renamed; judgement."""
FEWEST = 3
"""Values that two entries must share at least, to be taken for one."""

NO_ANSWER = {"source", "procedure", "as-found", "item", "lead-time", "learnt", "region"}
"""Kinds of entries that no ranking and no next step reads."""
WORDING = {
    *("title", "ask", "note", "about", "seen-in", "reason", "cautions", "steps", "proof"),
    *("say", "send", "words", "procedures"),
}
"""Keys that are told and never computed with."""
PRICED = {"check", "repair", "set-up", "rates"}
"""Kinds of entries that change the next step though no probability moves."""
PRICED_KEYS = ("specialist", "repair")
"""Beginnings of keys of other entries that do."""


class Changed(msgspec.Struct, frozen=True):
    """One key: what it said and says, empty where it is not there, and the places."""

    key: str
    old: str
    new: str
    old_place: str
    new_place: str


class Change(msgspec.Struct, frozen=True):
    """An entry that is ``added``, ``removed``, ``changed`` or ``renamed``.

    ``was`` is the id in the old version where it is another one; the files say so themselves
    (``said``), or it is taken to be the same since both say nearly the same.
    """

    kind: str
    id: str
    what: str
    place: str
    keys: tuple[Changed, ...] = ()
    was: str = ""
    said: bool = False

    @property
    def bears_on_answers(self) -> bool:
        """Whether a ranking or a next step could come out otherwise for it."""
        if self.kind in NO_ANSWER or self.kind == "case":
            return False
        return self.what in ("added", "removed") or any(
            not WORDING & set(changed.key.split(".")) for changed in self.keys
        )

    @property
    def bears_on_steps(self) -> bool:
        """Whether the next step could change though no probability moves."""
        priced = self.kind in PRICED or any(k.key.startswith(PRICED_KEYS) for k in self.keys)
        return self.bears_on_answers and priced


Renames = dict[Name, str]
"""Old kind and id to the new id."""


def changes(
    old: Mapping[Name, Entry], new: Mapping[Name, Entry], names: NamesNow
) -> tuple[tuple[Change, ...], Renames]:
    """Return what differs, in the order of the new files, and the renames that were found.

    ``names`` are what the new files say that everything is called now.
    """
    said = _said(old, new, names)
    renames = said | _renames(old, new, said)
    ids = {name: to for (_, name), to in renames.items()}
    before = {
        (kind, renames.get((kind, name), name)): _renamed(entry, ids)
        for (kind, name), entry in old.items()
    }
    was = {(kind, to): name for (kind, name), to in renames.items()}
    sure = {(kind, to) for (kind, _), to in said.items()}
    found = [*_there_now(before, new, was, sure)]
    found += [
        Change(kind, name, "removed", _place(entry))
        for (kind, name), entry in before.items()
        if (kind, name) not in new
    ]
    return tuple(found), renames


def _there_now(
    before: Mapping[Name, Entry],
    new: Mapping[Name, Entry],
    was: Mapping[Name, str],
    sure: Collection[Name],
) -> Iterator[Change]:
    for name, entry in new.items():
        if name not in before:
            yield Change(*name, "added", _place(entry))
            continue
        keys = tuple(_keys(before[name], entry))
        old_id = was.get(name, "")
        if keys or old_id:
            what = "renamed" if old_id else "changed"
            yield Change(*name, what, _place(entry), keys, old_id, said=name in sure)


def _keys(old: Entry, new: Entry) -> Iterator[Changed]:
    nothing = Value("", next(iter(new.values()), next(iter(old.values()))).place)
    for key in (*new, *(key for key in old if key not in new)):
        before, now = old.get(key, nothing), new.get(key, nothing)
        if before.text != now.text:
            places = [str(v.place) if v is not nothing else "" for v in (before, now)]
            yield Changed(key, before.text, now.text, *places)


def _said(old: Mapping[Name, Entry], new: Mapping[Name, Entry], names: NamesNow) -> Renames:
    """Entries that vanished, each with the one that the new files say it is now."""
    said: Renames = {}
    taken: set[Name] = set()
    for kind, name in old:
        to = kind, names.id(kind, name)
        if (kind, name) not in new and to in new and to not in old and to not in taken:
            said[kind, name] = to[1]
            taken.add(to)
    return said


def _renames(old: Mapping[Name, Entry], new: Mapping[Name, Entry], said: Renames) -> Renames:
    """Other entries that vanished, each with the one that came and says nearly the same."""
    taken = {(kind, to) for (kind, _), to in said.items()}
    gone = [name for name in old if name not in new and name not in said]
    came = [name for name in new if name not in old and name not in taken]
    likeness = sorted(
        (
            (-_likeness(old[one], new[other]), one, other)
            for one in gone
            for other in came
            if one[0] == other[0]
        ),
    )
    renames: Renames = {}
    for less, one, other in likeness:
        if -less >= ALIKE and one not in renames and other[1] not in renames.values():
            renames[one] = other[1]
    return renames


def _likeness(one: Entry, other: Entry) -> float:
    """The share of all that either entry says that both say."""
    left = {(key, value.text) for key, value in one.items()}
    right = {(key, value.text) for key, value in other.items()}
    shared = len(left & right)
    return shared / len(left | right) if shared >= FEWEST else 0.0


def _renamed(entry: Entry, ids: Mapping[str, str]) -> Entry:
    """An entry with the new ids in its keys and values, so that they are told once."""
    if not ids:
        return entry
    return {
        ".".join(ids.get(part, part) for part in key.split(".")): Value(
            ", ".join(sorted(ids.get(t, t) for t in value.text.split(", ")))
            if any(t in ids for t in value.text.split(", "))
            else value.text,
            value.place,
        )
        for key, value in entry.items()
    }


def _place(entry: Entry) -> str:
    """Where an entry stands: at the first of its values."""
    return str(min((v.place for v in entry.values()), key=lambda p: (p.line, p.column), default=""))
