"""What entries and answers were called before, so that what was noted by then can be read."""

from collections.abc import Mapping
from functools import lru_cache

import msgspec

from faultnet.model.origin import Origin


class Renamed(msgspec.Struct, frozen=True):
    """An entry of a kind (``cause``, ``finding`` ...) that has another id now.

    With the kind ``answer`` it is an answer of the finding, or a value of the layout, ``of``.
    ``since`` is the day of the change, as ISO 8601, or empty.
    """

    kind: str
    old: str
    new: str
    origin: Origin
    of: str = ""
    since: str = ""


class NamesNow(msgspec.Struct, frozen=True):
    """By kind, what each earlier id is called now; by finding or layout the same of answers."""

    ids: dict[str, dict[str, str]]
    answers: dict[str, dict[str, str]]
    shared: dict[str, str]
    """Ids of the kinds that have no id in common."""

    def id(self, kind: str, name: str) -> str:
        """Return what an entry of a kind is called now."""
        if kind == "finding" and name.startswith(FOUND):
            return self._found(name)
        return self.ids.get(kind, {}).get(name, name)

    def any(self, name: str) -> str:
        """Return what an entry is called now, whatever of a network or a work it is."""
        return self._found(name) if name.startswith(FOUND) else self.shared.get(name, name)

    def answer(self, about: str, answer: str) -> str:
        """Return what an answer to something, called as now, is called now."""
        return self.answers.get(about, {}).get(answer, answer)

    def _found(self, name: str) -> str:
        """A finding that a cause was found is called after it, and perhaps after the check."""
        if name in self.shared:
            return self.shared[name]
        causes, checks = self.ids.get("cause", {}), self.ids.get("check", {})
        cause, by, check = (whole := name.removeprefix(FOUND)).rpartition(BY)
        if whole in causes or not by:
            return f"{FOUND}{causes.get(whole, whole)}"
        return f"{FOUND}{causes.get(cause, cause)}{BY}{checks.get(check, check)}"


FOUND, BY = "found-", "-by-"
"""How the findings are called that a check makes of the causes it looks for."""

APART = ("system", "item")
"""Kinds whose ids may be those of another kind."""


@lru_cache(maxsize=8)
def names_now(renamed: tuple[Renamed, ...]) -> NamesNow:
    """Return what everything is called now; what was renamed again is followed to the end."""
    steps: dict[tuple[str, str], dict[str, str]] = {}
    for each in renamed:
        steps.setdefault((each.kind, each.of), {})[each.old] = each.new
    ids: dict[str, dict[str, str]] = {}
    answers: dict[str, dict[str, str]] = {}
    for (kind, of), step in steps.items():
        followed = {old: at_last(step, old) for old in step}
        if kind == "answer":
            answers[of] = followed
        else:
            ids[kind] = followed
    kinds = (names for kind, names in ids.items() if kind not in APART)
    shared = {old: new for names in kinds for old, new in names.items()}
    return NamesNow(ids, answers, shared)


def at_last(step: Mapping[str, str], name: str) -> str:
    """Return what a name leads to at last; the name itself where it leads back to itself."""
    seen = {name}
    at = name
    while at in step:
        at = step[at]
        if at in seen:
            return name
        seen.add(at)
    return at
