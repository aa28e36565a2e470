"""Finding what is meant by the words that people use for it; near misses count."""

import difflib
import re
from collections import Counter
from collections.abc import Hashable, Mapping
from math import log
from typing import Generic, TypeVar

import msgspec

from faultnet.advice.subject import Subject
from faultnet.model.cause import Cause
from faultnet.model.finding import Finding
from faultnet.model.knowledge import Knowledge
from faultnet.model.layout import Circumstance

K = TypeVar("K", bound=Hashable)
"""What an entry is known by: its id, or its kind and its id."""

_WORD = re.compile(r"[a-z0-9]+")
_SILENT = frozenset(
    re.split(
        " ",
        "a an and any as at be been by but does doing for from has have i if in into is it its my "
        "of off on or our so some than that the there this to up was we were when which "
        "while with you your",
    )
)
_SAME = {
    **dict.fromkeys(("not", "none", "nothing", "never", "wont", "doesnt"), "no"),
    **dict.fromkeys(("faucet", "faucets", "spigot", "spigots"), "tap"),
    **dict.fromkeys(("diaphragm", "membrane", "balloon"), "bladder"),
    **dict.fromkeys(("ruptured", "torn", "split", "bursts"), "burst"),
    **dict.fromkeys(("vessel", "accumulator"), "tank"),
    **dict.fromkeys(("pipework", "piping", "tubing"), "pipe"),
    **dict.fromkeys(("manometer", "dial"), "gauge"),
    **dict.fromkeys(("clogged", "clog", "plugged", "choked"), "blocked"),
    **dict.fromkeys(("cabling", "cable", "cables"), "wire"),
    **dict.fromkeys(("stench", "stink", "stinks", "odour", "odor"), "smell"),
}
"""Words that are taken for another; how people talk, from memory."""
_ENDINGS = ("ingly", "ings", "ing", "edly", "ies", "es", "ed", "s", "y", "e")
_NEAR = 0.78
"""How alike a misspelt word must be."""


class Entry(msgspec.Struct, frozen=True):
    """What something can be found by: its title, what people call it, what is told of it."""

    title: str
    words: tuple[str, ...] = ()
    told: str = ""

    @property
    def weights(self) -> dict[str, float]:
        """The stems of its words, with how much each says."""
        fields = ((self.told, 1.0), (" ".join(self.words), 2.5), (self.title, 3.0))
        return {word: weight for text, weight in fields for word in stems(text)}

    @property
    def phrases(self) -> tuple[str, ...]:
        """Its title and what people call it, as stems in their order."""
        return tuple(" ".join(stems(text)) for text in (self.title, *self.words))


def entry_of(about: Finding | Circumstance) -> Entry:
    """Return what a finding or circumstance can be found by."""
    return Entry(about.title, about.words, about.ask)


class Index(Generic[K]):
    """The words of many entries, each by its key."""

    def __init__(self, entries: Mapping[K, Entry]) -> None:
        self._entries = {key: entry.weights for key, entry in entries.items()}
        counts = Counter(word for entry in self._entries.values() for word in entry)
        self._rarity = {w: log(1.0 + len(self._entries) / n) for w, n in counts.items()}
        self._phrases = {key: entry.phrases for key, entry in entries.items()}

    def find(self, text: str) -> list[K]:
        """Return keys, the best fitting first; none when nothing fits."""
        asked = stems(text)
        meant = {word: self._meant(word) for word in dict.fromkeys(asked)}
        scores: dict[K, float] = {}
        for name, entry in self._entries.items():
            score = sum(self._worth(entry, near) for near in meant.values())
            if score and len(asked) > 1 and self._alike(name, " ".join(asked)):
                score *= 2.0
            if score:
                scores[name] = score
        best = max(scores.values(), default=0.0)
        kept = [name for name, score in scores.items() if score >= 0.3 * best]
        return sorted(kept, key=lambda name: (-scores[name], str(name)))

    def _alike(self, name: K, asked: str) -> bool:
        """Whether a phrase of an entry holds what was asked, or stands in it."""
        said = f" {asked} "
        return any(
            asked in phrase or (" " in phrase and f" {phrase} " in said)
            for phrase in self._phrases[name]
        )

    def _worth(self, entry: dict[str, float], near: dict[str, float]) -> float:
        found = [entry[w] * self._rarity[w] * share for w, share in near.items() if w in entry]
        return max(found, default=0.0)

    def _meant(self, word: str) -> dict[str, float]:
        """Return known words that a typed one may mean, with how alike they are."""
        if word in self._rarity:
            return {word: 1.0}
        longer = [w for w in self._rarity if len(word) > 2 and w.startswith(word)]
        near = difflib.get_close_matches(word, self._rarity, n=3, cutoff=_NEAR)
        return {**dict.fromkeys(near, 0.7), **dict.fromkeys(longer, 0.8)}


def system_index(subject: Subject) -> Index[str]:
    """Return the index of the findings and circumstances of a system."""
    known = subject.knowledge
    entries: dict[str, Entry] = {}
    seen: set[str] = set()
    for name in subject.findings:
        finding = known.findings[name]
        if finding.title not in seen:
            entries[name] = entry_of(finding)
            seen.add(finding.title)
    for name in subject.system.circumstances:
        entries[name] = entry_of(known.circumstances[name])
    return Index(entries)


def knowledge_index(known: Knowledge) -> Index[tuple[str, str]]:
    """Return the index of all that can be read about, each by its kind and its id.

    A cause is found by its signs as well. What stands for the finding of a cause is left out.
    """
    works = (("checks", known.checks), ("repairs", known.repairs))
    return Index(
        {
            **{("causes", name): _cause(known, each) for name, each in known.causes.items()},
            **{
                ("findings", name): entry_of(each)
                for name, each in known.findings.items()
                if not each.found_cause
            },
            **{
                (kind, name): Entry(each.title, told=" ".join((each.note, *each.work.steps)))
                for kind, entries in works
                for name, each in entries.items()
            },
            **{
                ("procedures", name): Entry(each.title, told=each.about)
                for name, each in known.procedures.items()
            },
        }
    )


def _cause(known: Knowledge, cause: Cause) -> Entry:
    signs = (known.findings[each.finding] for each in cause.shows)
    titles = (finding.title for finding in signs if not finding.found_cause)
    return Entry(cause.title, told=" ".join((cause.note, *titles)))


def stems(text: str) -> list[str]:
    """Return the words of a text that carry meaning, without their endings."""
    folded = text.lower().replace("'", "").replace("\u2019", "")
    words = [_SAME.get(w, w) for w in _WORD.findall(folded)]
    return [_stem(w) for w in words if w not in _SILENT]


def _stem(word: str) -> str:
    for ending in _ENDINGS:
        if word.endswith(ending) and len(word) - len(ending) >= 3:
            word = word.removesuffix(ending)
            break
    return word[:-1] if len(word) > 3 and word[-1] == word[-2] else word
