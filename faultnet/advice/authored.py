"""The authored numbers that a ranking rests on, each told in the words of its file."""

from collections.abc import Iterable, Iterator

import msgspec

from faultnet.advice.subject import Subject
from faultnet.model.finding import Finding
from faultnet.model.knowledge import Knowledge
from faultnet.model.origin import Number
from faultnet.network.build import UNLISTED
from faultnet.network.network import Network
from faultnet.network.places import Place, places

NEVER, ALWAYS = 0.0, 1.0
"""Chances that are left alone: they say that something cannot be, or cannot fail to be."""


class Authored(msgspec.Struct, frozen=True):
    """A number as it stands in a file, what it is about, and where the network has it.

    ``kind`` is ``chance`` or ``factor``. A number that stands once in the files may have
    several places in the network.
    """

    number: Number
    kind: str
    about: str
    places: tuple[Place, ...] = ()

    @property
    def value(self) -> float:
        """The number."""
        return self.number.value

    @property
    def line(self) -> str:
        """The file and line that it stands in."""
        return f"{self.number.origin.file}:{self.number.origin.line}"


def authored(subject: Subject) -> tuple[Authored, ...]:
    """Return every number of a system's network that can be moved, by where it stands."""
    found: dict[Number, list[Place]] = {}
    for place, number in places(subject.knowledge, subject.system):
        if _movable(place.kind, number):
            found.setdefault(number, []).append(place)
    tell = _Tell(subject.knowledge, subject.network)
    entries = [
        Authored(
            number,
            "factor" if at[0].kind == "factor" else "chance",
            tell.all_of(number, at),
            tuple(at),
        )
        for number, at in found.items()
    ]
    return tuple(sorted(entries, key=lambda a: _order(a.number)))


def words(numbers: Iterable[Authored], knowledge: Knowledge) -> Iterator[Authored]:
    """Yield each word of likelihood with all the numbers that it was written for."""
    tables = (("cause", knowledge.words.how_common), ("", knowledge.words.likelihood))
    written = list(numbers)
    for kind, table in tables:
        for word, number in table.items():
            uses = [
                place
                for each in written
                if each.number.word == word
                for place in each.places
                if (place.kind == "cause") == bool(kind)
            ]
            if uses:
                times = "once" if len(uses) == 1 else f"{len(uses)} times"
                yield Authored(number, "chance", f"the word {word}, used {times}", tuple(uses))


def _movable(kind: str, number: Number) -> bool:
    return kind == "factor" or NEVER < number.value < ALWAYS


def _order(number: Number) -> tuple[str, int, int]:
    return number.origin.file, number.origin.line, number.origin.column


class _Tell:
    """Says what a place of a network is about, in the words of the files."""

    def __init__(self, knowledge: Knowledge, network: Network) -> None:
        self.knowledge, self.network = knowledge, network

    def all_of(self, number: Number, at: list[Place]) -> str:
        """What a number is about that may have several places."""
        if number == self.knowledge.words.look_false_alarm:
            return "look-false-alarm, of looks that name no other"
        more = f", and {len(at) - 1} more" if len(at) > 1 else ""
        return self.one(at[0]) + more

    def one(self, place: Place) -> str:
        """What one place is about."""
        if place.kind in {"cause", "factor", "bring"}:
            return self._cause(place)
        if place.kind in {"leak", "link", "rule"}:
            return self._finding(place)
        root = self.network.roots[place.of]
        if place.kind == "circumstance":
            return f"{root.id}: how often"
        return f"{root.id} is {root.states[place.level]}: how often"

    def _cause(self, place: Place) -> str:
        cause = self.network.causes[place.of]
        if place.kind == "bring":
            return f"{cause.id} leads to {self.network.causes[cause.brings[place.at].cause].id}"
        if place.kind == "factor":
            root = self.network.roots[cause.factors[place.at][0]]
            state = root.states[place.level]
            when = root.id if state == "yes" else f"{root.id} is {state}"
            return f"{cause.id}: likelier when {when}"
        name = "something unlisted" if cause.id == UNLISTED else cause.id
        return f"{name}: how common"

    def _finding(self, place: Place) -> str:
        finding = self.network.findings[place.of]
        shown = _shown(self.knowledge.findings[finding.id], place.level)
        if place.kind == "leak":
            return f"{shown}: shows anyway"
        if place.kind == "link":
            cause = self.network.causes[finding.links[place.at].source].id
            return f"{'something unlisted' if cause == UNLISTED else cause} shows {shown}"
        source = self.network.findings[finding.follows[place.at].source].id
        return f"{shown} follows from {source}"


def _shown(finding: Finding, level: int) -> str:
    """A finding, and which of several answers."""
    many = len(finding.answers) > len(("no", "yes"))
    return f"{finding.id}={finding.answers[level + 1]}" if many else finding.id
