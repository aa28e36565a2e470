"""Closed cases spoilt on purpose, a case a line: so many of each kind, and which."""

from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Mapping
from pathlib import Path

import msgspec
import numpy as np
from msgspec.structs import replace

from faultnet.learning.closed import ClosedCase, Confirmation
from faultnet.network.build import UNLISTED

KINDS = (
    "torn",
    "wrong-form",
    "twice",
    "copied",
    "old-id",
    "closed-first",
    "in-future",
    "no-day",
    "contradicts",
)
"""Cut off in the middle; a number where a text belongs; there again; there again under another
id; an id of an earlier version; closed before it was opened; of a day to come; of a day that
there is not; mended without the repair of what was seen."""
ADDED = ("twice", "copied")
"""Kinds that add a line and leave the case as it is."""
BY_CODE: Mapping[str, str] = {
    "torn": "not-json",
    "wrong-form": "not-in-form",
    "twice": "same-id",
    "copied": "same-content",
    "old-id": "unknown-id",
    "closed-first": "closed-first",
    "in-future": "in-future",
    "no-day": "no-time",
    "contradicts": "contradicts",
}
"""What each kind is set aside as, by ``learning.fit`` and ``learning.reading``."""


class Spoiling(msgspec.Struct, frozen=True):
    """The share of cases that are spoilt, all kinds alike, and the seed of which and how.

    ``cause`` is one of the system, which a repair mends.
    """

    cause: str
    share: float = 0.01
    seed: int = 0

    def kind(self, number: int) -> str:
        """Return in what way the case of a number is spoilt; nothing where it is not."""
        rng = np.random.default_rng(np.random.SeedSequence(self.seed, spawn_key=(number, 2)))
        return KINDS[int(rng.integers(len(KINDS)))] if rng.random() < self.share else ""


def write_spoilt(path: Path, cases: Iterable[ClosedCase], spoiling: Spoiling) -> Counter[str]:
    """Write cases to a file, some of them spoilt; return how many in which way.

    The count of ``lines`` is with what was added. Raises ``OSError``.
    """
    counts: Counter[str] = Counter()
    with path.open("wb") as stream:
        for number, case in enumerate(cases):
            kind = spoiling.kind(number)
            for line in lines(case, kind, spoiling):
                stream.write(line + b"\n")
                counts["lines"] += 1
            counts.update([kind] if kind else [])
    return counts


def lines(case: ClosedCase, kind: str, spoiling: Spoiling) -> Iterator[bytes]:
    """Yield the lines that a case comes to when it is spoilt in a way, or in none."""
    whole = msgspec.json.encode(case)
    if not kind or kind in ADDED:
        yield whole
    if kind == "twice":
        yield whole
    elif kind == "torn":
        yield whole[: len(whole) // 2]
    elif kind == "wrong-form":
        yield msgspec.json.encode({**msgspec.to_builtins(case), "ending": 7})
    elif kind:
        yield msgspec.json.encode(_CHANGES[kind](case, spoiling))


def _copied(case: ClosedCase, _: Spoiling) -> ClosedCase:
    return replace(case, id=f"{case.id}-again")


def _old_id(case: ClosedCase, _: Spoiling) -> ClosedCase:
    """The case with a finding by a name that it may have had once."""
    first = case.evidence.rounds[0]
    answers = (replace(first.answers[0], finding=f"{first.answers[0].finding}-as-it-was"),)
    rounds = replace(first, answers=(*answers, *first.answers[1:])), *case.evidence.rounds[1:]
    return replace(case, evidence=replace(case.evidence, rounds=rounds))


def _closed_first(case: ClosedCase, _: Spoiling) -> ClosedCase:
    return replace(case, opened=case.closed, closed=case.opened)


def _in_future(case: ClosedCase, _: Spoiling) -> ClosedCase:
    return replace(case, opened=f"2199{case.opened[4:]}", closed=f"2199{case.closed[4:]}")


def _no_day(case: ClosedCase, _: Spoiling) -> ClosedCase:
    return replace(case, opened=f"{case.opened[:5]}02-31{case.opened[10:]}")


def _contradicts(case: ClosedCase, spoiling: Spoiling) -> ClosedCase:
    seen = next((c.cause for c in case.confirmed if c.cause != UNLISTED), spoiling.cause)
    rounds = tuple(replace(each, repairs=()) for each in case.evidence.rounds)
    evidence = replace(case.evidence, rounds=rounds)
    return replace(case, ending="mended", confirmed=(Confirmation(seen),), evidence=evidence)


_CHANGES: dict[str, Callable[[ClosedCase, Spoiling], ClosedCase]] = {
    "copied": _copied,
    "old-id": _old_id,
    "closed-first": _closed_first,
    "in-future": _in_future,
    "no-day": _no_day,
    "contradicts": _contradicts,
}
