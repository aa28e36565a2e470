"""What differs between the files of two versions, entry by entry and key by key."""

from collections.abc import Iterator, Mapping

import msgspec

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
    """An entry that is ``added``, ``removed``, ``changed`` or perhaps ``renamed``.

    ``was`` is the id in the old version where it is another one.
    """

    kind: str
    id: str
    what: str
    place: str
    keys: tuple[Changed, ...] = ()
    was: str = ""

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
    old: Mapping[Name, Entry], new: Mapping[Name, Entry]
) -> tuple[tuple[Change, ...], Renames]:
    """Return what differs, in the order of the new files, and the renames that were found."""
    renames = _renames(old, new)
    ids = {name: to for (_, name), to in renames.items()}
    before = {
        (kind, renames.get((kind, name), name)): _renamed(entry, ids)
        for (kind, name), entry in old.items()
    }
    was = {(kind, to): name for (kind, name), to in renames.items()}
    found = [*_there_now(before, new, was)]
    found += [
        Change(kind, name, "removed", _place(entry))
        for (kind, name), entry in before.items()
        if (kind, name) not in new
    ]
    return tuple(found), renames


def _there_now(
    before: Mapping[Name, Entry], new: Mapping[Name, Entry], was: Mapping[Name, str]
) -> Iterator[Change]:
    for name, entry in new.items():
        if name not in before:
            yield Change(*name, "added", _place(entry))
            continue
        keys = tuple(_keys(before[name], entry))
        old_id = was.get(name, "")
        if keys or old_id:
            what = "renamed" if old_id else "changed"
            yield Change(*name, what, _place(entry), keys, old_id)


def _keys(old: Entry, new: Entry) -> Iterator[Changed]:
    nothing = Value("", next(iter(new.values()), next(iter(old.values()))).place)
    for key in (*new, *(key for key in old if key not in new)):
        before, now = old.get(key, nothing), new.get(key, nothing)
        if before.text != now.text:
            places = [str(v.place) if v is not nothing else "" for v in (before, now)]
            yield Changed(key, before.text, now.text, *places)


def _renames(old: Mapping[Name, Entry], new: Mapping[Name, Entry]) -> Renames:
    """Entries that vanished, each with the one that came and says nearly the same."""
    gone = [name for name in old if name not in new]
    came = [name for name in new if name not in old]
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
