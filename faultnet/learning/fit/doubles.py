"""Cases that were read before: under the same id, or the same case under another.

Of each case two numbers of 64 bits are kept, so a million cases take 16 megabytes. Which of two
stays depends on the order of the parts alone: the first one.
"""

import hashlib
from collections.abc import Iterator, Sequence
from typing import Any

import msgspec
import numpy as np
from msgspec.structs import replace
from numpy.typing import NDArray

from faultnet.learning.closed import ClosedCase

Marks = NDArray[np.uint64]
"""A mark for each case: that of its id in the first row, that of its content in the second.

No mark (0) of a content says that it is not compared."""

FEWEST = 3
"""Answers below which two cases may well be alike and yet two."""

MIDNIGHT = "T00:00:00.000Z"
"""How a time ends of which only the day was noted."""


class Double(msgspec.Struct, frozen=True):
    """A case (part and number in it, from 0) that was read before; ``code`` tells in what."""

    part: int
    number: int
    first_part: int
    first_number: int
    code: str


def marks_of(cases: Sequence[ClosedCase]) -> Marks:
    """Return the marks of cases."""
    marks = [(_mark(case.id.encode("utf-8", "replace")), _content(case)) for case in cases]
    return np.array(marks, dtype=np.uint64).reshape(-1, 2).T


def doubles_of(parts: Sequence[Marks]) -> Iterator[Double]:
    """Yield the cases that were read before, in order."""
    if not parts:
        return
    begins = np.cumsum([0, *(part.shape[1] for part in parts)])
    ids, contents = np.concatenate(parts, axis=1)
    everything = np.arange(len(ids))
    first = _firsts(ids, everything)
    kept = everything[(first == everything) & (contents != 0)]
    alike = everything.copy()
    alike[kept] = _firsts(contents[kept], kept)
    for number in map(int, np.flatnonzero((first != everything) | (alike != everything))):
        by_id = bool(first[number] != number)
        origin = int(first[number] if by_id else alike[number])
        code = "same-id" if by_id else "same-content"
        yield Double(*_place(begins, number), *_place(begins, origin), code)


def _firsts(marks: Marks, numbers: NDArray[np.int64]) -> NDArray[np.int64]:
    """Return for each mark the number of the first case that has it."""
    _, first, which = np.unique(marks, return_index=True, return_inverse=True)
    return numbers[first[which]]


def _place(begins: NDArray[Any], number: int) -> tuple[int, int]:
    part = int(np.searchsorted(begins, number, side="right")) - 1
    return part, int(number - begins[part])


def _content(case: ClosedCase) -> int:
    answers = sum(len(each.answers) + len(each.taken) for each in case.evidence.rounds)
    if answers < FEWEST or case.opened.endswith(MIDNIGHT):
        return 0
    without = replace(case, id="", knowledge="", region="")
    return _mark(msgspec.json.encode(without, order="deterministic")) or 1


def _mark(data: bytes) -> int:
    return int.from_bytes(hashlib.blake2b(data, digest_size=8).digest(), "little")
