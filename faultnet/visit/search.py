"""Finding a finding by the words that people use for it; near misses count."""

import difflib
import re
from collections import Counter
from math import log

from faultnet.advice.subject import Subject
from faultnet.model.finding import Finding
from faultnet.model.layout import Circumstance

_WORD = re.compile(r"[a-z0-9]+")
_SILENT = frozenset(
    re.split(
        " ",
        "a an and any as at be been by but does doing for from has have i if in into is it its my "
        "of off on or our so some than that the there this to up was we were when which "
        "while with you your",
    )
)
_SAME = dict.fromkeys(("not", "none", "nothing", "never", "wont", "doesnt"), "no")
"""Words that are taken for another."""
_ENDINGS = ("ingly", "ings", "ing", "edly", "ies", "es", "ed", "s", "y", "e")
_NEAR = 0.78
"""How alike a misspelt word must be."""
_FIELDS = (("title", 3.0), ("words", 2.5), ("ask", 1.0))


class Index:
    """The words of every finding and circumstance of a system."""

    def __init__(self, subject: Subject) -> None:
        known = subject.knowledge
        self._entries: dict[str, dict[str, float]] = {}
        seen: set[str] = set()
        for name in subject.findings:
            finding = known.findings[name]
            if finding.title not in seen:
                self._entries[name] = _weights(finding)
                seen.add(finding.title)
        for name in subject.system.circumstances:
            self._entries[name] = _weights(known.circumstances[name])
        counts = Counter(word for entry in self._entries.values() for word in entry)
        self._rarity = {w: log(1.0 + len(self._entries) / n) for w, n in counts.items()}
        self._phrases = {name: _phrases(subject, name) for name in self._entries}

    def find(self, text: str) -> list[str]:
        """Return ids, the best fitting first; none when nothing fits."""
        asked = stems(text)
        meant = {word: self._meant(word) for word in dict.fromkeys(asked)}
        scores: dict[str, float] = {}
        for name, entry in self._entries.items():
            score = sum(self._worth(entry, near) for near in meant.values())
            if score and len(asked) > 1 and self._alike(name, " ".join(asked)):
                score *= 2.0
            if score:
                scores[name] = score
        best = max(scores.values(), default=0.0)
        kept = [name for name, score in scores.items() if score >= 0.3 * best]
        return sorted(kept, key=lambda name: (-scores[name], name))

    def _alike(self, name: str, asked: str) -> bool:
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


def _weights(entry: Finding | Circumstance) -> dict[str, float]:
    texts = {"title": entry.title, "words": " ".join(entry.words), "ask": entry.ask}
    result: dict[str, float] = {}
    for field, weight in _FIELDS:
        for word in stems(texts[field]):
            result[word] = max(result.get(word, 0.0), weight)
    return result


def _phrases(subject: Subject, name: str) -> tuple[str, ...]:
    known = subject.knowledge
    entry = known.findings.get(name) or known.circumstances[name]
    return tuple(" ".join(stems(text)) for text in (entry.title, *entry.words))
