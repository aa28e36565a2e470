"""Sightings that share a word and are marked by what else was known of them.

Words propose, findings decide. Every word that stands in enough texts makes a group. A group
is something of its own when its answers differ from those of the other sightings by more than
words without meaning would bring about: the same texts are dealt out anew, many times, to the
sightings of the same system, and a group must stand out further than the best group of most of
those deals. So it is known how often anything at all is told where there is nothing.

How far a group stands out is a sum over answers of the logarithm of a likelihood ratio: one rate
for the group and one for the others, against one rate for all; the rates summed out, each as
likely as any (Jeffreys), and ``MARKING`` of the answers taken to differ.
"""

import math
from collections.abc import Sequence

import msgspec
import numpy as np
from numpy.typing import NDArray

from faultnet.learning.newcomers.sightings import Sighting
from faultnet.learning.newcomers.words import FEWEST

Floats = NDArray[np.float64]

MARKING = 0.05
"""The share of answers by which a group differs, before any was seen. Judgement."""
DEALS = 199
"""How many times the texts are dealt out anew."""
SAME = 0.5
"""Groups that share more than this of the smaller one are one."""


class Mark(msgspec.Struct, frozen=True):
    """An answer or a circumstance by which a group differs: how often, of how many told.

    ``ratio`` is how much likelier the answers are for a group of its own.
    """

    name: str
    of_finding: bool
    held: int
    told: int
    others_held: int
    others_told: int
    ratio: float

    @property
    def share(self) -> float:
        """How often it held in the group."""
        return self.held / self.told if self.told else 0.0

    @property
    def oftener(self) -> bool:
        """Whether it held oftener than in the others."""
        return self.share * self.others_told > self.others_held


class Group(msgspec.Struct, frozen=True):
    """Sightings by their place, the words they share, how far they stand out, and by what."""

    members: tuple[int, ...]
    words: tuple[str, ...]
    stands_out: float
    marks: tuple[Mark, ...]


def groups_of(sightings: Sequence[Sighting], seed: int, rate: float) -> tuple[Group, ...]:
    """Return the groups that stand out; where there is nothing, a share ``rate`` tells some."""
    table = _Table(sightings)
    if not table.words or not table.names:
        return ()
    scores = table.scores(table.texts)
    found = _merged(table, scores, _least(table, seed, rate))
    return tuple(sorted(found, key=lambda g: (-g.stands_out, g.words)))


def recurring(sightings: Sequence[Sighting]) -> tuple[tuple[str, int], ...]:
    """Return the words that stand in enough texts, the commonest first."""
    counts: dict[str, int] = {}
    for sighting in sightings:
        for word in sighting.words:
            counts[word] = counts.get(word, 0) + 1
    found = [(word, count) for word, count in counts.items() if count >= FEWEST]
    return tuple(sorted(found, key=lambda each: (-each[1], each[0])))


def _least(table: "_Table", seed: int, rate: float) -> float:
    """How far the best group stands out in all but a share of the deals."""
    best = []
    for deal in range(DEALS):
        rng = np.random.default_rng(np.random.SeedSequence(seed, spawn_key=(deal,)))
        best.append(float(table.scores(table.dealt(rng)).max()))
    # The sightings as they are count as one of the deals.
    place = int(rate * (DEALS + 1))
    return max(sorted(best, reverse=True)[max(place - 1, 0)], 0.0)


def _merged(table: "_Table", scores: Floats, least: float) -> list[Group]:
    """Put words together that stand in the same texts, the best first."""
    sets: list[tuple[set[int], list[str], float]] = []
    for word in np.argsort(-scores, kind="stable").tolist():
        if scores[word] <= least:
            break
        members = set(np.flatnonzero(table.texts[:, word]).tolist())
        for held, words, _ in sets:
            if len(held & members) > SAME * min(len(held), len(members)):
                held.update(members)
                words.append(table.words[word])
                break
        else:
            sets.append((members, [table.words[word]], float(scores[word])))
    return [
        Group(tuple(sorted(held)), tuple(words), score, table.marks(held))
        for held, words, score in sets
    ]


class _Table:
    """Sightings by words, and by answers with whether they were told."""

    def __init__(self, sightings: Sequence[Sighting]) -> None:
        self.systems = np.array([s.system for s in sightings])
        self.words = [word for word, _ in recurring(sightings)]
        self.texts = np.array([[w in s.words for w in self.words] for s in sightings], float)
        findings = sorted({name for s in sightings for name in s.answers})
        before = sorted({name for s in sightings for name in s.circumstances})
        self.names = [(name, True) for name in findings] + [(name, False) for name in before]
        held = [_held(s, findings, before) for s in sightings]
        values = np.array(held, float).reshape(len(sightings), len(self.names))
        self.told = (values >= 0.0).astype(float)
        self.held = np.where(values > 0.0, 1.0, 0.0)
        sizes: Floats = np.arange(len(sightings) + 1, dtype=float)
        self.half = _log_gammas(sizes + 0.5)
        self.whole = _log_gammas(sizes + 1.0)

    def dealt(self, rng: np.random.Generator) -> Floats:
        """Return the texts dealt out anew among the sightings of each system."""
        order = np.arange(len(self.systems))
        for system in np.unique(self.systems):
            places = np.flatnonzero(self.systems == system)
            order[places] = rng.permutation(places)
        dealt: Floats = self.texts[order]
        return dealt

    def scores(self, texts: Floats) -> Floats:
        """How far the group of each word stands out."""
        ratios = self._ratios(texts)
        scores: Floats = np.logaddexp(np.log1p(-MARKING), np.log(MARKING) + ratios).sum(axis=1)
        return scores

    def marks(self, members: set[int]) -> tuple[Mark, ...]:
        """Return what marks a group, the clearest first."""
        group = np.zeros((len(self.systems), 1))
        group[sorted(members)] = 1.0
        (ratios,) = self._ratios(group)
        held, told = (group.T @ self.held)[0], (group.T @ self.told)[0]
        all_held, all_told = self.held.sum(axis=0), self.told.sum(axis=0)
        marks = [
            Mark(
                name,
                of_finding,
                int(held[k]),
                int(told[k]),
                int(all_held[k] - held[k]),
                int(all_told[k] - told[k]),
                float(np.exp(min(ratios[k], 700.0))),
            )
            for k, (name, of_finding) in enumerate(self.names)
            if MARKING * np.exp(min(ratios[k], 700.0)) > 1.0 - MARKING
        ]
        return tuple(sorted(marks, key=lambda m: (-m.ratio, m.name)))

    def _ratios(self, groups: Floats) -> Floats:
        """Logarithms of likelihood ratios, shape (groups, names)."""
        held, told = groups.T @ self.held, groups.T @ self.told
        all_held, all_told = self.held.sum(axis=0), self.told.sum(axis=0)
        apart = self._summed_out(held, told) + self._summed_out(all_held - held, all_told - told)
        one: Floats = self._summed_out(all_held, all_told)
        ratios: Floats = apart - one
        return ratios

    def _summed_out(self, held: Floats, told: Floats) -> Floats:
        """The logarithm of the chance of so many, the rate summed out over a beta (1/2, 1/2)."""
        yes, cases = held.astype(int), told.astype(int)
        log: Floats = self.half[yes] + self.half[cases - yes] - self.whole[cases] - np.log(np.pi)
        return log


def _held(sighting: Sighting, findings: list[str], before: list[str]) -> list[float]:
    """1 where it held, 0 where it did not, -1 where nothing was told."""
    answers = [
        float(bool(sighting.answers[n])) if n in sighting.answers else -1.0 for n in findings
    ]
    known = sighting.circumstances
    return [*answers, *(float(known[n]) if n in known else -1.0 for n in before)]


def _log_gammas(at: Floats) -> Floats:
    """The logarithm of the gamma function at evenly spaced places one apart."""
    logs: Floats = np.cumsum([math.lgamma(at[0]), *np.log(at[:-1])])
    return logs
