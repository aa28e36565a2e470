"""Hypothetical answers as sums of rows.

A row can only say "at most this level" of a finding, since that is a product over the
causes and costs no axis. The chance of any answer, and of joint answers, is a sum of
such rows with signs. Only what-ifs use this; evidence is never subtracted.
"""

from collections.abc import Iterable
from functools import cached_property, lru_cache
from math import fsum

import msgspec

from faultnet.inference.query import Query
from faultnet.inference.rows import Limits, Masks, Row
from faultnet.inference.status import OFF, TRACK
from faultnet.network.network import Condition, Finding

Terms = dict[tuple[Limits, Masks], float]

ALWAYS: Terms = {((), ()): 1.0}


class Expander(msgspec.Struct, frozen=True, dict=True):
    """Writes answers of the open round as terms: (limits, root masks) to coefficient."""

    query: Query

    def answer(self, finding: int, answer: int) -> Terms:
        """Terms of one answer; the answer after the last level is ``cannot``."""
        entry = self.query.network.findings[finding]
        if not entry.needs:
            return self._shown(finding, entry, answer)
        takeable = self._all_normal(entry.needs)
        if answer == len(entry.answers):
            return _minus(ALWAYS, takeable)
        shown = self._shown(finding, entry, answer)
        return _times(takeable, shown)

    def root(self, root: int, state: int) -> Terms:
        """Terms of a root being in a state."""
        size = len(self.query.network.roots[root].states)
        return {((), ((root, tuple(k == state for k in range(size))),)): 1.0}

    def joint(self, parts: Iterable[Terms]) -> Terms:
        """Terms of several answers together."""
        result = ALWAYS
        for terms in parts:
            result = _times(result, terms)
        return result

    def _shown(self, finding: int, entry: Finding, level: int) -> Terms:
        """Terms of a takeable finding reading just this level."""
        unhidden = self._all_normal(entry.hidden_by)
        if level == 0:
            low = _times(unhidden, self._at_most(finding, 0))
            return low if unhidden is ALWAYS else plus(_minus(ALWAYS, unhidden), low)
        exact = _minus(self._at_most(finding, level), self._at_most(finding, level - 1))
        return _times(unhidden, exact)

    def _all_normal(self, findings: Iterable[int]) -> Terms:
        return self.joint(self._at_most(f, 0) for f in findings)

    def _at_most(self, finding: int, level: int) -> Terms:
        """Terms of "at most this level"; right wherever nothing hides the finding."""
        status = self.query.statuses.of.get((finding, self.query.observed.now))
        entry = self.query.network.findings[finding]
        if status == OFF or level >= len(entry.answers) - 1:
            return ALWAYS
        limit: Terms = {(((finding, level),), ()): 1.0}
        return limit if status == TRACK else self._if(entry.when, limit)

    def rows(self, terms: Terms) -> list[tuple[Row, float]]:
        """The terms as rows with their coefficients, every rule worked in.

        A rule is worked in once per term, highest finding first: within a term its
        link is one and the same throw, however often the finding is limited.
        """
        plain, ruled = self._ruled.isdisjoint, []
        done: Terms = {}
        for key, coefficient in terms.items():
            if plain([finding for finding, _ in key[0]]):
                done[key] = coefficient
            else:
                ruled.append((key, coefficient))
        for key, coefficient in ruled:
            _add(done, self._worked_in(key, coefficient))
        return [(Row(limits=limits, roots=masks), c) for (limits, masks), c in done.items()]

    def _worked_in(self, key: tuple[Limits, Masks], coefficient: float) -> Terms:
        """One term with every rule worked in."""
        term: Terms = {key: coefficient}
        below = len(self.query.network.findings)
        while True:
            limited = {f for limits, _ in term for f, _ in limits}
            ruled = [f for f in limited & self._ruled if f < below]
            if not ruled:
                return term
            below = max(ruled)
            term = self._work_in(below, term)

    @cached_property
    def _ruled(self) -> set[int]:
        """Free findings that follow from others."""
        of, now = self.query.statuses.of, self.query.observed.now
        findings = enumerate(self.query.network.findings)
        return {k for k, f in findings if f.follows and (k, now) not in of}

    def _work_in(self, finding: int, terms: Terms) -> Terms:
        result: Terms = {}
        for (limits, masks), coefficient in terms.items():
            term: Terms = {(limits, masks): coefficient}
            level = dict(limits).get(finding)
            if level is not None:
                term = _times(term, self._unruled(finding, level))
            _add(result, term)
        return result

    def _unruled(self, finding: int, level: int) -> Terms:
        """Terms of no rule bringing a finding above a level; worked out once."""
        kept = self._kept.get((finding, level))
        if kept is None:
            kept = ALWAYS
            for link in self.query.network.findings[finding].follows:
                strength = fsum(link.levels[level:])
                if strength:
                    quiet = plus(ALWAYS, scaled(self._abnormal(link.source), -strength))
                    kept = _times(kept, self._if(link.when, quiet))
            self._kept[finding, level] = kept
        return kept

    @cached_property
    def _kept(self) -> dict[tuple[int, int], Terms]:
        return {}

    def _abnormal(self, finding: int) -> Terms:
        entry = self.query.network.findings[finding]
        clear = self._all_normal((*entry.needs, *entry.hidden_by))
        return _minus(clear, _times(clear, self._at_most(finding, 0)))

    def _if(self, condition: Condition, terms: Terms) -> Terms:
        """The terms where a condition on roots holds, and 1 where it fails."""
        result: Terms = {}
        path = ALWAYS
        for root, allowed in condition:
            known = self.query.known.get(root)
            if known is not None:
                if not allowed[known]:
                    return plus(result, path)
                continue
            fails: Terms = {((), ((root, tuple(not a for a in allowed)),)): 1.0}
            result = plus(result, _times(path, fails))
            path = _times(path, {((), ((root, allowed),)): 1.0})
        return plus(result, _times(path, terms))


def plus(one: Terms, other: Terms) -> Terms:
    """The sum of two sums of terms."""
    result = dict(one)
    _add(result, other)
    return result


def _add(result: Terms, more: Terms) -> None:
    """Add terms to a sum in place; what cancels is dropped."""
    for key, coefficient in more.items():
        total = result.get(key, 0.0) + coefficient
        if total:
            result[key] = total
        else:
            result.pop(key, None)


def _minus(one: Terms, other: Terms) -> Terms:
    return plus(one, scaled(other, -1.0))


def scaled(terms: Terms, factor: float) -> Terms:
    """Terms times a number."""
    return {key: c * factor for key, c in terms.items()}


def _times(one: Terms, other: Terms) -> Terms:
    if one is ALWAYS or other is ALWAYS:
        return other if one is ALWAYS else one
    result: Terms = {}
    for (limits, masks), c in one.items():
        for (more_limits, more_masks), d in other.items():
            roots: Masks | None = masks or more_masks
            if masks and more_masks:
                roots = _merge_masks(masks, more_masks)
            if roots is None:
                continue
            both = limits and more_limits
            key = (_merge_limits(limits, more_limits) if both else limits or more_limits, roots)
            result[key] = result.get(key, 0.0) + c * d
    return {key: c for key, c in result.items() if c}


@lru_cache(4096)
def _merge_limits(one: Limits, other: Limits) -> Limits:
    merged = dict(one)
    for finding, level in other:
        merged[finding] = min(level, merged.get(finding, level))
    return tuple(sorted(merged.items()))


def _merge_masks(one: Masks, other: Masks) -> Masks | None:
    """Both masks together; None when no state is left of some root."""
    merged = dict(one)
    for root, allowed in other:
        before = merged.get(root, allowed)
        both = tuple(a and b for a, b in zip(before, allowed, strict=True))
        if not any(both):
            return None
        merged[root] = both
    return tuple(sorted(merged.items()))
